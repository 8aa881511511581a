//! From the landing to rest, against closed forms, symmetries, and what players know.

use bendline::flight::air::GRAVITY_M_S2;
use bendline::flight::bounce::Ground;
use bendline::flight::rest::{CROWN_PER_M, LIP_M, TRUNK_PER_M};
use bendline::flight::{
    AimWind, Ball, Canopy, Firmness, Footing, Launch, Resting, Terrain, Turf, come_to_rest, fly,
};
use bendline::units::FOOT_M;
use proptest::prelude::*;

mod flight_ground;
use flight_ground::*;

proptest! {
    /// Left and right mean the same to the physics: a mirrored shot over
    /// mirrored ground finishes in the mirrored place.
    #[test]
    fn a_mirrored_shot_rests_in_the_mirrored_place(
        shot in any_launch(),
        right_m_s in -12.0..12.0,
        forward_m_s in -12.0..12.0,
        luck in 0.01..0.99,
    ) {
        let other = Launch { start_deg: -shot.start_deg, axis_deg: -shot.axis_deg, ..shot };
        let winds = [
            AimWind { right_m_s, forward_m_s },
            AimWind { right_m_s: -right_m_s, forward_m_s },
        ];
        let flights = fly(&[shot, other], &winds, &mild(), &Ball::modern(), -20.0);
        let mut tracks = [Vec::new(), Vec::new()];
        let [here, there] = &mut tracks;
        let a = come_to_rest(&hole(), flights.ball(0), [0.0; 3], luck, Firmness::Medium, here);
        let mirrored = Mirrored(hole());
        let b = come_to_rest(&mirrored, flights.ball(1), [0.0; 3], luck, Firmness::Medium, there);
        prop_assert!((a.at[0] + b.at[0]).abs() < 1.0e-9 && (a.at[1] - b.at[1]).abs() < 1.0e-9);
        prop_assert_eq!((a.turf, a.hit_tree), (b.turf, b.hit_tree));
        prop_assert_eq!(here.len(), there.len());
    }

    /// What a terrain tells beforehand saves time and changes nothing.
    #[test]
    fn hints_change_nothing(shot in any_launch(), luck in 0.01..0.99) {
        let flights = fly(&[shot], &[], &mild(), &Ball::modern(), -20.0);
        let ball = flights.ball(0);
        let mut tracks = [Vec::new(), Vec::new()];
        let [plain, hinted] = &mut tracks;
        let a = come_to_rest(&hole(), ball, [0.0; 3], luck, Firmness::Firm, plain);
        let b = come_to_rest(&Hinted(hole()), ball, [0.0; 3], luck, Firmness::Firm, hinted);
        prop_assert_eq!(a, b);
        prop_assert_eq!(plain, hinted);
    }

    /// Whatever is thrown at it, the ground gives a place and does not panic.
    #[test]
    fn any_launch_comes_to_rest(shot in any_launch(), luck in 0.0..=1.0, peg_m in 0.0..5.0) {
        let flights = fly(&[shot], &[], &mild(), &Ball::modern(), -40.0);
        let mut track = Vec::new();
        let peg = [0.0, 0.0, peg_m];
        let rest = come_to_rest(&hole(), flights.ball(0), peg, luck, Firmness::Firm, &mut track);
        prop_assert!(rest.at.iter().chain(&rest.landed).all(|x| x.is_finite()));
        prop_assert!(rest.at[1] > -60.0 && rest.at[1] < 420.0, "{:?}", rest);
        prop_assert!(!track.is_empty());
    }
}

/// Practice: a driver runs about 5, 20, 35 yd on soft, medium, firm fairway: here
/// within 2, 4 and 3 yd of that for a tour player's drive (167 mph of ball) and for
/// amateurs' of 100 mph (145 mph of ball, launched as high as is advised and lower)
/// and of 93 mph (135 mph of ball) of club.
#[test]
fn firm_ground_lets_the_ball_run() {
    let run = |shot, firmness| run_yd(shot, Turf::Fairway, firmness);
    for drive in [
        driver(),
        launch(145.0, 12.5, 2700.0, 0.0),
        launch(145.0, 11.0, 2600.0, 0.0),
        launch(135.0, 12.5, 2800.0, 0.0),
    ] {
        within(run(drive, Firmness::Soft), 3.0..=7.0, "soft");
        within(run(drive, Firmness::Medium), 16.0..=24.0, "medium");
        within(run(drive, Firmness::Firm), 32.0..=38.0, "firm");
    }
    for firmness in [Firmness::Soft, Firmness::Medium, Firmness::Firm] {
        println!(
            "{firmness:?}: driver {:.2}, 3-wood {:.2}, 7-iron {:.2} yd",
            run(driver(), firmness),
            run(three_wood(), firmness),
            run(seven_iron(), firmness)
        );
        assert!(run(driver(), firmness) > 1.5 * run(three_wood(), firmness));
        assert!(run(three_wood(), firmness) > 1.5 * run(seven_iron(), firmness));
        assert!(run(seven_iron(), firmness) > run(wedge(), firmness));
        let on = |turf| run_yd(driver(), turf, firmness);
        assert!(on(Turf::Rough) < 0.5 * on(Turf::Fairway));
        assert!(on(Turf::Sand) < 1.5, "sand nearly plugs");
        assert_eq!(on(Turf::Water), 0.0, "water keeps it");
    }
}

/// Practice: a wedge stops within a few yards on a green, or spins back a little.
#[test]
fn wedges_stop_on_greens() {
    for shot in [wedge(), launch(75.0, 30.0, 9800.0, 0.0)] {
        within(
            run_yd(shot, Turf::Green, Firmness::Soft),
            -4.0..=1.0,
            "soft",
        );
        within(
            run_yd(shot, Turf::Green, Firmness::Medium),
            -3.0..=2.0,
            "medium",
        );
        within(
            run_yd(shot, Turf::Green, Firmness::Firm),
            -2.0..=5.0,
            "firm",
        );
    }
    assert!(run_yd(seven_iron(), Turf::Green, Firmness::Medium) < 8.0);
}

/// A tilted spin kicks the ball on to the side it was bending to.
#[test]
fn sidespin_kicks_on_landing() {
    let tilted = Launch {
        axis_deg: 15.0,
        ..driver()
    };
    let rest = rest_on(&Plain::of(Turf::Fairway), tilted, Firmness::Medium, 0.5);
    let straight_on = rest.landed[0] / rest.landed[1];
    let run = [rest.at[0] - rest.landed[0], rest.at[1] - rest.landed[1]];
    assert!(run[0] / run[1] > straight_on, "{run:?}");
}

/// A ball started along the ground: s = v²/2a at constant deceleration a; the
/// launch's bounce first takes it to rolling, 5/7 of its speed without spin.
#[test]
fn a_putt_rolls_as_far_as_the_stimpmeter_says() {
    let putt = Launch {
        ball_speed_m_s: 1.4 * 1.83,
        ..launch(0.0, 0.0, 0.0, 0.0)
    };
    let flights = fly(&[putt], &[], &mild(), &Ball::modern(), -1.0);
    let mut track = Vec::new();
    let green = Plain::of(Turf::Green);
    let ball = flights.ball(0);
    let rest = come_to_rest(&green, ball, [0.0; 3], 0.5, Firmness::Medium, &mut track);
    close(rest.at[1], 10.0 * FOOT_M, 0.02, "10 ft on a green of 10 ft");
}

/// On a slope s the pull is (5/7) g s / (1 + s²): uphill shorter, downhill further.
#[test]
fn slopes_pull_the_roll() {
    let roll = |slope: f64| {
        let putt = Launch {
            ball_speed_m_s: 1.4 * 1.83,
            ..launch(0.0, 0.0, 0.0, 0.0)
        };
        let ground = Plain {
            slope: [0.0, slope],
            ..Plain::of(Turf::Green)
        };
        // Along the slope, so that the launch does not bounce.
        let putt = Launch {
            launch_deg: slope.atan().to_degrees(),
            ..putt
        };
        let flights = fly(&[putt], &[], &mild(), &Ball::modern(), -1.0);
        let ball = flights.ball(0);
        come_to_rest(
            &ground,
            ball,
            [0.0; 3],
            0.5,
            Firmness::Medium,
            &mut Vec::new(),
        )
        .at[1]
    };
    for slope in [-0.03, -0.01, 0.02, 0.04] {
        let pull = 5.0 / 7.0 * GRAVITY_M_S2 * slope / (1.0 + slope * slope);
        let deceleration = 1.83 * 1.83 / (20.0 * FOOT_M) + pull;
        let expected = 1.83 * 1.83 / (2.0 * deceleration);
        close(roll(slope) / expected, 1.0, 0.02, "roll on a slope");
    }
}

/// Running from one surface into another.
#[test]
fn the_roll_meets_what_lies_on_its_way() {
    let mut ground = Plain::of(Turf::Fairway);
    let free = rest_on(&ground, driver(), Firmness::Firm, 0.5);
    ground.turf = |_, n| {
        if n > 273.0 {
            Turf::Water
        } else {
            Turf::Fairway
        }
    };
    assert!(free.landed[1] < 250.0 && free.at[1] > 273.5, "{free:?}");
    let wet = rest_on(&ground, driver(), Firmness::Firm, 0.5);
    assert_eq!(wet.turf, Turf::Water);
    within(wet.at[1], 273.0..=273.05, "just inside the edge");
    ground.turf = |_, n| if n > 273.0 { Turf::Sand } else { Turf::Fairway };
    let sandy = rest_on(&ground, driver(), Firmness::Firm, 0.5);
    assert_eq!(sandy.turf, Turf::Sand);
    within(sandy.at[1], 273.0..=free.at[1] - 0.5, "held by the sand");
}

/// A ball started along the ground at its rolling speed, m/s.
fn rolled(ground: &Plain, speed_m_s: f64, luck: f64) -> Resting {
    let putt = Launch {
        ball_speed_m_s: 1.4 * speed_m_s,
        ..launch(0.0, 0.0, 0.0, 0.0)
    };
    let flights = fly(&[putt], &[], &mild(), &Ball::modern(), -1.0);
    let ball = flights.ball(0);
    come_to_rest(
        ground,
        ball,
        [0.0; 3],
        luck,
        Firmness::Medium,
        &mut Vec::new(),
    )
}

/// A lip of height h takes 10/7 g h of a rolling ball's v² (energy of a solid
/// sphere, 7/10 m v²); that height is practice.
#[test]
fn a_bunkers_lip_stops_what_rolls_in_the_sand() {
    let bunker = || Plain {
        turf: |_, n| if n < 0.2 { Turf::Sand } else { Turf::Fairway },
        ..Plain::of(Turf::Sand)
    };
    let least = (10.0 / 7.0 * GRAVITY_M_S2 * LIP_M).sqrt();
    // In sand 12 + 2v m/s² slow a roll.
    let sand = Plain::of(Turf::Sand);
    let reach = |speed: f64| rolled(&sand, speed, 0.5).at[1];
    // A ball which would roll on past the edge, but is too slow there for its lip.
    let slow = (1..200)
        .map(|i| f64::from(i) * 0.1)
        .find(|v| reach(*v) > 0.3)
        .expect("some");
    let stopped = rolled(&bunker(), slow, 0.5);
    assert_eq!(stopped.turf, Turf::Sand);
    within(stopped.at[1], 0.19..=0.2, "under the lip");
    // The slowest that gets out would, without the lip, have had √(10/7 g h) left at
    // the edge, and rolled on in the sand by ∫ v dv/(12 + 2v) = v/2 − 3 ln(1 + v/6).
    let (mut held, mut out) = (slow, 40.0);
    for _ in 0..40 {
        let middle = 0.5 * (held + out);
        match rolled(&bunker(), middle, 0.5).turf {
            Turf::Sand => held = middle,
            _ => out = middle,
        }
    }
    let expected = 0.2 + least / 2.0 - 3.0 * (1.0 + least / 6.0).ln();
    // A roll's last step is a centimetre or two off.
    close(reach(out), expected, 0.02, "the slowest that gets out");
    assert!(rolled(&bunker(), out + 0.1, 0.5).at[1] > 0.2);
    // Into the sand there is no lip to climb.
    let into = Plain {
        turf: |_, n| if n < 2.0 { Turf::Fairway } else { Turf::Sand },
        ..Plain::of(Turf::Fairway)
    };
    let rest = rolled(&into, 4.5, 0.5);
    assert_eq!(rest.turf, Turf::Sand);
}

/// A ditch a third of a metre wide catches whatever rolls at it.
#[test]
fn a_narrow_ditch_is_not_rolled_over() {
    for i in 0..60 {
        let speed = 5.5 + 0.1 * f64::from(i);
        let ditch = Plain {
            turf: |_, n| {
                if (3.0..3.33).contains(&n) {
                    Turf::Water
                } else {
                    Turf::Fairway
                }
            },
            ..Plain::of(Turf::Fairway)
        };
        let rest = rolled(&ditch, speed, 0.5);
        assert_eq!(rest.turf, Turf::Water, "{speed} m/s: {rest:?}");
        within(rest.at[1], 3.0..=3.02, "at its edge");
    }
}

/// Trunks stop what rolls through a wood: of the balls that have d metres to go
/// a share exp(−d·p) passes (Beer–Lambert), and the others rest where they hit.
#[test]
fn a_trunk_stops_a_roll() {
    let wood = Plain {
        canopy: |_, n| {
            (1.0..4.0).contains(&n).then_some(Canopy {
                base_m: 3.0,
                top_m: 20.0,
            })
        },
        trees_to_m: 20.0,
        ..Plain::of(Turf::Fairway)
    };
    let threshold = 1.0 - (-3.0 * TRUNK_PER_M).exp();
    let low = rolled(&wood, 6.0, threshold * 0.5);
    assert!(low.hit_tree);
    within(low.at[1], 1.0..=4.0, "in the wood");
    assert!(!rolled(&wood, 6.0, threshold + 0.02).hit_tree);
}

/// The ball lands where the ground is: on a rising and on a falling slope.
#[test]
fn the_ball_lands_on_the_slope() {
    let flights = fly(&[driver()], &[], &mild(), &Ball::modern(), -40.0);
    for slope in [-0.08, 0.0, 0.05] {
        let ground = Plain {
            slope: [0.0, slope],
            ..Plain::of(Turf::Rough)
        };
        let peg = [0.0, 0.0, 0.03];
        let ball = flights.ball(0);
        let rest = come_to_rest(&ground, ball, peg, 0.5, Firmness::Medium, &mut Vec::new());
        close(
            rest.landed[2],
            slope * rest.landed[1],
            1.0e-3,
            "on the ground",
        );
        let level = ball.landing_on_level(rest.landed[2] - 0.03);
        close(
            f64::from(level.position_m[1]),
            rest.landed[1],
            0.01,
            "on the path",
        );
    }
}

fn belt(from_m: f64, canopy: fn(f64, f64) -> Option<Canopy>) -> Plain {
    assert!(from_m > 0.0);
    Plain {
        canopy,
        trees_to_m: 20.0,
        ..Plain::of(Turf::Rough)
    }
}

/// Beer–Lambert: of balls through d metres of crown a share exp(−d/ℓ) comes out,
/// and whether a ball does is decided by its luck alone.
#[test]
fn trees_stop_their_share() {
    // 30 m of wood, 80 m from the tee; a low drive goes through its crowns.
    let wood = belt(80.0, |_, n| {
        (80.0..110.0).contains(&n).then_some(Canopy {
            base_m: 1.0,
            top_m: 20.0,
        })
    });
    let low = launch(150.0, 5.0, 2200.0, 0.0);
    let stopped = |luck: f64| rest_on(&wood, low, Firmness::Medium, luck).hit_tree;
    let threshold = 1.0 - (-30.0 * CROWN_PER_M).exp();
    assert!(
        stopped(threshold - 0.005) && !stopped(threshold + 0.005),
        "{threshold}"
    );
    let hit = rest_on(&wood, low, Firmness::Medium, 0.5);
    within(hit.at[1], 80.0..=115.0, "rests in the wood");
    assert!(hit.landed[2] > 1.0, "hit in the crown");
    // Over the top, and under the crowns among the trunks.
    assert!(
        !rest_on(
            &wood,
            launch(150.0, 25.0, 4000.0, 0.0),
            Firmness::Medium,
            0.01
        )
        .hit_tree
    );
    let tall = belt(80.0, |_, n| {
        (80.0..110.0).contains(&n).then_some(Canopy {
            base_m: 12.0,
            top_m: 20.0,
        })
    });
    let stopped = |luck: f64| rest_on(&tall, low, Firmness::Medium, luck).hit_tree;
    let threshold = 1.0 - (-30.0 * TRUNK_PER_M).exp();
    assert!(
        stopped(threshold - 0.02) && !stopped(threshold + 0.02),
        "{threshold}"
    );
}

/// Level ground, a green up to the origin's latitude and rough beyond, with or without a fringe.
struct Edge {
    fringe_m: f64,
}

impl Terrain for Edge {
    fn height_m(&self, _: f64, _: f64) -> f64 {
        0.0
    }
    fn gradient(&self, _: f64, _: f64) -> [f64; 2] {
        [0.0; 2]
    }
    fn turf(&self, _: f64, north_m: f64) -> Turf {
        if north_m < 10.0 {
            Turf::Green
        } else {
            Turf::Rough
        }
    }
    fn footing(&self, east_m: f64, north_m: f64) -> Footing {
        let turf = self.turf(east_m, north_m);
        let off_m = north_m - 10.0;
        if (0.0..self.fringe_m).contains(&off_m) {
            Footing::beside(turf, Turf::Green, off_m / self.fringe_m)
        } else {
            Footing::of(turf)
        }
    }
    fn canopy(&self, _: f64, _: f64) -> Option<Canopy> {
        None
    }
    fn highest_canopy_m(&self) -> f64 {
        f64::NEG_INFINITY
    }
}

/// Energy: over a band of deceleration `d + k v` a ball's v² falls by about `2 (d + k v) s`; summed here
/// by tenths of a millimetre from the speed at the edge, the resistance of rough growing in even
/// steps over a metre. So what rolls off a green runs further than at a line, and what comes off
/// ever faster comes to rest ever further out, without a place that holds many.
#[test]
fn a_fringe_slows_a_ball_by_degrees() {
    let ground = |turf| Ground::of(turf, Firmness::Medium);
    let (green, rough) = (ground(Turf::Green), ground(Turf::Rough));
    let rolled = |fringe_m: f64, speed_m_s: f64| {
        // A putt's bounce takes it to rolling, 5/7 of its speed without spin.
        let putt = Launch {
            ball_speed_m_s: speed_m_s * 7.0 / 5.0,
            ..launch(0.0, 0.0, 0.0, 0.0)
        };
        let flights = fly(&[putt], &[], &mild(), &Ball::modern(), -1.0);
        let edge = Edge { fringe_m };
        come_to_rest(
            &edge,
            flights.ball(0),
            [0.0; 3],
            0.5,
            Firmness::Medium,
            &mut Vec::new(),
        )
        .at[1]
    };
    let bands = f64::from(Footing::BANDS);
    let summed = |speed_m_s: f64| {
        let (mut squared, mut at) = (speed_m_s * speed_m_s, 0.0);
        let step_m = 1.0e-4;
        while squared > 0.0 {
            let share = if at < 10.0 {
                0.0
            } else {
                (((at - 10.0) * bands).floor() + 0.5) / bands
            };
            let share = if at >= 11.0 { 1.0 } else { share };
            let mix = |a: f64, b: f64| a + share * (b - a);
            let slows = mix(green.deceleration_m_s2, rough.deceleration_m_s2)
                + mix(green.drag_per_s, rough.drag_per_s) * squared.sqrt();
            squared -= 2.0 * slows * step_m;
            at += step_m;
        }
        at
    };
    let mut before = 0.0;
    for hundredths in (335..=520).step_by(5) {
        let speed = f64::from(hundredths) / 100.0;
        let (line, fringe) = (rolled(0.0, speed), rolled(1.0, speed));
        if fringe > 10.02 {
            assert!(fringe > line, "{speed}: {fringe}, {line}");
        }
        within(fringe - summed(speed), -0.15..=0.15, "against the sum");
        assert!(fringe > before, "{speed}");
        before = fringe;
    }
}
