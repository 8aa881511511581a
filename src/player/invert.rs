//! The launch behind a logged shot: the flight model turned round.
//!
//! A log often has where the ball went but not how it left the club. With the
//! launch angle and spin known or taken as usual, ball speed and axis tilt are
//! found so that the simulated carry and curve are the logged ones, in calm
//! air over level ground. Start direction only turns a calm flight, so it
//! needs no solving.

use super::ball_fit::BallFactors;
use super::pattern::{ANGLE, AXIS, BOUNDS, SPEED, SPIN, START};
use crate::flight::air::ROUGHNESS_M;
use crate::flight::level::fly_level;
use crate::flight::{Air, Ball, Firmness, Flights, Launch, Weather, fly};
use crate::units::RPM_RAD_S;

/// The place where the log was made: its air, the ball flown, and the ground.
#[derive(Clone, Debug)]
pub struct Range {
    air: Air,
    ball: Ball,
    firmness: Firmness,
}

/// Where a ball landed on level ground in calm air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landing {
    /// Straight distance, m.
    pub carry_m: f64,
    /// Right of the start line, m.
    pub curve_m: f64,
    /// Right of the aim line, m.
    pub side_m: f64,
}

impl Range {
    /// A range in this weather, with the modern ball and ground of medium firmness.
    #[must_use]
    pub fn new(weather: &Weather) -> Self {
        // The wind's roughness plays no part in calm air.
        Self {
            air: Air::of(weather, ROUGHNESS_M),
            ball: Ball::modern(),
            firmness: Firmness::Medium,
        }
    }

    /// The same range on ground of this firmness.
    #[must_use]
    pub fn on(self, firmness: Firmness) -> Self {
        Self { firmness, ..self }
    }

    /// The same range with a ball of these factors.
    #[must_use]
    pub fn with(self, factors: BallFactors) -> Self {
        Self {
            ball: Ball::modern().scaled(factors.drag, factors.lift),
            ..self
        }
    }

    /// How firm the ground is.
    #[must_use]
    pub fn firmness(&self) -> Firmness {
        self.firmness
    }

    /// Carry and total of the five-number launches over level fairway, m.
    #[must_use]
    pub fn run(&self, fives: &[[f64; 5]]) -> Vec<[f64; 2]> {
        fly_level(
            &along_start(fives),
            &[],
            &self.air,
            &self.ball,
            self.firmness,
        )
        .iter()
        .map(|ball| [ball.carry_m, ball.total_m])
        .collect()
    }

    /// Flies the launches along their start lines.
    fn fly(&self, fives: &[[f64; 5]]) -> Flights {
        fly(&along_start(fives), &[], &self.air, &self.ball, 0.0)
    }

    /// Each flight from the ball to the landing, along its start line: right,
    /// forward, up, m.
    #[must_use]
    pub fn paths(&self, fives: &[[f64; 5]]) -> Vec<Vec<[f64; 3]>> {
        let flights = self.fly(fives);
        (0..fives.len())
            .map(|i| {
                let ball = flights.ball(i);
                let mut path: Vec<[f64; 3]> = ball
                    .knots
                    .iter()
                    .map(|knot| knot.position_m.map(f64::from))
                    .take_while(|p| p[2] >= 0.0)
                    .collect();
                path.push(ball.landing_on_level(0.0).position_m.map(f64::from));
                path
            })
            .collect()
    }

    /// Where the five-number launches land.
    #[must_use]
    pub fn land(&self, fives: &[[f64; 5]]) -> Vec<Landing> {
        let flights = self.fly(fives);
        fives
            .iter()
            .enumerate()
            .map(|(i, five)| {
                let [right, forward, _] = flights
                    .ball(i)
                    .landing_on_level(0.0)
                    .position_m
                    .map(f64::from);
                let (sin, cos) = five[START].to_radians().sin_cos();
                Landing {
                    carry_m: right.hypot(forward),
                    curve_m: right,
                    side_m: right * cos + forward * sin,
                }
            })
            .collect()
    }

    /// Degrees of landing direction gained per degree of axis tilt, near a launch.
    #[must_use]
    pub fn curve_deg_per_axis_deg(&self, five: &[f64; 5]) -> f64 {
        let tilt = |degrees: f64| {
            let mut other = *five;
            other[START] = 0.0;
            other[AXIS] += degrees;
            other
        };
        let at = self.land(&[tilt(-2.0), tilt(2.0)]);
        let direction = |l: &Landing| {
            (l.curve_m / l.carry_m.max(1e-6))
                .clamp(-1.0, 1.0)
                .asin()
                .to_degrees()
        };
        (direction(&at[1]) - direction(&at[0])) / 4.0
    }

    /// How carry changes with each of the five, per unit, near a launch
    /// (start: none).
    #[must_use]
    pub fn carry_gradient(&self, five: &[f64; 5]) -> [f64; 5] {
        let steps = [0.5, 0.5, 0.0, 50.0, 1.0];
        let mut fives = Vec::with_capacity(10);
        for (k, step) in steps.iter().enumerate() {
            for sign in [-1.0, 1.0] {
                let mut other = *five;
                other[k] += sign * step;
                fives.push(other);
            }
        }
        let landings = self.land(&fives);
        std::array::from_fn(|k| {
            if steps[k] == 0.0 {
                return 0.0;
            }
            (landings[2 * k + 1].carry_m - landings[2 * k].carry_m) / (2.0 * steps[k])
        })
    }
}

fn along_start(fives: &[[f64; 5]]) -> Vec<Launch> {
    fives
        .iter()
        .map(|five| Launch {
            ball_speed_m_s: five[SPEED],
            launch_deg: five[ANGLE],
            start_deg: 0.0,
            spin_rad_s: five[SPIN] * RPM_RAD_S,
            axis_deg: five[AXIS],
        })
        .collect()
}

/// What is to be found, and from what. The five are starting values where they
/// are sought and stand as they are where they are not.
#[derive(Clone, Copy, Debug)]
pub struct Sought {
    /// The launch as far as known.
    pub five: [f64; 5],
    /// Find the ball speed for this carry, m.
    pub carry_m: Option<f64>,
    /// Find the axis tilt for this curve, m.
    pub curve_m: Option<f64>,
}

/// Simulated and logged agree to this, m, or the shot counts as not found.
pub const AGREEMENT_M: f64 = 0.01;
const MOST_ROUNDS: usize = 40;

/// Finds the launches; `None` where no launch within [`BOUNDS`] lands so.
///
/// Two unknowns a shot, each with its own secant slope (the cross effects,
/// tilt on carry and speed on curve, are small and die out over the rounds);
/// all shots fly together.
#[must_use]
pub fn find(range: &Range, sought: &[Sought]) -> Vec<Option<[f64; 5]>> {
    struct State {
        five: [f64; 5],
        /// d ln carry / d ln speed.
        power: f64,
        /// d curve / d axis, m per degree.
        bend: f64,
        last: Option<([f64; 5], Landing)>,
        found: bool,
    }
    let mut states: Vec<State> = sought
        .iter()
        .map(|s| {
            let mut five = s.five;
            let mut bend = 1.0;
            if let Some(carry_m) = s.carry_m {
                // A rough start: 230 m from 66 m/s, carry as speed to the 1.6.
                five[SPEED] = 66.0 * (carry_m.max(1.0) / 230.0).powf(1.0 / 1.6);
            }
            if let Some(curve_m) = s.curve_m {
                bend = 0.009 * s.carry_m.unwrap_or(150.0).max(5.0);
                five[AXIS] = (curve_m / bend).clamp(-50.0, 50.0);
            }
            State {
                five,
                power: 1.6,
                bend,
                last: None,
                found: false,
            }
        })
        .collect();
    let mut open: Vec<usize> = (0..sought.len())
        .filter(|&i| sought[i].carry_m.is_some() || sought[i].curve_m.is_some())
        .collect();
    for (state, s) in states.iter_mut().zip(sought) {
        state.found = s.carry_m.is_none() && s.curve_m.is_none();
    }
    for _ in 0..MOST_ROUNDS {
        if open.is_empty() {
            break;
        }
        let fives: Vec<[f64; 5]> = open.iter().map(|&i| states[i].five).collect();
        let landings = range.land(&fives);
        open = open
            .iter()
            .zip(landings)
            .filter_map(|(&i, now)| {
                let (state, want) = (&mut states[i], &sought[i]);
                let carry_off = want.carry_m.map_or(0.0, |c| c - now.carry_m);
                let curve_off = want.curve_m.map_or(0.0, |c| c - now.curve_m);
                if carry_off.abs() < 0.5 * AGREEMENT_M && curve_off.abs() < 0.5 * AGREEMENT_M {
                    state.found = true;
                    return None;
                }
                if let Some((five, before)) = state.last {
                    let speed_step = (state.five[SPEED] / five[SPEED]).ln();
                    if speed_step.abs() > 1e-4 {
                        let power = (now.carry_m / before.carry_m).ln() / speed_step;
                        if power.is_finite() {
                            state.power = power.clamp(0.5, 3.0);
                        }
                    }
                    let axis_step = state.five[AXIS] - five[AXIS];
                    if axis_step.abs() > 1e-3 {
                        let bend = (now.curve_m - before.curve_m) / axis_step;
                        if bend.is_finite() && bend > 0.2 * state.bend {
                            state.bend = bend.min(5.0 * state.bend);
                        }
                    }
                }
                state.last = Some((state.five, now));
                if let Some(carry_m) = want.carry_m {
                    let step = (carry_m / now.carry_m.max(0.01)).ln() / state.power;
                    state.five[SPEED] = (state.five[SPEED] * step.clamp(-0.7, 0.7).exp())
                        .clamp(BOUNDS[SPEED][0], BOUNDS[SPEED][1]);
                }
                if want.curve_m.is_some() {
                    let step = (curve_off / state.bend).clamp(-25.0, 25.0);
                    state.five[AXIS] =
                        (state.five[AXIS] + step).clamp(BOUNDS[AXIS][0], BOUNDS[AXIS][1]);
                }
                Some(i)
            })
            .collect();
    }
    states
        .iter()
        .map(|state| state.found.then_some(state.five))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::points;

    #[test]
    fn found_launches_land_where_they_were_logged() {
        let range = Range::new(&Weather::at_altitude(0.0));
        let mut sought = Vec::new();
        for u in points(5, 2000) {
            let carry_m = 40.0 + 230.0 * u[0];
            // Short balls bend less: 16 % of 45 m would need a tilt beyond 65°.
            let curve_m = carry_m * 0.16 * (carry_m / 120.0).min(1.0) * (2.0 * u[1] - 1.0);
            let launch = 30.0 - 20.0 * u[0] + 4.0 * u[2];
            let five = [0.0, launch, 3.0, 9000.0 - 6500.0 * u[0], 0.0];
            sought.push(Sought {
                five,
                carry_m: Some(carry_m),
                curve_m: Some(curve_m),
            });
        }
        let started = std::time::Instant::now();
        let found = find(&range, &sought);
        eprintln!("2000 rows in {:?}", started.elapsed());
        let lost: Vec<_> = sought
            .iter()
            .zip(&found)
            .filter(|(_, f)| f.is_none())
            .map(|(s, _)| s)
            .collect();
        assert!(
            lost.is_empty(),
            "{} not found: {:?}",
            lost.len(),
            &lost[..lost.len().min(6)]
        );
        let fives: Vec<[f64; 5]> = found.iter().flatten().copied().collect();
        for (landing, want) in range.land(&fives).iter().zip(&sought) {
            assert!((landing.carry_m - want.carry_m.unwrap()).abs() < AGREEMENT_M);
            assert!((landing.curve_m - want.curve_m.unwrap()).abs() < AGREEMENT_M);
        }
    }

    #[test]
    fn what_cannot_be_is_not_found() {
        let range = Range::new(&Weather::at_altitude(0.0));
        let five = [0.0, 12.0, 0.0, 2500.0, 0.0];
        // Three hundred and seventy metres of carry at an iron's launch and no speed left.
        let far = Sought {
            five: [0.0, 45.0, 0.0, 9000.0, 0.0],
            carry_m: Some(520.0),
            curve_m: None,
        };
        let bent = Sought {
            five,
            carry_m: Some(150.0),
            curve_m: Some(149.0),
        };
        assert_eq!(find(&range, &[far, bent]), vec![None, None]);
    }
}
