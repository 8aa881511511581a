//! Outcomes against closed forms.

mod common;

use bendline::hole::{Coord, Hole, Surface};
use bendline::outcome::{Volley, play};
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
