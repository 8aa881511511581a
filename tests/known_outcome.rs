//! Outcomes against closed forms.

mod common;

use bendline::hole::{Coord, Hole, Surface, read_course};
use bendline::outcome::{Strike, Volley, play, play_each};
use bendline::player::{ClubShape, LaunchModel};
use bendline::sample::{normal_quantile, points};
use common::{Numbers, club, day, straight};
use serde_json::json;

const YD: f64 = 0.9144;

/// A driver that always goes the same way and distance, but for a normal start
/// direction.
fn direction_only(speed: f64, start_sd_deg: f64) -> ClubShape {
    let mut driver = club(&Numbers {
        club: "driver",
        speed,
        launch: 12.0,
        spin: 2600.0,
        start: 0.0,
        axis: 0.0,
        start_sd: 0.0,
        axis_sd: 0.0,
    });
    let tiny = 1e-9;
    let mut scale = [[0.0; 5]; 5];
    for (k, row) in scale.iter_mut().enumerate() {
        row[k] = tiny * tiny;
    }
    scale[2][2] = start_sd_deg * start_sd_deg;
    // So many degrees of freedom that the t is a normal to four digits.
    driver.launches = LaunchModel {
        scale,
        dof: 1.0e5,
        ..driver.launches
    };
    driver
}

/// The middle of the front of the teeing area: the sketch's origin.
fn tee_middle(hole: &Hole) -> Coord<f64> {
    let tee = hole.tee(None).expect("a tee");
    tee.peg(tee.width_m() / 2.0, 0.0)
}

/// P(|Z| < z) by the quantile function turned round (bisection).
fn central_share(z: f64) -> f64 {
    let (mut low, mut high) = (0.5, 1.0 - 1e-15);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if normal_quantile(middle) < z {
            low = middle
        } else {
            high = middle
        }
    }
    2.0 * low - 1.0
}

/// A 30-yd fairway and a centred normal direction: 250 yd, σ 3.4° → 0.6875
/// hit; 4° → 0.6093; 220 yd, σ 6° → 0.4844 (computed with SciPy from
/// P(|d tan θ| < 15 yd)). Here the ball is really flown, and its own distance
/// goes into the closed form.
#[test]
fn fairways_hit_by_a_centred_normal() {
    for (distance_yd, sigma, share) in [
        (250.0, 3.4, 0.6875),
        (250.0, 4.0, 0.6093),
        (220.0, 6.0, 0.4844),
    ] {
        let closed = |d_yd: f64| central_share((15.0 / d_yd).atan().to_degrees() / sigma);
        assert!(
            (closed(distance_yd) - share).abs() < 5e-4,
            "the published closed form"
        );

        let hole = straight(420.0, 30.0 * YD, 4).hole();
        let driver = direction_only(if distance_yd > 240.0 { 66.0 } else { 60.0 }, sigma);
        let volley = Volley::fly(&driver, &points(3, 8192), &day(0.0, 0.0), [0.0, 0.0], -1.0);
        let peg = tee_middle(&hole);
        let rests = play(&hole, &volley.toward(0.0), peg);
        let hit = rests
            .iter()
            .filter(|r| r.surface == Surface::Fairway)
            .count() as f64
            / 8192.0;
        // The ball that starts at the edge of the fairway: how far it gets.
        let far = rests
            .iter()
            .map(|r| (r.at.x - peg.x).hypot(r.at.y - peg.y))
            .fold(0.0, f64::max)
            / YD;
        assert!(
            (far - distance_yd).abs() < 25.0,
            "about the published distance: {far}"
        );
        // Balls rest on a circle about the tee, so the edge is at asin; those that
        // leave the fairway while rolling stop earlier, and so are not more.
        let expected = central_share((15.0 / far).asin().to_degrees() / sigma);
        assert!(
            (hit - expected).abs() < 0.01,
            "{hit} against {expected} at {far} yd, σ {sigma}"
        );
    }
}

/// A ball that flies into water crossed the edge where its line meets it, and
/// one that carries a far bank never was in it.
#[test]
fn the_edge_last_crossed_is_on_the_near_bank() {
    let hole = straight(420.0, 40.0, 4)
        .area(
            json!({"golf": "water_hazard", "natural": "water"}),
            &[[-90.0, 150.0], [90.0, 150.0], [90.0, 260.0], [-90.0, 260.0]],
        )
        .hole();
    let driver = direction_only(63.0, 3.0);
    let volley = Volley::fly(&driver, &points(3, 512), &day(0.0, 0.0), [0.0, 0.0], -1.0);
    let peg = tee_middle(&hole);
    let rests = play(&hole, &volley.toward(0.0), peg);
    assert!(rests.iter().all(|r| r.surface == Surface::PenaltyYellow));
    for rest in &rests {
        let crossed = rest
            .crossed
            .expect("a ball in a penalty area crossed its edge");
        assert!(
            (crossed.y - peg.y - 150.0).abs() < 0.03,
            "near bank: {crossed:?}"
        );
        // A straight ball: the crossing lies on the line from the peg to the splash.
        let off =
            crossed.x - peg.x - (rest.at.x - peg.x) * (crossed.y - peg.y) / (rest.at.y - peg.y);
        assert!(off.abs() < 0.05, "on the ball's own line: {off}");
    }
}

/// Blending the flights of neighbouring aims against flying that very aim.
#[test]
fn wind_between_two_flown_aims() {
    let driver = club(&Numbers {
        club: "driver",
        speed: 68.0,
        launch: 12.0,
        spin: 2600.0,
        start: 2.0,
        axis: -6.0,
        start_sd: 2.5,
        axis_sd: 4.0,
    });
    let points = points(11, 512);
    let day = day(8.0, 250.0);
    let wide = Volley::fly(&driver, &points, &day, [-30.0, 30.0], -1.0);
    let mut worst: f64 = 0.0;
    for aim in [-28.5, -13.3, 1.7, 22.5] {
        let own = Volley::fly(&driver, &points, &day, [aim, aim], -1.0);
        let exact = own.toward(aim).flights();
        let blended = wide.toward(aim).flights();
        for i in 0..points.len() {
            let a = blended.ball(i).landing_on_level(0.0).position_m;
            let b = exact.ball(i).landing_on_level(0.0).position_m;
            worst = worst.max(f64::from((a[0] - b[0]).hypot(a[1] - b[1])));
        }
    }
    assert!(worst < 0.1, "blended landing off by {worst} m");
}

/// What is found once for a ball on level ground and laid down again is where the ball
/// comes to rest when it is followed all the way: on the demo's level holes, with
/// woods, sand, water and a boundary, along several aims. Now and then a rounding
/// puts a ball on the other side of an edge, or of a tree.
#[test]
fn a_ball_laid_down_is_the_ball_followed() {
    const BALLS: usize = 2048;
    let player = [
        ("driver", 68.0, 12.0, 2600.0),
        ("7i", 52.0, 17.0, 6500.0),
        ("pw", 42.0, 26.0, 8500.0),
    ];
    let (mut astray, mut all) = (0, 0);
    for name in [
        "01-sickle",
        "04-flue",
        "05-two-bites",
        "06-boundary",
        "07-millpond",
    ] {
        let file = format!("holes/{name}.geojson");
        let bytes = std::fs::read(&file).expect("a demo hole");
        let course = read_course(&file, &bytes, None).expect("a sound hole");
        let hole = &course.holes[0];
        assert!(hole.ground().is_flat(), "{name}");
        let peg = tee_middle(hole);
        let to_pin = (hole.pin.x - peg.x).atan2(hole.pin.y - peg.y).to_degrees();
        for (number, (club_name, speed, launch, spin)) in (1..).zip(player) {
            let club = club(&Numbers {
                club: club_name,
                speed,
                launch,
                spin,
                start: 1.0,
                axis: -6.0,
                start_sd: 3.0,
                axis_sd: 4.0,
            });
            let points = points(number, BALLS);
            let day = day(0.0, 0.0);
            let volley = Volley::fly(&club, &points, &day, [to_pin; 2], -2.0);
            let pattern = club.launches.pattern();
            for aim_deg in [to_pin - 12.0, to_pin, to_pin + 9.0] {
                let laid_down = play(hole, &volley.toward(aim_deg), peg);
                let strikes: Vec<Strike> = points
                    .iter()
                    .map(|point| Strike {
                        from: peg,
                        aim_deg,
                        launch: pattern.draw(point),
                        luck: *point,
                    })
                    .collect();
                for (a, b) in laid_down.iter().zip(play_each(hole, &strikes, &day)) {
                    let apart = |p: Coord<f64>, q: Coord<f64>| (p.x - q.x).hypot(p.y - q.y);
                    let same = a.surface == b.surface
                        && apart(a.at, b.at) < 0.02
                        && apart(a.landed, b.landed) < 0.02
                        && a.crossed.is_some() == b.crossed.is_some();
                    astray += usize::from(!same);
                    all += 1;
                }
            }
        }
    }
    assert!(
        astray * 10_000 < all,
        "{astray} of {all} balls rest elsewhere"
    );
    println!("{astray} of {all} balls rest elsewhere");
}
