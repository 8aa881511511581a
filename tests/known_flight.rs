//! Flight against closed forms, symmetries, and what players know.

use bendline::flight::air::GRAVITY_M_S2;
use bendline::flight::{
    AimWind, Air, Ball, Firmness, Knot, Launch, Weather, Wind, come_to_rest, fly, turn,
};
use bendline::units::{FOOT_M, MPH_M_S, YARD_M};

mod flight_ground;
use flight_ground::*;

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

/// The same bands for an iron and a wedge: per cent of carry a mph at 10 mph.
#[test]
fn wind_costs_irons_as_it_costs_drives() {
    let air = mild();
    for shot in [seven_iron(), wedge()] {
        let still = carry_yd(shot, CALM, &air);
        let percent = |mph: f64| (carry_yd(shot, ahead(mph), &air) / still - 1.0) * 10.0;
        let (head, tail) = (percent(-10.0), percent(10.0));
        println!("head {head:.2} %, tail {tail:.2} % a mph");
        within(head, -1.1..=-0.8, "headwind, % a mph");
        within(tail, 0.4..=0.8, "tailwind, % a mph");
        assert!(-head > tail);
    }
}

/// Practice: +1.0 to +1.4 % of carry per 1000 ft; 1–3 yd per 10 °F of a drive of 250 yd, and of an
/// iron or wedge its share of that.
#[test]
fn thin_and_warm_air_carries_further() {
    for shot in [driver(), seven_iron(), wedge()] {
        let at = |feet: f64| {
            let air = Air::of(&Weather::at_altitude(feet * FOOT_M), 0.03);
            carry_yd(shot, CALM, &air)
        };
        let per_1000_ft = (at(5000.0) / at(0.0) - 1.0) * 20.0;
        let warm = |fahrenheit: f64| {
            let weather = Weather {
                temperature_c: (fahrenheit - 32.0) / 1.8,
                humidity: 0.5,
                ..Weather::default()
            };
            carry_yd(shot, CALM, &Air::of(&weather, 0.03))
        };
        let per_10_f = (warm(90.0) - warm(50.0)) / 4.0 * 250.0 / warm(70.0);
        println!("{per_1000_ft:.2} % per 1000 ft, {per_10_f:.2} yd of 250 per 10 °F");
        within(per_1000_ft, 1.0..=1.4, "% per 1000 ft");
        within(per_10_f, 1.0..=3.0, "yd of 250 per 10 °F");
    }
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
