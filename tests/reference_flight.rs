//! Flight, air and ground against sources outside the project.

use bendline::flight::ball::SPIN_DECAY;
use bendline::flight::bounce::{
    Ground, Motion, bounce, dent_slope_deg, green_deceleration_m_s2, restitution,
};
use bendline::flight::{
    AimWind, Air, Ball, Firmness, Knot, Launch, Turf, Weather, come_to_rest, fly,
};
use bendline::units::{MPH_M_S, RPM_RAD_S, YARD_M};

mod flight_ground;
use flight_ground::Plain;

fn close(found: f64, expected: f64, within: f64, what: &str) {
    assert!(
        (found - expected).abs() <= within,
        "{what}: found {found}, expected {expected} within {within}"
    );
}

fn launch(ball_speed_m_s: f64, launch_deg: f64, spin_rpm: f64, axis_deg: f64) -> Launch {
    Launch {
        ball_speed_m_s,
        launch_deg,
        start_deg: 0.0,
        spin_rad_s: spin_rpm * RPM_RAD_S,
        axis_deg,
    }
}

fn landing(launch: Launch, wind: AimWind, air: &Air, ball: &Ball, height_m: f64) -> Knot {
    fly(&[launch], &[wind], air, ball, height_m - 1.0)
        .ball(0)
        .landing_on_level(height_m)
}

const CALM: AimWind = AimWind {
    right_m_s: 0.0,
    forward_m_s: 0.0,
};

/// Picard, Davis, Gläser & Fujii, Metrologia 45 (2008) 149 (constants from
/// memory, 95 %; values computed from them).
#[test]
fn moist_air_is_as_dense_as_cipm_2007_says() {
    for (temperature_c, pressure_pa, humidity, expected) in [
        (20.0, 101_325.0, 0.5, 1.199_314),
        (25.0, 100_000.0, 0.5, 1.161_824),
        (30.0, 101_325.0, 0.8, 1.150_012),
        (10.0, 90_000.0, 0.5, 1.104_920),
    ] {
        let weather = Weather {
            temperature_c,
            pressure_pa,
            humidity,
        };
        close(weather.density_kg_m3(), expected, 1.0e-6, "CIPM-2007");
    }
}

/// ISO 2533 / US Standard Atmosphere (read), four decimals.
#[test]
fn the_standard_atmosphere_thins_with_altitude() {
    for (altitude_m, expected) in [(0.0, 1.225_0), (1000.0, 1.111_7), (2000.0, 1.006_6)] {
        let weather = Weather::at_altitude(altitude_m);
        close(weather.ideal_density_kg_m3(), expected, 5.1e-5, "ISO 2533");
        // The real gas is 0.04 % denser than the ideal one of the standard.
        close(
            weather.density_kg_m3() / expected,
            1.0004,
            1.0e-4,
            "real gas",
        );
    }
}

/// Sutherland's formula with the constants of ISO 2533 (computed).
#[test]
fn viscosity_is_sutherlands() {
    for (temperature_c, expected) in [(0.0, 1.7161e-5), (15.0, 1.7894e-5), (30.0, 1.8609e-5)] {
        let weather = Weather {
            temperature_c,
            ..Weather::default()
        };
        close(weather.viscosity_pa_s(), expected, 5.1e-10, "viscosity");
    }
}

/// u(2 m)/u(10 m) over open grass: Davenport–Wieringa roughness 0.03 m (read).
#[test]
fn wind_follows_the_log_law() {
    let mut air = Air::of(&Weather::default(), 0.03);
    close(air.wind_share(2.0), 0.723, 5.0e-4, "2 m over open grass");
    close(air.wind_share(10.0), 1.0, 1.0e-12, "10 m");
    close(
        air.wind_share(30.0),
        (30.0_f64 / 0.03).ln() / (10.0_f64 / 0.03).ln(),
        1.0e-12,
        "30 m",
    );
    // Mown grass, roughness 0.01 m (memory): ln 200 / ln 1000.
    air.roughness_m = 0.01;
    close(air.wind_share(2.0), 0.767, 5.0e-4, "2 m over mown grass");
    air.roughness_m = 0.0;
    close(air.wind_share(1.0), 1.0, 0.0, "no roughness, no profile");
}

/// The trajectories of the older ball computed with SciPy's DOP853 at rtol
/// 1e-10 (Radau agrees to 8 digits): uniform wind, ρ 1.225, μ 1.81e-5.
#[test]
fn the_older_ball_flies_the_reference_trajectories_to_a_centimetre() {
    let air = Air {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.81e-5,
        roughness_m: 0.0,
    };
    let ball = Ball::smits_smith();
    let wind = |right_m_s, forward_m_s| AimWind {
        right_m_s,
        forward_m_s,
    };
    // tilt, wind, forward, right, fall angle, speed, rpm
    for (tilt_deg, wind, forward_m, right_m, fall_deg, speed_m_s, rpm) in [
        (0.0, CALM, 213.270_65, 0.0, 38.40, 27.64, 2109.0),
        (-8.0, CALM, 211.901_56, -14.875_270, 38.06, 27.63, 2111.0),
        (
            -8.0,
            wind(5.0, -5.0),
            189.952_09,
            0.816_631_38,
            47.64,
            24.05,
            2080.0,
        ),
    ] {
        let knot = landing(launch(70.0, 11.0, 2600.0, tilt_deg), wind, &air, &ball, 0.0);
        let [right, forward, up] = knot.position_m.map(f64::from);
        close(forward, forward_m, 0.01, "forward");
        close(right, right_m, 0.01, "side");
        close(up, 0.0, 1.0e-4, "height");
        let [vx, vy, vz] = knot.velocity_m_s.map(f64::from);
        close(
            (-vz).atan2(vx.hypot(vy)).to_degrees(),
            fall_deg,
            0.02,
            "fall",
        );
        close(vx.hypot(vy).hypot(vz), speed_m_s, 0.01, "speed");
        close(f64::from(knot.spin_rad_s) / RPM_RAD_S, rpm, 0.6, "spin");
    }
    // The same reference, to the decimals it is given in.
    for (wind, forward_m) in [(wind(0.0, -5.0), 192.7), (wind(0.0, 5.0), 230.0)] {
        let knot = landing(launch(70.0, 11.0, 2600.0, 0.0), wind, &air, &ball, 0.0);
        close(
            f64::from(knot.position_m[1]),
            forward_m,
            0.06,
            "head or tail",
        );
    }
    let cross = landing(
        launch(70.0, 11.0, 2600.0, 0.0),
        wind(5.0, 0.0),
        &air,
        &ball,
        0.0,
    );
    close(f64::from(cross.position_m[0]), 16.04, 0.01, "crosswind");
    close(
        f64::from(cross.position_m[1]),
        213.1,
        0.06,
        "crosswind carry",
    );
}

/// The same reference: apex and time of flight, 28.582892 m and 6.5366196 s in
/// calm air without tilt, the other two to the decimals they are given in.
#[test]
fn the_older_ball_reaches_its_apex_and_lands_on_time() {
    let air = Air {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.81e-5,
        roughness_m: 0.0,
    };
    let wind = AimWind {
        right_m_s: 5.0,
        forward_m_s: -5.0,
    };
    for (tilt_deg, wind, apex_m, apex_within, time_s, time_within) in [
        (0.0, CALM, 28.582_892, 0.01, 6.536_619_6, 0.001),
        (-8.0, CALM, 28.16, 0.015, 6.487, 0.0015),
        (-8.0, wind, 30.99, 0.015, 6.807, 0.0015),
    ] {
        let flights = fly(
            &[launch(70.0, 11.0, 2600.0, tilt_deg)],
            &[wind],
            &air,
            &Ball::smits_smith(),
            0.0,
        );
        let flight = flights.ball(0);
        let fine = |interval: usize, i: i32| flight.within(interval, i as f32 / 1000.0);
        let apex = (0..flight.knots.len() - 1)
            .flat_map(|interval| (0..1000).map(move |i| (interval, i)))
            .map(|(interval, i)| fine(interval, i).position_m[2])
            .fold(0.0, f32::max);
        close(f64::from(apex), apex_m, apex_within, "apex");
        let last = flight.knots.len() - 2;
        let share = (0..=1000)
            .find(|i| fine(last, *i).position_m[2] <= 0.0)
            .unwrap_or(1000);
        let seconds = f64::from(flight.step_s) * (last as f64 + f64::from(share) / 1000.0);
        close(seconds, time_s, time_within, "time of flight");
    }
}

/// Equipment Rules, part 4 (read): at most 45.93 g, at least 42.67 mm. And a
/// textbook's spin loss (read), 0.0004 × mph × rpm a second, beside Smits & Smith's.
#[test]
fn every_ball_is_a_legal_ball_and_loses_spin_by_the_book() {
    for ball in [Ball::modern(), Ball::smits_smith()] {
        assert!(ball.mass_kg <= 0.045_93 && ball.diameter_m >= 0.042_67);
    }
    let loss = SPIN_DECAY * MPH_M_S / Ball::modern().diameter_m;
    close(loss, 0.0004, 0.000_05, "share of the spin a second and mph");
}

/// 10 000 random launches, drivers to wedges, winds to 15 m/s over rough and
/// smooth ground, against SciPy's DOP853 at rtol 1e-10 (see tests/data/README.md):
/// within 0.1 m at the 99.9th percentile.
#[test]
fn ten_thousand_landings_agree_with_a_tight_integrator() {
    let airs = [
        (1.225, 1.7894e-5, 0.03),
        (1.185, 1.83e-5, 0.01),
        (1.05, 1.75e-5, 0.03),
        (1.29, 1.72e-5, 0.0),
    ]
    .map(|(density_kg_m3, viscosity_pa_s, roughness_m)| Air {
        density_kg_m3,
        viscosity_pa_s,
        roughness_m,
    });
    let rows: Vec<Vec<f64>> = include_str!("data/flight_landings.csv")
        .lines()
        .skip(1)
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    assert_eq!(rows.len(), 10_000);
    let mut errors = Vec::new();
    for (index, air) in airs.iter().enumerate() {
        let rows: Vec<_> = rows.iter().filter(|row| row[7] == index as f64).collect();
        let launches: Vec<_> = rows
            .iter()
            .map(|row| Launch {
                start_deg: row[2],
                ..launch(row[0], row[1], row[3], row[4])
            })
            .collect();
        let winds: Vec<_> = rows
            .iter()
            .map(|row| AimWind {
                right_m_s: row[5],
                forward_m_s: row[6],
            })
            .collect();
        let flights = fly(&launches, &winds, air, &Ball::modern(), -0.1);
        for (i, row) in rows.iter().enumerate() {
            let found = flights
                .ball(i)
                .landing_on_level(0.0)
                .position_m
                .map(f64::from);
            errors.push((found[0] - row[8] / 1000.0).hypot(found[1] - row[9] / 1000.0));
        }
    }
    errors.sort_by(f64::total_cmp);
    let quantile = |share: f64| errors[(share * errors.len() as f64) as usize - 1];
    println!(
        "landing error, m: median {:.4}, 99 % {:.4}, 99.9 % {:.4}, most {:.4}",
        quantile(0.5),
        quantile(0.99),
        quantile(0.999),
        quantile(1.0)
    );
    assert!(quantile(0.999) < 0.1, "99.9 %: {} m", quantile(0.999));
    assert!(quantile(0.5) < 0.01, "median: {} m", quantile(0.5));
}

/// The governing bodies' notice of December 2023 (read): 317 yd and 3 yd of
/// tolerance, carry and roll. Test air 75 °F, 30.00 inHg, 50 % (memory, 65 %).
fn standard_distance_yd(ball_mph: f64, launch_deg: f64, spin_rpm: f64) -> f64 {
    let weather = Weather {
        temperature_c: (75.0 - 32.0) / 1.8,
        pressure_pa: 30.0 * 3386.389,
        humidity: 0.5,
    };
    let air = Air::of(&weather, 0.0);
    close(air.density_kg_m3, 1.185, 5.0e-4, "test air");
    let drive = launch(ball_mph * MPH_M_S, launch_deg, spin_rpm, 0.0);
    let flights = fly(&[drive], &[], &air, &Ball::modern(), -1.0);
    let rest = come_to_rest(
        &Plain::of(Turf::Fairway),
        flights.ball(0),
        [0.0; 3],
        0.5,
        Firmness::Firm,
        &mut Vec::new(),
    );
    rest.at[1] / YARD_M
}

#[test]
fn the_modern_ball_meets_the_overall_distance_standard() {
    let total = standard_distance_yd(176.0, 10.0, 2520.0);
    assert!((305.0..=320.0).contains(&total), "{total} yd");
}

/// The conditions of 2028 were made so that the longest balls of today fail
/// them, the fastest players losing 9–11 yd (the same notice, memory 80 %). A ball at the old limit must
/// therefore be some 5–20 yd over the new one.
#[test]
fn a_ball_of_today_is_too_long_for_the_standard_of_2028() {
    let total = standard_distance_yd(183.0, 11.0, 2220.0);
    assert!((325.0..=340.0).contains(&total), "{total} yd");
}

/// The older ball at the same launch carries only 259 yd: 259.181 in air of
/// 1.225 kg/m³ (computed with SciPy's DOP853).
#[test]
fn the_older_ball_is_an_old_one() {
    let air = Air {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.81e-5,
        roughness_m: 0.0,
    };
    let drive = launch(176.0 * MPH_M_S, 10.0, 2520.0, 0.0);
    let carry = landing(drive, CALM, &air, &Ball::smits_smith(), 0.0).position_m[1];
    close(f64::from(carry) / YARD_M, 259.181, 0.011, "carry");
}

/// Smits & Smith (1994, memory) and the form of Lyu et al. (2018, read): CL a
/// second-order polynomial of S; CD of 13 models within 0.05 for Re > 1e5.
#[test]
fn coefficients_are_the_published_ones() {
    let [drag, lift] = Ball::smits_smith().coefficients(90_000.0, 0.2);
    close(drag, 0.24 + 0.18 * 0.2, 1.0e-12, "older drag");
    close(lift, 0.54 * 0.2_f64.powf(0.4), 1.0e-12, "older lift");
    let modern = |s: f64| Ball::modern().coefficients(150_000.0, s);
    // Second order: third differences vanish below the crest.
    let l = [0.06, 0.12, 0.18, 0.24].map(|s| modern(s)[1]);
    close(
        l[3] - 3.0 * l[2] + 3.0 * l[1] - l[0],
        0.0,
        1.0e-12,
        "third difference",
    );
    // Above Re = 1e5 drag hardly depends on speed: within the spread of the models.
    for s in [0.05, 0.1, 0.2, 0.3] {
        let drags = [1.0e5, 1.4e5, 1.8e5, 2.2e5].map(|re| Ball::modern().coefficients(re, s)[0]);
        let spread = drags
            .iter()
            .fold(0.0, |most: f64, d| most.max((d - drags[0]).abs()));
        assert!(spread < 0.05, "CD spreads by {spread} at S = {s}");
    }
}

/// Outside values from 10 to 75 m/s and 500 to 10 000 rpm. Below Re = 40 000 a dimpled ball drags
/// as a smooth sphere: 0.5 (Achenbach, J. Fluid Mech. 54 (1972) 565, memory; Bearman & Harvey,
/// Aeronaut. Q. 27 (1976) 112, memory, found dimples to act from about there on); from 90 000 to
/// 200 000 within 0.05, what modern models differ by (Lyu et al.), of what the older ball
/// (Smits & Smith, memory) has at its middle, Re = 90 000, from S = 0.08 on where they measured; and in
/// between it falls without a dip. Lift is within 0.1 of theirs, and nowhere above by more than 0.01.
#[test]
fn coefficients_keep_to_published_ones_from_10_to_75_m_s() {
    let air = Air::of(&Weather::usual(), 0.0);
    let (modern, older) = (Ball::modern(), Ball::smits_smith());
    let mut measured = 0;
    for rpm in (500..=10_000).step_by(500) {
        let mut before = f64::INFINITY;
        for metres in 10..=75 {
            let speed = f64::from(metres);
            let reynolds = air.density_kg_m3 * speed * modern.diameter_m / air.viscosity_pa_s;
            let s = 0.5 * f64::from(rpm) * RPM_RAD_S * modern.diameter_m / speed;
            let [drag, lift] = modern.coefficients(reynolds, s);
            let at = format!("{speed} m/s, {rpm} rpm (Re {reynolds:.0}, S {s:.3})");
            assert!(drag < 0.51 && drag > 0.2, "{at}: CD {drag}");
            assert!((0.0..0.35).contains(&lift), "{at}: CL {lift}");
            if reynolds < 40_000.0 {
                close(drag, 0.5, 0.02, &at);
            }
            assert!(drag <= before + 1.0e-12, "{at}: drag rises with the speed");
            before = drag;
            let [old_drag, old_lift] = older.coefficients(90_000.0, s);
            if (0.9e5..2.0e5).contains(&reynolds) && (0.08..0.5).contains(&s) {
                close(drag, old_drag, 0.05, &at);
                assert!((-0.1..0.01).contains(&(lift - old_lift)), "{at}: CL {lift}");
                measured += 1;
            }
        }
    }
    assert!(measured > 500, "{measured}");
}

/// What a launch monitor reports on average for tour players, men and women (memory): ball speed
/// in mph, launch in degrees, rpm; carry and apex in yards, angle of landing.
const TOUR: [[f64; 6]; 22] = [
    [167.0, 10.9, 2686.0, 275.0, 32.0, 38.0],
    [158.0, 9.2, 3655.0, 243.0, 30.0, 43.0],
    [152.0, 9.4, 4350.0, 230.0, 31.0, 47.0],
    [146.0, 10.2, 4437.0, 225.0, 29.0, 47.0],
    [142.0, 10.4, 4630.0, 212.0, 27.0, 46.0],
    [137.0, 11.0, 4836.0, 203.0, 28.0, 48.0],
    [132.0, 12.1, 5361.0, 194.0, 31.0, 49.0],
    [127.0, 14.1, 6231.0, 183.0, 30.0, 50.0],
    [120.0, 16.3, 7097.0, 172.0, 32.0, 50.0],
    [115.0, 18.1, 7998.0, 160.0, 31.0, 50.0],
    [109.0, 20.4, 8647.0, 148.0, 30.0, 51.0],
    [102.0, 24.2, 9304.0, 136.0, 29.0, 52.0],
    [140.0, 13.2, 2611.0, 218.0, 25.0, 37.0],
    [132.0, 11.2, 2704.0, 195.0, 23.0, 39.0],
    [128.0, 12.1, 4501.0, 185.0, 26.0, 43.0],
    [116.0, 14.3, 4801.0, 169.0, 24.0, 43.0],
    [112.0, 14.8, 5081.0, 161.0, 23.0, 45.0],
    [109.0, 17.1, 5943.0, 152.0, 25.0, 46.0],
    [104.0, 19.0, 6699.0, 141.0, 26.0, 47.0],
    [100.0, 20.8, 7494.0, 130.0, 25.0, 47.0],
    [93.0, 23.9, 7589.0, 119.0, 26.0, 47.0],
    [86.0, 25.6, 8403.0, 107.0, 23.0, 48.0],
];

/// Of the mean within what models of balls differ by: 18 m of a drive (Lyu et al., read), which is
/// ±4 % of every carry. The law was calibrated to these rows, with seven numbers for 66.
#[test]
fn tour_averages_are_carried_within_the_spread_of_models() {
    let air = Air {
        density_kg_m3: 1.2,
        viscosity_pa_s: 1.82e-5,
        roughness_m: 0.0,
    };
    let mut squares = [0.0; 3];
    for [mph, launch_deg, rpm, carry_yd, apex_yd, fall_deg] in TOUR {
        let shot = launch(mph * MPH_M_S, launch_deg, rpm, 0.0);
        let flights = fly(&[shot], &[], &air, &Ball::modern(), 0.0);
        let flight = flights.ball(0);
        let knot = flight.landing_on_level(0.0);
        let carry = f64::from(knot.position_m[1]) / YARD_M;
        close(carry, carry_yd, 0.04 * carry_yd, "carry");
        let [_, along, up] = knot.velocity_m_s.map(f64::from);
        let apex = (0..flight.knots.len() - 1)
            .flat_map(|interval| (0..100).map(move |i| (interval, i)))
            .map(|(interval, i)| flight.within(interval, i as f32 / 100.0).position_m[2])
            .fold(0.0, f32::max);
        let off = [
            carry - carry_yd,
            f64::from(apex) / YARD_M - apex_yd,
            (-up).atan2(along).to_degrees() - fall_deg,
        ];
        for (sum, off) in squares.iter_mut().zip(off) {
            *sum += off * off;
        }
    }
    let [carry, apex, fall] = squares.map(|sum| (sum / TOUR.len() as f64).sqrt());
    println!("root mean squares: carry {carry:.2} yd, apex {apex:.2} yd, landing {fall:.2}°");
    assert!(carry < 3.5 && apex < 3.5 && fall < 3.0);
}

/// A chip of 10 to 20 m/s goes no further than in a vacuum, and at least as far as a smooth sphere that
/// drags by 0.5 and does not lift (Achenbach, memory), summed here by steps of a millisecond.
#[test]
fn chips_carry_between_a_sphere_and_a_vacuum() {
    let air = Air::of(&Weather::usual(), 0.0);
    let ball = Ball::modern();
    for (mph, launch_deg, rpm) in [
        (20.0, 40.0, 3000.0),
        (30.0, 40.0, 5000.0),
        (40.0, 35.0, 6000.0),
        (45.0, 30.0, 500.0),
    ] {
        let shot = launch(mph * MPH_M_S, launch_deg, rpm, 0.0);
        let carry_m = f64::from(landing(shot, CALM, &air, &ball, 0.0).position_m[1]);
        let (sin, cos) = launch_deg.to_radians().sin_cos();
        let v = shot.ball_speed_m_s;
        let vacuum_m = 2.0 * v * v * sin * cos / 9.806_65;
        let per_m = 0.5 * air.density_kg_m3 * ball.area_m2() * 0.5 / ball.mass_kg;
        let (mut at, mut velocity, step) = ([0.0, 0.0], [v * cos, v * sin], 1.0e-3);
        while at[1] >= 0.0 {
            let speed = velocity[0].hypot(velocity[1]);
            let pull = [
                -per_m * speed * velocity[0],
                -per_m * speed * velocity[1] - 9.806_65,
            ];
            for i in 0..2 {
                at[i] += (velocity[i] + 0.5 * step * pull[i]) * step;
                velocity[i] += step * pull[i];
            }
        }
        println!(
            "{mph} mph: sphere {:.1}, ball {:.1}, vacuum {:.1} yd",
            at[0] / YARD_M,
            carry_m / YARD_M,
            vacuum_m / YARD_M
        );
        assert!(carry_m > at[0] - 0.05 && carry_m < vacuum_m, "{mph} mph");
    }
}

/// Lyu, Kensrud, Smith & Tosaya (2018, read): 13 models differ by at most 0.05 in
/// CD above Re = 1e5 and by 18 m in carry. Their launches we do not know, so both
/// figures are held against each other: 18 m of carry with a driver take a
/// difference in drag within the published one (and more than a fifth of it), and
/// the whole of the published one spans at least those 18 m. What lift differs by
/// may give or take.
#[test]
fn drag_within_the_published_models_spans_their_carry() {
    let air = Air::of(&Weather::default(), 0.0);
    for (mph, launch_deg, rpm) in [(167.0, 10.9, 2690.0), (145.0, 12.5, 2700.0)] {
        let drive = launch(mph * MPH_M_S, launch_deg, rpm, 0.0);
        // CD on the way, taken where the ball is at four fifths of its speed.
        let speed = 0.8 * drive.ball_speed_m_s;
        let ball = Ball::modern();
        let reynolds = air.density_kg_m3 * speed * ball.diameter_m / air.viscosity_pa_s;
        let spin_ratio = 0.5 * drive.spin_rad_s * ball.diameter_m / speed;
        let [drag, _] = ball.coefficients(reynolds, spin_ratio);
        assert!(reynolds > 1.0e5);
        let carry = |difference: f64| {
            let ball = ball.scaled(1.0 + difference / drag, 1.0);
            f64::from(landing(drive, CALM, &air, &ball, 0.0).position_m[1])
        };
        let span = |difference: f64| carry(-0.5 * difference) - carry(0.5 * difference);
        println!("{mph} mph: CD {drag:.3} ± 0.025 spans {:.1} m", span(0.05));
        assert!(span(0.05) >= 18.0, "{} m", span(0.05));
        assert!(span(0.01) < 18.0, "{} m", span(0.01));
    }
}

/// Penner, Can. J. Phys. 80 (2002) 931 (memory, 85 %).
#[test]
fn turf_gives_back_what_penner_measured() {
    for (speed, expected) in [
        (5.0, 0.3451),
        (10.0, 0.2253),
        (15.0, 0.1507),
        (20.0, 0.1212),
    ] {
        close(restitution(speed), expected, 5.1e-5, "restitution");
    }
    close(restitution(30.0), 0.120, 0.0, "above 20 m/s");
}

/// The same (memory, 75 %): 15.4° at 18.6 m/s and 44.4°, linear in both; our cap
/// holds outside the data.
#[test]
fn the_dent_slopes_as_penner_says_within_a_cap() {
    close(dent_slope_deg(18.6, 44.4), 15.4, 1.0e-9, "his shot");
    close(dent_slope_deg(9.3, 44.4), 7.7, 1.0e-9, "half the speed");
    close(dent_slope_deg(18.6, 22.2), 7.7, 1.0e-9, "half the angle");
    close(
        dent_slope_deg(40.0, 80.0),
        5.0,
        1.0e-9,
        "capped at half the descent",
    );
}

/// Sliding or rolling (derived): μc = 2(vx + rω)/[7(1+e)|vn|]; rolling leaves
/// at (5/7)vx − (2/7)rω, sliding at vx − μ(1+e)|vn|.
#[test]
fn a_bounce_slides_or_rolls() {
    let radius = 0.021_335;
    for (spin, friction, rolls) in [(250.0, 0.4, true), (1000.0, 0.2, false)] {
        let ground = Ground {
            restitution_factor: 1.0,
            dent_factor: 0.0,
            friction,
            kept: 1.0,
            deceleration_m_s2: 1.0,
            drag_per_s: 0.0,
        };
        let (vx, vn): (f64, f64) = (6.0, 10.0);
        let motion = Motion {
            velocity_m_s: [0.0, vx, -vn],
            spin_rad_s: [spin, 0.0, 0.0],
        };
        let after = bounce(&motion, [0.0, 0.0, 1.0], &ground, radius);
        let e = restitution(vn);
        let critical = 2.0 * (vx + radius * spin) / (7.0 * (1.0 + e) * vn);
        assert_eq!(friction >= critical, rolls);
        let expected = if rolls {
            5.0 / 7.0 * vx - 2.0 / 7.0 * radius * spin
        } else {
            vx - friction * (1.0 + e) * vn
        };
        close(after.velocity_m_s[1], expected, 1.0e-12, "along");
        close(after.velocity_m_s[2], e * vn, 1.0e-12, "up");
        close(after.velocity_m_s[0], 0.0, 0.0, "across");
        if rolls {
            // Topspin that fits the speed: v = −rω for backspin ω.
            close(-radius * after.spin_rad_s[0], expected, 1.0e-9, "spin");
        }
    }
}

/// Stimpmeter: released at 1.83 m/s; 8, 10, 12 ft (its geometry read, the rest derived).
#[test]
fn greens_slow_a_ball_by_their_stimpmeter_reading() {
    for (feet, expected) in [(8.0, 0.687), (10.0, 0.549), (12.0, 0.458)] {
        close(
            green_deceleration_m_s2(feet),
            expected,
            5.1e-4,
            "deceleration",
        );
    }
    let ground = Ground::of(Turf::Green, Firmness::Medium);
    close(
        ground.deceleration_m_s2,
        green_deceleration_m_s2(10.0),
        0.0,
        "10 ft",
    );
}
