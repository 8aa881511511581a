//! Balls over level fairway at the tee's own height: the numbers of a range, for reports.

use super::air::Air;
use super::ball::Ball;
use super::rest::come_to_rest;
use super::trajectory::{FlightView, fly};
use super::{AimWind, Canopy, Firmness, Knot, Launch, Terrain, Turf};
use crate::units::RPM_RAD_S;

/// How far below the tee a flight is followed, so that its last interval holds the landing, m.
const FLOOR_M: f64 = -0.5;

/// What one ball did. Right is positive, of the aim unless said otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flown {
    /// Start direction, degrees right of the aim.
    pub start_deg: f64,
    /// Straight distance to the landing, m.
    pub carry_m: f64,
    /// Landing, right of the aim line, m.
    pub landing_side_m: f64,
    /// Landing, right of the start line, m: how far it bent in the air.
    pub curve_m: f64,
    /// Highest point above the tee, m.
    pub apex_m: f64,
    /// Time in the air, s.
    pub time_s: f64,
    /// Angle of descent below the horizontal, degrees.
    pub descent_deg: f64,
    /// Speed at the landing, m/s.
    pub landing_m_s: f64,
    /// Spin at the landing, revolutions a minute.
    pub landing_spin_rpm: f64,
    /// Straight distance to where it rests, m.
    pub total_m: f64,
    /// Rest, right of the aim line, m.
    pub side_m: f64,
    /// Rest, right of the start line, m: the *side total* of a shot.
    pub side_total_m: f64,
}

/// What one ball did, and the way it took: `[right, forward, up]` of the aim, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Followed {
    /// The numbers.
    pub flown: Flown,
    /// Its path through the air, from the tee to the landing.
    pub air_m: Vec<[f64; 3]>,
    /// Its bounces and roll, from the landing to its rest: `[right, forward]`.
    pub ground_m: Vec<[f64; 2]>,
}

/// Points of a path between two knots.
const POINTS_A_KNOT: usize = 4;

/// Flies every launch over level fairway, in its wind (calm where `winds` is shorter).
#[must_use]
pub fn fly_level(
    launches: &[Launch],
    winds: &[AimWind],
    air: &Air,
    ball: &Ball,
    firmness: Firmness,
) -> Vec<Flown> {
    follow_level(launches, winds, air, ball, firmness)
        .into_iter()
        .map(|followed| followed.flown)
        .collect()
}

/// The same, with the way each ball took.
#[must_use]
pub fn follow_level(
    launches: &[Launch],
    winds: &[AimWind],
    air: &Air,
    ball: &Ball,
    firmness: Firmness,
) -> Vec<Followed> {
    let flights = fly(launches, winds, air, ball, FLOOR_M);
    launches
        .iter()
        .enumerate()
        .map(|(index, launch)| {
            let flight = flights.ball(index);
            let mut ground_m = Vec::new();
            let rest = come_to_rest(
                &Plain(Turf::Fairway),
                flight,
                [0.0; 3],
                0.5,
                firmness,
                &mut ground_m,
            );
            Followed {
                flown: flown(launch, flight, rest.at),
                air_m: air_m(flight),
                ground_m,
            }
        })
        .collect()
}

/// Points of the path down to its landing.
fn air_m(flight: FlightView<'_>) -> Vec<[f64; 3]> {
    let landing = flight.landing_on_level(0.0);
    let mut points = Vec::new();
    'path: for interval in 0..flight.knots.len() - 1 {
        for k in 0..POINTS_A_KNOT {
            let share = k as f32 / POINTS_A_KNOT as f32;
            let knot = flight.within(interval, share);
            if knot.position_m[2] < 0.0 && knot.velocity_m_s[2] < 0.0 {
                break 'path;
            }
            points.push(knot.position_m.map(f64::from));
        }
    }
    points.push(landing.position_m.map(f64::from));
    points
}

fn flown(launch: &Launch, flight: FlightView<'_>, [rest_right, rest_on]: [f64; 2]) -> Flown {
    let landing = flight.landing_on_level(0.0);
    let [right, on, _] = landing.position_m.map(f64::from);
    let [v_right, v_on, v_up] = landing.velocity_m_s.map(f64::from);
    let (sin, cos) = launch.start_deg.to_radians().sin_cos();
    let off_start_line = |right: f64, on: f64| right * cos - on * sin;
    Flown {
        start_deg: launch.start_deg,
        carry_m: right.hypot(on),
        landing_side_m: right,
        curve_m: off_start_line(right, on),
        apex_m: apex_m(flight),
        time_s: time_in_air_s(flight, &landing),
        descent_deg: (-v_up).atan2(v_right.hypot(v_on)).to_degrees(),
        landing_m_s: v_right.hypot(v_on).hypot(v_up),
        landing_spin_rpm: f64::from(landing.spin_rad_s) / RPM_RAD_S,
        total_m: rest_right.hypot(rest_on),
        side_m: rest_right,
        side_total_m: off_start_line(rest_right, rest_on),
    }
}

/// The highest point: where the climb ends within its interval, by bisection.
fn apex_m(flight: FlightView<'_>) -> f64 {
    let climbs = |knot: &Knot| knot.velocity_m_s[2] > 0.0;
    let intervals = flight.knots.len() - 1;
    let Some(interval) = flight.knots[..intervals].iter().rposition(climbs) else {
        return 0.0;
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..24 {
        let middle = 0.5 * (low + high);
        if climbs(&flight.within(interval, middle)) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::from(flight.within(interval, low).position_m[2])
}

/// The time of the landing: whole intervals before it, and the share of its own by distance.
fn time_in_air_s(flight: FlightView<'_>, landing: &Knot) -> f64 {
    let above = flight
        .knots
        .iter()
        .rposition(|knot| knot.position_m[2] > 0.0);
    let (Some(last), step_s) = (above, f64::from(flight.step_s)) else {
        return 0.0;
    };
    let apart = |a: &Knot, b: &Knot| {
        let squares: f32 = (0..3)
            .map(|i| (a.position_m[i] - b.position_m[i]).powi(2))
            .sum();
        f64::from(squares.sqrt())
    };
    let share = flight.knots.get(last + 1).map_or(0.0, |next| {
        let interval = apart(&flight.knots[last], next);
        if interval > 0.0 {
            apart(&flight.knots[last], landing) / interval
        } else {
            0.0
        }
    });
    (last as f64 + share) * step_s
}

/// Level ground of one turf without end, and without a tree.
pub(crate) struct Plain(pub Turf);

impl Terrain for Plain {
    fn height_m(&self, _: f64, _: f64) -> f64 {
        0.0
    }
    fn gradient(&self, _: f64, _: f64) -> [f64; 2] {
        [0.0, 0.0]
    }
    fn turf(&self, _: f64, _: f64) -> Turf {
        self.0
    }
    fn canopy(&self, _: f64, _: f64) -> Option<Canopy> {
        None
    }
    fn highest_canopy_m(&self) -> f64 {
        f64::NEG_INFINITY
    }
    fn highest_ground_m(&self) -> f64 {
        0.0
    }
    fn to_trees_m(&self, _: f64, _: f64) -> f64 {
        f64::INFINITY
    }
    fn to_change_m(&self, _: f64, _: f64) -> f64 {
        f64::INFINITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::air::GRAVITY_M_S2;

    /// 40 m/s at 30°, starting 5° right, in a vacuum.
    fn vacuum() -> Flown {
        let launch = Launch {
            ball_speed_m_s: 40.0,
            launch_deg: 30.0,
            start_deg: 5.0,
            spin_rad_s: 300.0,
            axis_deg: 0.0,
        };
        let air = Air {
            density_kg_m3: 1.2,
            viscosity_pa_s: 1.8e-5,
            roughness_m: 0.0,
        };
        let ball = Ball::modern().scaled(0.0, 0.0);
        fly_level(&[launch], &[], &air, &ball, Firmness::Medium)[0]
    }

    /// Closed form: range v² sin 2θ / g, apex (v sin θ)² / 2g, time 2 v sin θ / g.
    #[test]
    fn a_ball_in_a_vacuum_is_the_parabola() {
        let ball = vacuum();
        let close = |got: f64, want: f64| assert!((got - want).abs() < 2e-3, "{got} is not {want}");
        let range_m = 1600.0 * 60f64.to_radians().sin() / GRAVITY_M_S2;
        close(ball.carry_m, range_m);
        close(ball.landing_side_m, range_m * 5f64.to_radians().sin());
        close(ball.curve_m, 0.0);
        close(ball.apex_m, 400.0 / (2.0 * GRAVITY_M_S2));
        close(ball.time_s, 40.0 / GRAVITY_M_S2);
        close(ball.descent_deg, 30.0);
        close(ball.landing_m_s, 40.0);
    }

    #[test]
    fn on_level_ground_it_stops_on_its_own_line_beyond_its_landing() {
        let ball = vacuum();
        assert!(ball.total_m > ball.carry_m);
        assert!(ball.side_total_m.abs() < 1e-3);
        assert!((ball.side_m / ball.total_m - 5f64.to_radians().sin()).abs() < 1e-5);
    }
}
