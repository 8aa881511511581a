//! Flight and ground against closed forms, symmetries, and what players know.

use bendline::flight::air::GRAVITY_M_S2;
use bendline::flight::rest::{CROWN_PER_M, TRUNK_PER_M};
use bendline::flight::{
    AimWind, Air, Ball, Canopy, Firmness, Knot, Launch, Resting, Turf, Weather, Wind, come_to_rest,
    fly, turn,
};
use bendline::units::{FOOT_M, MPH_M_S, RPM_RAD_S, YARD_M};
use proptest::prelude::*;

mod flight_ground;
use flight_ground::Plain;

fn close(found: f64, expected: f64, within: f64, what: &str) {
    assert!(
        (found - expected).abs() <= within,
        "{what}: found {found}, expected {expected} within {within}"
    );
}

fn within(found: f64, band: std::ops::RangeInclusive<f64>, what: &str) {
    assert!(band.contains(&found), "{what}: {found} is not in {band:?}");
}

fn launch(ball_speed_mph: f64, launch_deg: f64, spin_rpm: f64, axis_deg: f64) -> Launch {
    Launch {
        ball_speed_m_s: ball_speed_mph * MPH_M_S,
        launch_deg,
        start_deg: 0.0,
        spin_rad_s: spin_rpm * RPM_RAD_S,
        axis_deg,
    }
}

// Averages that launch monitors report for tour players (memory).
fn driver() -> Launch {
    launch(167.0, 10.9, 2690.0, 0.0)
}
fn three_wood() -> Launch {
    launch(158.0, 9.2, 3655.0, 0.0)
}
fn seven_iron() -> Launch {
    launch(120.0, 16.3, 7097.0, 0.0)
}
fn wedge() -> Launch {
    launch(102.0, 24.2, 9304.0, 0.0)
}

/// A mild day at sea level over open grass.
fn mild() -> Air {
    let weather = Weather {
        temperature_c: 20.0,
        humidity: 0.5,
        ..Weather::default()
    };
    Air::of(&weather, 0.03)
}

fn landing(launch: Launch, wind: AimWind, air: &Air, height_m: f64) -> [f64; 3] {
    let flights = fly(
        &[launch],
        &[wind],
        air,
        &Ball::modern(),
        height_m.min(0.0) - 1.0,
    );
    flights
        .ball(0)
        .landing_on_level(height_m)
        .position_m
        .map(f64::from)
}

fn carry_yd(launch: Launch, wind: AimWind, air: &Air) -> f64 {
    landing(launch, wind, air, 0.0)[1] / YARD_M
}

const CALM: AimWind = AimWind {
    right_m_s: 0.0,
    forward_m_s: 0.0,
};

fn ahead(mph: f64) -> AimWind {
    AimWind {
        right_m_s: 0.0,
        forward_m_s: mph * MPH_M_S,
    }
}

fn rest_on(ground: &Plain, launch: Launch, firmness: Firmness, luck: f64) -> Resting {
    let flights = fly(&[launch], &[], &mild(), &Ball::modern(), -30.0);
    come_to_rest(
        ground,
        flights.ball(0),
        [0.0; 3],
        luck,
        firmness,
        &mut Vec::new(),
    )
}

fn run_yd(launch: Launch, turf: Turf, firmness: Firmness) -> f64 {
    let rest = rest_on(&Plain::of(turf), launch, firmness, 0.5);
    (rest.at[1] - rest.landed[1]) / YARD_M
}

/// Without air: range v² sin 2α / g, apex (v sin α)² / 2g, time 2 v sin α / g.
#[test]
fn without_air_the_path_is_a_parabola() {
    let shot = Launch {
        ball_speed_m_s: 70.0,
        ..launch(0.0, 11.0, 2600.0, 5.0)
    };
    let vacuum = Ball::modern().scaled(0.0, 0.0);
    let flights = fly(&[shot], &[ahead(-20.0)], &mild(), &vacuum, 0.0);
    let flight = flights.ball(0);
    let knot = flight.landing_on_level(0.0);
    let (sin, cos) = 11.0_f64.to_radians().sin_cos();
    close(
        f64::from(knot.position_m[1]),
        2.0 * 4900.0 * sin * cos / GRAVITY_M_S2,
        1.0e-3,
        "range",
    );
    close(
        f64::from(knot.position_m[1]),
        187.2,
        0.05,
        "range, computed before",
    );
    close(f64::from(knot.position_m[0]), 0.0, 0.0, "side");
    let seconds = f64::from(knot.position_m[1]) / (70.0 * cos);
    close(seconds, 2.724, 5.0e-4, "time");
    close(f64::from(knot.velocity_m_s[2]), -70.0 * sin, 1.0e-3, "fall");
    let apex = (70.0 * sin).powi(2) / (2.0 * GRAVITY_M_S2);
    close(apex, 9.096, 5.0e-4, "apex, computed before");
    let highest = flight.landing_on_level(apex - 1.0e-3).position_m[2];
    close(f64::from(highest), apex - 1.0e-3, 1.0e-4, "apex reached");
    let beyond = flight.landing_on_level(apex + 0.5).position_m[2];
    assert!(f64::from(beyond) < apex, "never rises so high");
}

/// ω = ω₀ exp(−4e-5 s/d) along the path s through calm air (the integral of the
/// spin law, whatever the forces).
#[test]
fn spin_fades_with_the_way_through_the_air() {
    let flights = fly(&[driver()], &[], &mild(), &Ball::modern(), 0.0);
    let flight = flights.ball(0);
    let mut way_m = 0.0;
    for interval in 0..flight.knots.len() - 1 {
        for i in 0..50 {
            let v = flight
                .within(interval, (i as f32 + 0.5) / 50.0)
                .velocity_m_s;
            way_m += v.map(|x| f64::from(x).powi(2)).iter().sum::<f64>().sqrt()
                * f64::from(flight.step_s)
                / 50.0;
        }
    }
    let last = flight.knots[flight.knots.len() - 1].spin_rad_s;
    let expected = driver().spin_rad_s * (-4.0e-5 * way_m / 0.042_67).exp();
    close(f64::from(last) / expected, 1.0, 2.0e-6, "spin");
}

/// Falling for long enough, weight and drag balance: v² = 2mg / (ρ A CD).
#[test]
fn a_falling_ball_reaches_its_terminal_speed() {
    let drop = launch(5.0, -90.0, 0.0, 0.0);
    let (air, ball) = (mild(), Ball::modern());
    let flights = fly(&[drop], &[], &air, &ball, -1.0e6);
    let knots = flights.ball(0).knots;
    let speed = -f64::from(knots[knots.len() - 1].velocity_m_s[2]);
    let reynolds = air.density_kg_m3 * speed * ball.diameter_m / air.viscosity_pa_s;
    let [drag, _] = ball.coefficients(reynolds, 0.0);
    let terminal =
        (2.0 * ball.mass_kg * GRAVITY_M_S2 / (air.density_kg_m3 * ball.area_m2() * drag)).sqrt();
    close(speed / terminal, 1.0, 1.0e-4, "terminal speed");
}

/// A woods-lined, sloping, watered hole and its mirror image.
fn hole() -> Plain {
    Plain {
        slope: [0.02, 0.01],
        turf: |e, n| match (e, n) {
            _ if (e - 12.0).hypot(n - 215.0) < 9.0 => Turf::Sand,
            _ if e < -22.0 && n > 180.0 => Turf::Water,
            _ if (-18.0..20.0).contains(&e) => Turf::Fairway,
            _ => Turf::Rough,
        },
        canopy: |e, _| {
            let wood = Canopy {
                base_m: 3.0,
                top_m: 16.0,
            };
            (!(-25.0..30.0).contains(&e)).then_some(wood)
        },
        trees_to_m: 30.0,
    }
}

struct Mirrored(Plain);

impl bendline::flight::Terrain for Mirrored {
    fn height_m(&self, e: f64, n: f64) -> f64 {
        self.0.height_m(-e, n)
    }
    fn gradient(&self, e: f64, n: f64) -> [f64; 2] {
        let [east, north] = self.0.gradient(-e, n);
        [-east, north]
    }
    fn turf(&self, e: f64, n: f64) -> Turf {
        self.0.turf(-e, n)
    }
    fn canopy(&self, e: f64, n: f64) -> Option<Canopy> {
        self.0.canopy(-e, n)
    }
    fn highest_canopy_m(&self) -> f64 {
        self.0.highest_canopy_m()
    }
}

/// The hole with what it knows of its trees and heights told beforehand.
struct Hinted(Plain);

impl bendline::flight::Terrain for Hinted {
    fn height_m(&self, e: f64, n: f64) -> f64 {
        self.0.height_m(e, n)
    }
    fn gradient(&self, e: f64, n: f64) -> [f64; 2] {
        self.0.gradient(e, n)
    }
    fn turf(&self, e: f64, n: f64) -> Turf {
        self.0.turf(e, n)
    }
    fn canopy(&self, e: f64, n: f64) -> Option<Canopy> {
        self.0.canopy(e, n)
    }
    fn highest_canopy_m(&self) -> f64 {
        self.0.highest_canopy_m()
    }
    fn may_have_trees(&self, low_m: [f64; 2], high_m: [f64; 2]) -> bool {
        low_m[0] < -25.0 || high_m[0] >= 30.0
    }
    fn highest_ground_m(&self) -> f64 {
        // No ball of these tests comes further than 450 m on and 250 m to the side.
        0.02 * 250.0 + 0.01 * 450.0
    }
}

fn any_launch() -> impl Strategy<Value = Launch> {
    (
        60.0..180.0,
        -5.0..35.0,
        -12.0..12.0,
        500.0..10_000.0,
        -30.0..30.0,
    )
        .prop_map(|(mph, up, start_deg, rpm, tilt)| Launch {
            start_deg,
            ..launch(mph, up, rpm, tilt)
        })
}

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

/// Numbers that are none end a flight instead of hanging or panicking.
#[test]
fn a_launch_that_is_no_number_ends() {
    let broken = Launch {
        ball_speed_m_s: f64::NAN,
        ..driver()
    };
    let still = launch(0.0, 0.0, 0.0, 0.0);
    let flights = fly(
        &[broken, still, driver()],
        &[],
        &mild(),
        &Ball::modern(),
        -1.0,
    );
    assert_eq!(flights.len(), 3);
    let mut track = Vec::new();
    for i in 0..3 {
        let ball = flights.ball(i);
        let _ = ball.landing_on_level(0.0);
        let _ = come_to_rest(&hole(), ball, [0.0; 3], 0.5, Firmness::Medium, &mut track);
    }
    let alone = fly(&[driver()], &[], &mild(), &Ball::modern(), -1.0);
    assert_eq!(
        alone.ball(0),
        flights.ball(2),
        "neighbours in a batch do not matter"
    );
}

/// A floor above the tee stops a ball on its way down, not on its way up.
#[test]
fn a_floor_above_the_tee_waits_for_the_way_down() {
    let level = fly(&[seven_iron()], &[], &mild(), &Ball::modern(), -1.0);
    let raised = fly(&[seven_iron()], &[], &mild(), &Ball::modern(), 10.0);
    assert_eq!(
        raised.ball(0).landing_on_level(10.0),
        level.ball(0).landing_on_level(10.0)
    );
    assert!(raised.ball(0).knots.len() < level.ball(0).knots.len());
}

/// Turning a flight is turning each of its vectors; blending with itself is itself.
#[test]
fn flights_turn_and_blend() {
    let shots = [driver(), launch(120.0, 16.0, 7000.0, 12.0)];
    let calm = fly(&shots, &[], &mild(), &Ball::modern(), -5.0);
    let windy = fly(&shots, &[ahead(-12.0); 2], &mild(), &Ball::modern(), -5.0);
    let turned = calm.turned(120.0);
    for i in 0..2 {
        let (a, b) = (calm.ball(i), turned.ball(i));
        for (p, q) in a.knots.iter().zip(b.knots) {
            let expected = turn(p.position_m.map(f64::from), 120.0);
            for (found, expected) in q.position_m.iter().zip(expected) {
                close(f64::from(*found), expected, 1.0e-4, "turned");
            }
        }
        let expected = turn(a.axis.map(f64::from), 120.0);
        close(f64::from(b.axis[0]), expected[0], 1.0e-6, "axis");
    }
    assert_eq!(calm.blend(&calm, 0.3), calm);
    let half = calm.blend(&windy, 0.5);
    for i in 0..2 {
        let y = |k: Knot| f64::from(k.position_m[1]);
        let [a, b, c] = [&calm, &windy, &half].map(|f| y(f.ball(i).landing_on_level(0.0)));
        // Half the wind gives about the middle, a little beyond as drag is convex.
        close(c, 0.5 * (a + b), 0.06 * (a - b).abs(), "half way");
        let direct = fly(&shots, &[ahead(-6.0); 2], &mild(), &Ball::modern(), -5.0);
        close(
            c,
            y(direct.ball(i).landing_on_level(0.0)),
            2.0,
            "half the wind",
        );
    }
}

/// A wind from the right of the aim blows to its left; head winds come from ahead.
#[test]
fn winds_are_seen_from_the_aim() {
    let wind = Wind {
        speed_m_s: 5.0,
        from_deg: 240.0,
        gust_share: 0.2,
    };
    let mean = |aim| wind.in_aim(aim, [0.5, 0.5]);
    close(mean(240.0).forward_m_s, -5.0, 1.0e-9, "into the wind");
    close(mean(60.0).forward_m_s, 5.0, 1.0e-9, "down the wind");
    close(mean(150.0).right_m_s, -5.0, 1.0e-9, "from the right");
    close(mean(330.0).right_m_s, 5.0, 1.0e-9, "from the left");
    // One standard deviation up: Φ(1) = 0.841345.
    let gust = wind.in_aim(240.0, [0.841_344_746, 0.5]);
    close(gust.forward_m_s, -6.0, 1.0e-6, "gust");
}

/// Practice: what wind does to a drive.
#[test]
fn wind_costs_more_than_it_gives() {
    let air = mild();
    let still = carry_yd(driver(), CALM, &air);
    for mph in [5.0, 10.0, 15.0, 20.0] {
        let percent = |wind: AimWind| (carry_yd(driver(), wind, &air) / still - 1.0) * 100.0 / mph;
        let (head, tail) = (percent(ahead(-mph)), percent(ahead(mph)));
        println!("{mph} mph: head {head:.2} %, tail {tail:.2} % a mph");
        assert!(-head > tail, "{mph} mph: head {head}, tail {tail}");
        if mph == 10.0 {
            within(head, -1.1..=-0.8, "headwind, % a mph");
            within(tail, 0.4..=0.8, "tailwind, % a mph");
        }
    }
    let cross = AimWind {
        right_m_s: 10.0 * MPH_M_S,
        forward_m_s: 0.0,
    };
    let side_yd = landing(driver(), cross, &air, 0.0)[0] / YARD_M;
    within(side_yd, 12.0..=20.0, "10 mph of crosswind");
}

/// Practice: +1.0 to +1.4 % of carry per 1000 ft; 1–3 yd per 10 °F.
#[test]
fn thin_and_warm_air_carries_further() {
    let at = |feet: f64| {
        let air = Air::of(&Weather::at_altitude(feet * FOOT_M), 0.03);
        carry_yd(driver(), CALM, &air)
    };
    within(
        (at(5000.0) / at(0.0) - 1.0) * 20.0,
        1.0..=1.4,
        "% per 1000 ft",
    );
    let warm = |fahrenheit: f64| {
        let weather = Weather {
            temperature_c: (fahrenheit - 32.0) / 1.8,
            humidity: 0.5,
            ..Weather::default()
        };
        carry_yd(driver(), CALM, &Air::of(&weather, 0.03))
    };
    within((warm(90.0) - warm(50.0)) / 4.0, 1.0..=3.0, "yd per 10 °F");
}

/// Practice: about a yard of carry per yard of drop or rise, more uphill with a driver.
#[test]
fn a_yard_up_or_down_is_about_a_yard() {
    let at = |shot, rise_yd: f64| landing(shot, CALM, &mild(), rise_yd * YARD_M)[1] / YARD_M;
    for shot in [driver(), seven_iron(), wedge()] {
        let up = (at(shot, 0.0) - at(shot, 10.0)) / 10.0;
        let down = (at(shot, -10.0) - at(shot, 0.0)) / 10.0;
        println!("up {up:.2}, down {down:.2}");
        within(up, 0.6..=1.8, "yd a yd of rise");
        within(down, 0.5..=1.3, "yd a yd of drop");
        assert!(up > down);
    }
    let up = |shot| at(shot, 0.0) - at(shot, 10.0);
    assert!(up(driver()) > up(seven_iron()));
}

/// Practice: 0.6–1.2 % of carry of curve per degree of axis tilt, to the side of the tilt.
#[test]
fn the_ball_bends_with_its_axis() {
    for tilt in [-12.0, -5.0, 5.0, 12.0] {
        let place = landing(
            Launch {
                axis_deg: tilt,
                ..driver()
            },
            CALM,
            &mild(),
            0.0,
        );
        within(place[0] / place[1] / tilt * 100.0, 0.6..=1.2, "% a degree");
    }
    // 1° offline is 1.7455 % of the distance (tan 1°).
    let offline = Launch {
        start_deg: 1.0,
        ..driver()
    };
    let place = landing(offline, CALM, &mild(), 0.0);
    close(place[0] / place[1], 0.017_455, 1.0e-6, "1° offline");
}

/// Averages that launch monitors report for tour players (memory).
#[test]
fn clubs_carry_what_launch_monitors_report() {
    let air = mild();
    within(carry_yd(driver(), CALM, &air), 265.0..=280.0, "driver");
    within(carry_yd(seven_iron(), CALM, &air), 167.0..=176.0, "7-iron");
    within(
        carry_yd(wedge(), CALM, &air),
        132.0..=139.0,
        "pitching wedge",
    );
}

/// Practice: a driver runs about 5, 20, 35 yd on soft, medium, firm fairway.
#[test]
fn firm_ground_lets_the_ball_run() {
    let run = |shot, firmness| run_yd(shot, Turf::Fairway, firmness);
    within(run(driver(), Firmness::Soft), 3.0..=8.0, "soft");
    within(run(driver(), Firmness::Medium), 15.0..=25.0, "medium");
    within(run(driver(), Firmness::Firm), 28.0..=42.0, "firm");
    for firmness in [Firmness::Soft, Firmness::Medium, Firmness::Firm] {
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
