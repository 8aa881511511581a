//! Flight through the air: many balls at once, in lanes.
//!
//! Balls are taken sixteen at a time and stepped together by the classical
//! Runge–Kutta method in single precision; the loop over the lanes holds no
//! branch, so that the compiler turns it into vector code for whatever the
//! target has. The step is fixed, so that flights of the same launches have
//! their knots at the same instants and can be blended.
//!
//! Forces: gravity, drag along the wind-relative velocity, lift along
//! `ω × v` of length 1; the spin axis stays where the launch put it; the spin
//! fades by [`SPIN_DECAY`]. The frame is the aim's.

use super::air::{Air, GRAVITY_M_S2, LOWEST_WIND_M};
use super::ball::{Ball, Coefficients, Modern, SPIN_DECAY, SmitsSmith};
use super::real::Real;
use super::{AimWind, Knot, Launch};
use crate::vectors::widest;

pub use super::path::FlightView;

/// Time between knots, s.
pub const STEP_S: f64 = 0.25;
/// The first interval is cut into this many: near the ground the wind's log
/// law bends most, and the ball is at its fastest.
const FIRST_SUBSTEPS: usize = 4;
/// No flight is followed for longer than this, in knots (30 s).
const MOST_KNOTS: usize = 120;
/// Balls stepped together.
const LANES: usize = 16;

/// Position, velocity, spin.
type State<R> = [R; 7];

/// What one ball carries through its flight.
#[derive(Clone, Copy)]
struct Lane<R> {
    axis: [R; 3],
    wind: [R; 2],
}

/// What is the same for every ball of a batch.
struct Constants<R> {
    /// ½ρA/m with the ball's factors on it: for drag and for lift, 1/m.
    drag: R,
    lift: R,
    radius: R,
    reynolds_per_speed: R,
    decay: R,
    gravity: R,
    wind: [R; 2],
    lowest_wind: R,
}

impl<R: Real> Constants<R> {
    fn of(air: &Air, ball: &Ball) -> Self {
        let force = 0.5 * air.density_kg_m3 * ball.area_m2() / ball.mass_kg;
        let wind = air.wind_law();
        Self {
            drag: R::of(force * ball.drag_factor),
            lift: R::of(force * ball.lift_factor),
            radius: R::of(ball.diameter_m / 2.0),
            reynolds_per_speed: R::of(air.density_kg_m3 * ball.diameter_m / air.viscosity_pa_s),
            decay: R::of(SPIN_DECAY / ball.diameter_m),
            gravity: R::of(GRAVITY_M_S2),
            wind: wind.map(R::of),
            lowest_wind: R::of(LOWEST_WIND_M),
        }
    }
}

#[inline(always)]
fn derivative<R: Real, L: Coefficients, const CALM: bool>(
    constants: &Constants<R>,
    law: &L,
    lane: &Lane<R>,
    s: &State<R>,
) -> State<R> {
    let v = if CALM {
        [s[3], s[4], s[5]]
    } else {
        let height = s[2].greater(constants.lowest_wind);
        let share = constants.wind[0] + constants.wind[1] * height.logarithm();
        [
            s[3] - lane.wind[0] * share,
            s[4] - lane.wind[1] * share,
            s[5],
        ]
    };
    // A ball at rest in its air feels nothing: the floor only keeps 0/0 out.
    let speed2 = (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).greater(R::of(1.0e-6));
    let speed = speed2.root();
    let spin_ratio = constants.radius * s[6] / speed;
    let drag = constants.drag * speed * law.drag(constants.reynolds_per_speed * speed, spin_ratio);
    let a = &lane.axis;
    let up = [
        a[1] * v[2] - a[2] * v[1],
        a[2] * v[0] - a[0] * v[2],
        a[0] * v[1] - a[1] * v[0],
    ];
    let up2 = (up[0] * up[0] + up[1] * up[1] + up[2] * up[2]).greater(R::of(1.0e-12));
    let lift = constants.lift * speed2 * law.lift(spin_ratio) / up2.root();
    [
        s[3],
        s[4],
        s[5],
        lift * up[0] - drag * v[0],
        lift * up[1] - drag * v[1],
        lift * up[2] - drag * v[2] - constants.gravity,
        -constants.decay * s[6] * speed,
    ]
}

/// One step of the classical Runge–Kutta method; where it is calm, without asking for the
/// wind, which has a logarithm to it.
#[inline(always)]
fn step<R: Real, L: Coefficients, const CALM: bool>(
    constants: &Constants<R>,
    law: &L,
    lane: &Lane<R>,
    s: &State<R>,
    step_s: R,
) -> State<R> {
    let half = step_s * R::of(0.5);
    let moved = |k: &State<R>, by: R| -> State<R> { std::array::from_fn(|i| s[i] + k[i] * by) };
    let k1 = derivative::<R, L, CALM>(constants, law, lane, s);
    let k2 = derivative::<R, L, CALM>(constants, law, lane, &moved(&k1, half));
    let k3 = derivative::<R, L, CALM>(constants, law, lane, &moved(&k2, half));
    let k4 = derivative::<R, L, CALM>(constants, law, lane, &moved(&k3, step_s));
    let sixth = step_s * R::of(1.0 / 6.0);
    std::array::from_fn(|i| s[i] + sixth * (k1[i] + R::of(2.0) * (k2[i] + k3[i]) + k4[i]))
}

/// The state and the fixed axis a launch begins with.
fn begin<R: Real>(launch: &Launch, wind: &AimWind) -> (State<R>, Lane<R>) {
    let (sin_up, cos_up) = launch.launch_deg.to_radians().sin_cos();
    let (sin_side, cos_side) = launch.start_deg.to_radians().sin_cos();
    let (sin_tilt, cos_tilt) = launch.axis_deg.to_radians().sin_cos();
    let v = launch.ball_speed_m_s;
    let right = [cos_side, -sin_side, 0.0];
    let above = [-sin_up * sin_side, -sin_up * cos_side, cos_up];
    let axis: [f64; 3] = std::array::from_fn(|i| cos_tilt * right[i] - sin_tilt * above[i]);
    (
        [
            0.0,
            0.0,
            0.0,
            v * cos_up * sin_side,
            v * cos_up * cos_side,
            v * sin_up,
            launch.spin_rad_s,
        ]
        .map(R::of),
        Lane {
            axis: axis.map(R::of),
            wind: [R::of(wind.right_m_s), R::of(wind.forward_m_s)],
        },
    )
}

/// Many flights in flat storage.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flights {
    knots: Vec<Knot>,
    /// Where each ball's knots end in `knots`.
    ends: Vec<usize>,
    axes: Vec<[f32; 3]>,
}

/// Flies every launch in its wind, in the aim's frame, until a knot on the way
/// down is at or below `floor_m` (height against the ball on its tee; negative
/// where lower ground is to be reached). A ball is followed for 30 s at most.
///
/// `winds` goes with `launches`; where it is shorter the rest fly in calm air.
/// The wind at a height above the *tee* is what [`Air::wind_share`] says.
#[must_use]
pub fn fly(
    launches: &[Launch],
    winds: &[AimWind],
    air: &Air,
    ball: &Ball,
    floor_m: f64,
) -> Flights {
    if ball.is_modern() {
        fly_by(&Modern, launches, winds, air, ball, floor_m)
    } else {
        fly_by(&SmitsSmith, launches, winds, air, ball, floor_m)
    }
}

fn fly_by<L: Coefficients>(
    law: &L,
    launches: &[Launch],
    winds: &[AimWind],
    air: &Air,
    ball: &Ball,
    floor_m: f64,
) -> Flights {
    let constants = Constants::<f32>::of(air, ball);
    let mut flights = Flights {
        knots: Vec::with_capacity(launches.len() * 36),
        ends: Vec::with_capacity(launches.len()),
        axes: Vec::with_capacity(launches.len()),
    };
    let calm = winds.iter().all(|wind| *wind == AimWind::default());
    let mut history: Vec<[[f32; LANES]; 7]> = Vec::with_capacity(MOST_KNOTS);
    for first in (0..launches.len()).step_by(LANES) {
        let batch = &launches[first..launches.len().min(first + LANES)];
        let winds = winds.get(first..).unwrap_or_default();
        let (mut state, fixed) = begin_lanes(batch, winds);
        history.clear();
        history.push(state);
        let flown = (&constants, law);
        if calm {
            fly_lanes::<L, true>(flown, &fixed, &mut state, floor_m as f32, &mut history);
        } else {
            fly_lanes::<L, false>(flown, &fixed, &mut state, floor_m as f32, &mut history);
        }
        for lane in 0..batch.len() {
            let [right, forward, up, ..] = fixed;
            flights.axes.push([right[lane], forward[lane], up[lane]]);
            flights.keep(&history, lane, floor_m as f32);
        }
    }
    flights
}

/// Up to [`LANES`] balls as they are hit.
fn begin_lanes(launches: &[Launch], winds: &[AimWind]) -> ([[f32; LANES]; 7], [[f32; LANES]; 5]) {
    let mut state = [[0.0_f32; LANES]; 7];
    let mut fixed = [[0.0_f32; LANES]; 5];
    for lane in 0..LANES {
        // Idle lanes repeat the last ball.
        let index = lane.min(launches.len() - 1);
        let wind = winds.get(index).copied().unwrap_or_default();
        let (s, constant) = begin::<f32>(&launches[index], &wind);
        for (row, value) in state.iter_mut().zip(s) {
            row[lane] = value;
        }
        let [a, b, c] = constant.axis;
        let [right, forward] = constant.wind;
        for (row, value) in fixed.iter_mut().zip([a, b, c, right, forward]) {
            row[lane] = value;
        }
    }
    (state, fixed)
}

/// Steps the balls of all lanes until none flies, in the widest vectors that the machine has;
/// the same sums and products on any.
fn fly_lanes<L: Coefficients, const CALM: bool>(
    (constants, law): (&Constants<f32>, &L),
    fixed: &[[f32; LANES]; 5],
    state: &mut [[f32; LANES]; 7],
    floor: f32,
    history: &mut Vec<[[f32; LANES]; 7]>,
) {
    widest(
        #[inline(always)]
        || {
            let fine = (STEP_S / FIRST_SUBSTEPS as f64) as f32;
            for _ in 0..FIRST_SUBSTEPS {
                step_lanes::<L, CALM>(constants, law, fixed, state, fine);
            }
            history.push(*state);
            while history.len() < MOST_KNOTS
                && (0..LANES).any(|lane| is_flying(state[2][lane], state[5][lane], floor))
            {
                step_lanes::<L, CALM>(constants, law, fixed, state, STEP_S as f32);
                history.push(*state);
            }
        },
    );
}

/// Above the floor, or on its way up through it; a NaN is not flying.
fn is_flying(height: f32, rise: f32, floor: f32) -> bool {
    height > floor || rise > 0.0
}

#[inline(always)]
fn step_lanes<L: Coefficients, const CALM: bool>(
    constants: &Constants<f32>,
    law: &L,
    fixed: &[[f32; LANES]; 5],
    state: &mut [[f32; LANES]; 7],
    step_s: f32,
) {
    for i in 0..LANES {
        let lane = Lane {
            axis: [fixed[0][i], fixed[1][i], fixed[2][i]],
            wind: [fixed[3][i], fixed[4][i]],
        };
        let s = [
            state[0][i],
            state[1][i],
            state[2][i],
            state[3][i],
            state[4][i],
            state[5][i],
            state[6][i],
        ];
        let next = step::<f32, L, CALM>(constants, law, &lane, &s, step_s);
        state[0][i] = next[0];
        state[1][i] = next[1];
        state[2][i] = next[2];
        state[3][i] = next[3];
        state[4][i] = next[4];
        state[5][i] = next[5];
        state[6][i] = next[6];
    }
}

impl Flights {
    /// Takes over the knots of a lane, down to the first that flies no more.
    fn keep(&mut self, history: &[[[f32; LANES]; 7]], lane: usize, floor: f32) {
        let ends = |knot: &[[f32; LANES]; 7]| !is_flying(knot[2][lane], knot[5][lane], floor);
        let last = history.iter().skip(1).position(ends);
        let all = last.map_or(history, |last| &history[..last + 2]);
        self.knots.extend(all.iter().map(|knot| Knot {
            position_m: [knot[0][lane], knot[1][lane], knot[2][lane]],
            velocity_m_s: [knot[3][lane], knot[4][lane], knot[5][lane]],
            spin_rad_s: knot[6][lane],
        }));
        self.ends.push(self.knots.len());
    }

    /// How many balls.
    #[must_use]
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// One ball's flight.
    ///
    /// # Panics
    /// When `index` is not below [`Flights::len`].
    #[must_use]
    pub fn ball(&self, index: usize) -> FlightView<'_> {
        let from = if index == 0 { 0 } else { self.ends[index - 1] };
        FlightView {
            step_s: STEP_S as f32,
            knots: &self.knots[from..self.ends[index]],
            axis: self.axes[index],
        }
    }

    /// The same flights turned from the aim's frame to `[east, north, up]`,
    /// for an aim of this bearing.
    #[must_use]
    pub fn turned(&self, bearing_deg: f64) -> Self {
        let turn = Turned::to(bearing_deg);
        Self {
            knots: self.knots.iter().map(|knot| turn.knot(knot)).collect(),
            ends: self.ends.clone(),
            axes: self.axes.iter().map(|axis| turn.vector(*axis)).collect(),
        }
    }

    /// Knot by knot `(1 − weight) · self + weight · other`, for the same
    /// launches flown in two winds. Where one flight ends before the other it
    /// is carried on at its last acceleration. Balls which only one of the two
    /// has are left out.
    #[must_use]
    pub fn blend(&self, other: &Self, weight: f64) -> Self {
        self.mixed(other, weight, |knot| knot)
    }

    /// [`Flights::blend`] and then [`Flights::turned`], in one pass.
    #[must_use]
    pub fn blend_turned(&self, other: &Self, weight: f64, bearing_deg: f64) -> Self {
        let turn = Turned::to(bearing_deg);
        let mut flights = self.mixed(other, weight, |knot| turn.knot(&knot));
        for axis in &mut flights.axes {
            *axis = turn.vector(*axis);
        }
        flights
    }

    fn mixed(&self, other: &Self, weight: f64, then: impl Fn(Knot) -> Knot) -> Self {
        let weight = weight as f32;
        let balls = self.len().min(other.len());
        let mut flights = Self {
            knots: Vec::with_capacity(self.knots.len().max(other.knots.len())),
            ends: Vec::with_capacity(balls),
            axes: self.axes[..balls].to_vec(),
        };
        for ball in 0..balls {
            let (a, b) = (self.ball(ball).knots, other.ball(ball).knots);
            let shared = a.len().min(b.len());
            let mix = |p: &Knot, q: &Knot| then(p.mixed(q, weight));
            flights
                .knots
                .extend(a[..shared].iter().zip(&b[..shared]).map(|(p, q)| mix(p, q)));
            for index in shared..a.len().max(b.len()) {
                let (p, q) = (carried(a, index), carried(b, index));
                flights.knots.push(mix(&p, &q));
            }
            flights.ends.push(flights.knots.len());
        }
        flights
    }
}

/// From the aim's frame to `[east, north, up]`.
#[derive(Clone, Copy)]
struct Turned {
    sin: f32,
    cos: f32,
}

impl Turned {
    fn to(bearing_deg: f64) -> Self {
        let (sin, cos) = bearing_deg.to_radians().sin_cos();
        Self {
            sin: sin as f32,
            cos: cos as f32,
        }
    }

    fn vector(self, v: [f32; 3]) -> [f32; 3] {
        let Self { sin, cos } = self;
        [v[0] * cos + v[1] * sin, v[1] * cos - v[0] * sin, v[2]]
    }

    fn knot(self, knot: &Knot) -> Knot {
        Knot {
            position_m: self.vector(knot.position_m),
            velocity_m_s: self.vector(knot.velocity_m_s),
            spin_rad_s: knot.spin_rad_s,
        }
    }
}

/// The knot at an index, or beyond the end what the last acceleration makes of it.
fn carried(knots: &[Knot], index: usize) -> Knot {
    if let Some(knot) = knots.get(index) {
        return *knot;
    }
    let last = knots[knots.len() - 1];
    let before = knots[knots.len() - 2];
    let h = STEP_S as f32;
    let t = (index + 1 - knots.len()) as f32 * h;
    let change: [f32; 3] =
        std::array::from_fn(|i| (last.velocity_m_s[i] - before.velocity_m_s[i]) / h);
    Knot {
        position_m: std::array::from_fn(|i| {
            last.position_m[i] + t * (last.velocity_m_s[i] + 0.5 * t * change[i])
        }),
        velocity_m_s: std::array::from_fn(|i| last.velocity_m_s[i] + t * change[i]),
        spin_rad_s: last.spin_rad_s,
    }
}

impl Knot {
    fn mixed(&self, other: &Self, weight: f32) -> Self {
        let mix = |a: f32, b: f32| a + weight * (b - a);
        let mix3 = |a: [f32; 3], b: [f32; 3]| std::array::from_fn(|i| mix(a[i], b[i]));
        Self {
            position_m: mix3(self.position_m, other.position_m),
            velocity_m_s: mix3(self.velocity_m_s, other.velocity_m_s),
            spin_rad_s: mix(self.spin_rad_s, other.spin_rad_s),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::RPM_RAD_S;

    fn drive() -> Launch {
        Launch {
            ball_speed_m_s: 70.0,
            launch_deg: 11.0,
            start_deg: 0.0,
            spin_rad_s: 2600.0 * RPM_RAD_S,
            axis_deg: -8.0,
        }
    }

    fn after<L: Coefficients>(law: &L, seconds: f64, steps: usize) -> [f64; 7] {
        let air = Air {
            density_kg_m3: 1.225,
            viscosity_pa_s: 1.81e-5,
            roughness_m: 0.0,
        };
        let wind = AimWind {
            right_m_s: 5.0,
            forward_m_s: -5.0,
        };
        let constants = Constants::<f64>::of(&air, &Ball::smits_smith());
        let (mut state, lane) = begin::<f64>(&drive(), &wind);
        for _ in 0..steps {
            state = step::<_, _, false>(&constants, law, &lane, &state, seconds / steps as f64);
        }
        state
    }

    #[test]
    fn blending_and_turning_at_once_is_the_same() {
        let air = Air {
            density_kg_m3: 1.2,
            viscosity_pa_s: 1.81e-5,
            roughness_m: 0.03,
        };
        let launches = [
            drive(),
            Launch {
                launch_deg: 25.0,
                ..drive()
            },
        ];
        let flown = |forward_m_s: f64| {
            let wind = AimWind {
                right_m_s: 2.0,
                forward_m_s,
            };
            fly(&launches, &[wind; 2], &air, &Ball::modern(), -2.0)
        };
        let (against, behind) = (flown(-6.0), flown(6.0));
        assert_eq!(
            against.blend_turned(&behind, 0.3, 77.0),
            against.blend(&behind, 0.3).turned(77.0)
        );
    }

    /// Beside a ball in the faintest of winds the wind is asked for, for all.
    #[test]
    fn a_calm_flight_that_asks_for_no_wind_is_that_of_one_that_does() {
        let air = Air {
            density_kg_m3: 1.2,
            viscosity_pa_s: 1.81e-5,
            roughness_m: 0.03,
        };
        let launches: Vec<Launch> = (0..40)
            .map(|k| Launch {
                ball_speed_m_s: 5.0 + 1.6 * f64::from(k),
                launch_deg: 4.0 + 1.1 * f64::from(k % 30),
                ..drive()
            })
            .collect();
        let faint = AimWind {
            right_m_s: 1.0e-6,
            forward_m_s: 0.0,
        };
        let mut winds = vec![AimWind::default(); launches.len()];
        winds[39] = faint;
        let calm = fly(&launches, &[], &air, &Ball::modern(), -2.0);
        let asked = fly(&launches, &winds, &air, &Ball::modern(), -2.0);
        for ball in 0..39 {
            assert_eq!(calm.ball(ball), asked.ball(ball), "{ball}");
        }
    }

    /// Classical Runge–Kutta is of the fourth order: half the step, a
    /// sixteenth of the error.
    #[test]
    fn the_integrator_is_of_fourth_order() {
        let truth = after(&SmitsSmith, 6.0, 6000);
        let error = |steps| {
            let found = after(&SmitsSmith, 6.0, steps);
            (0..3)
                .map(|i| (found[i] - truth[i]).powi(2))
                .sum::<f64>()
                .sqrt()
        };
        for steps in [30, 60, 120] {
            let order = (error(steps) / error(2 * steps)).log2();
            assert!(
                (3.7..4.4).contains(&order),
                "order {order} at {steps} steps"
            );
        }
        assert!(error(30) < 0.01, "{} m at the step in use", error(30));
    }
}
