//! What the ground does to a ball: bounce and rolling resistance.

use super::{Firmness, Footing, Turf};

/// Restitution of turf at a speed square to it, m/s.
///
/// # References
/// Penner, *The run of a golf ball*, Can. J. Phys. 80 (2002) 931–940 (memory):
/// `0.510 − 0.0375 v + 0.000903 v²` up to 20 m/s, 0.120 above.
#[must_use]
#[inline(always)]
pub fn restitution(normal_speed_m_s: f64) -> f64 {
    let v = normal_speed_m_s;
    if v <= 20.0 {
        0.510 - 0.037_5 * v + 0.000_903 * v * v
    } else {
        0.120
    }
}

/// By how much the dent a ball makes turns the ground towards it, degrees.
///
/// `speed_m_s` at impact, `angle_deg` between the path and the ground's
/// perpendicular. Penner's `15.4° (v/18.6)(φ/44.4°)` (memory) was measured on
/// iron shots. A flat, fast landing lies outside his data and would give a
/// ramp steeper than the ball's own path; so the slope is capped at half the
/// angle between path and ground (our cap: practice).
#[must_use]
#[inline(always)]
pub fn dent_slope_deg(speed_m_s: f64, angle_deg: f64) -> f64 {
    let penner = 15.4 * (speed_m_s / 18.6) * (angle_deg / 44.4);
    penner.min((90.0 - angle_deg) / 2.0).max(0.0)
}

/// Deceleration of a ball that rolls on a green of this Stimpmeter reading, m/s².
///
/// The Stimpmeter lets the ball go at 1.83 m/s (its geometry; read); the
/// reading S is how far it rolls, so the deceleration is v²/2S.
#[must_use]
pub fn green_deceleration_m_s2(reading_ft: f64) -> f64 {
    const RELEASE_M_S: f64 = 1.83;
    RELEASE_M_S * RELEASE_M_S / (2.0 * reading_ft * crate::units::FOOT_M)
}

/// A kind of ground at a firmness, as numbers.
///
/// Those of the fairway are Penner's turf with factors calibrated so that a
/// driver runs about 5, 20 and 35 yd where it is soft, medium and firm, a 3-wood
/// some 13 and a 7-iron some 6 yd on the medium one (practice). Those of the green
/// are his dents as measured, so that wedges stop (practice). Those of rough, sand
/// and the floor of a wood are practice alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Factor on [`restitution`].
    pub restitution_factor: f64,
    /// Factor on [`dent_slope_deg`].
    pub dent_factor: f64,
    /// Coefficient of sliding friction.
    pub friction: f64,
    /// Share of the speed along the ground left after a bounce: long grass and
    /// sand hold the ball.
    pub kept: f64,
    /// Deceleration of a rolling ball, m/s².
    pub deceleration_m_s2: f64,
    /// Further deceleration per speed, 1/s: only fast balls notice.
    pub drag_per_s: f64,
}

impl Ground {
    /// The numbers at a footing: in a band between those of its two turfs.
    #[must_use]
    pub fn at(footing: Footing, firmness: Firmness) -> Self {
        let own = Self::of(footing.turf, firmness);
        let Some((beside, share)) = footing.between() else {
            return own;
        };
        let beside = Self::of(beside, firmness);
        let mix = |of: fn(&Self) -> f64| of(&beside) + share * (of(&own) - of(&beside));
        Self {
            restitution_factor: mix(|g| g.restitution_factor),
            dent_factor: mix(|g| g.dent_factor),
            friction: mix(|g| g.friction),
            kept: mix(|g| g.kept),
            deceleration_m_s2: mix(|g| g.deceleration_m_s2),
            drag_per_s: mix(|g| g.drag_per_s),
        }
    }

    /// The numbers of a kind of ground.
    #[must_use]
    pub fn of(turf: Turf, firmness: Firmness) -> Self {
        let pick = |soft: f64, medium: f64, firm: f64| match firmness {
            Firmness::Soft => soft,
            Firmness::Medium => medium,
            Firmness::Firm => firm,
        };
        match turf {
            Turf::Fairway => Self {
                restitution_factor: pick(0.75, 1.0, 1.18),
                dent_factor: pick(0.8, 0.5, 0.48),
                friction: 0.40,
                kept: pick(0.54, 0.84, 0.905),
                deceleration_m_s2: pick(2.6, 2.0, 1.6),
                drag_per_s: pick(0.7, 0.5, 0.22),
            },
            Turf::Green => Self {
                restitution_factor: pick(0.75, 1.0, 1.15),
                dent_factor: pick(1.2, 1.0, 0.75),
                friction: 0.40,
                kept: pick(0.85, 0.9, 0.92),
                deceleration_m_s2: green_deceleration_m_s2(pick(9.0, 10.0, 11.0)),
                drag_per_s: 0.0,
            },
            Turf::Rough => Self {
                restitution_factor: pick(0.6, 0.7, 0.85),
                dent_factor: pick(1.2, 1.0, 0.75),
                friction: 0.45,
                kept: pick(0.45, 0.6, 0.7),
                deceleration_m_s2: pick(6.0, 4.5, 3.5),
                drag_per_s: 0.8,
            },
            Turf::WoodFloor => Self {
                restitution_factor: pick(0.5, 0.6, 0.7),
                dent_factor: 1.0,
                friction: 0.45,
                kept: pick(0.4, 0.5, 0.6),
                deceleration_m_s2: pick(4.5, 3.5, 3.0),
                drag_per_s: 0.5,
            },
            Turf::Sand | Turf::Water => Self {
                restitution_factor: 0.3,
                dent_factor: 1.0,
                friction: 0.6,
                kept: 0.15,
                deceleration_m_s2: 12.0,
                drag_per_s: 2.0,
            },
        }
    }
}

/// From this speed square to the ground on, grass holds the ball fully (practice), m/s.
const FULL_HOLD_M_S: f64 = 1.0;

/// A ball's velocity (m/s) and spin (rad/s), both as vectors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Velocity, m/s.
    pub velocity_m_s: [f64; 3],
    /// Spin, rad/s, right-handed about its direction.
    pub spin_rad_s: [f64; 3],
}

/// The motion after one bounce.
///
/// `normal` is the ground's unit perpendicular, upwards. The ball meets the
/// dent's slope: it comes off it square with [`restitution`], and along it
/// friction turns the contact point's slip `u = v_t − r ω × n` back. Where
/// friction can stop the slip (μ at least `μc = 2|u| / [7(1+e)|v_n|]`) the ball leaves
/// rolling, `v_t − (2/7) u`; otherwise it slides through the bounce and loses
/// `μ(1+e)|v_n|`. In the plane this is Penner's `(5/7)vx − (2/7)rω`; in three
/// dimensions sidespin kicks the ball sideways.
#[must_use]
pub fn bounce(motion: &Motion, normal: [f64; 3], ground: &Ground, radius_m: f64) -> Motion {
    bounced(motion, normal, ground, radius_m)
}

/// The same without a branch, so that balls which bounce side by side share its sums:
/// one alone waits for each of them.
#[inline(always)]
pub(super) fn bounced(motion: &Motion, normal: [f64; 3], ground: &Ground, radius_m: f64) -> Motion {
    let v = motion.velocity_m_s;
    let onto = -dot(v, normal);
    let along = add(v, normal, onto);
    let along_speed = dot(along, along).sqrt();
    let angle = steepness_deg(along_speed, onto);
    let speed = dot(v, v).sqrt();
    let slope = (ground.dent_factor * dent_slope_deg(speed, angle))
        .min(0.9 * (90.0 - angle))
        .to_radians();
    let [sin, cos] = small_sin_cos(slope);
    let dented = add(normal.map(|x| x * cos), along, -sin / along_speed);
    let n = chosen(along_speed > 1.0e-9, dented, normal);
    let into = -dot(v, n);
    let e = ground.restitution_factor * restitution(into);
    let tangential = add(v, n, into);
    let arm = cross(motion.spin_rad_s, n);
    let slip = add(tangential, arm, -radius_m);
    let slip_speed = dot(slip, slip).sqrt();
    let change = (2.0 / 7.0 * slip_speed).min(ground.friction * (1.0 + e) * into);
    let slips = slip_speed > 1.0e-12;
    let braked = add(tangential, slip, -change / slip_speed);
    let turn = cross(n, slip);
    let turned = add(
        motion.spin_rad_s,
        turn,
        2.5 * change / (radius_m * slip_speed),
    );
    let velocity = chosen(slips, braked, tangential);
    let spin = chosen(slips, turned, motion.spin_rad_s);
    // A ball that hardly presses into the grass hardly loses anything to it.
    let kept = 1.0 - (1.0 - ground.kept) * (into / FULL_HOLD_M_S).min(1.0);
    let velocity = add(velocity.map(|x| x * kept), n, e * into);
    let meets = onto > 0.0;
    Motion {
        velocity_m_s: chosen(meets, velocity, v),
        spin_rad_s: chosen(meets, spin, motion.spin_rad_s),
    }
}

#[inline(always)]
fn chosen(first: bool, a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| if first { a[i] } else { b[i] })
}

/// The angle whose tangent is `along / into`, degrees, both above 0.
///
/// A ball bounces a dozen times; the library's arc tangent, sine and cosine took a
/// quarter of a bounce. Abramowitz & Stegun 4.4.49 (memory) on a tangent
/// below 1: within 2e-8 rad.
#[inline(always)]
fn steepness_deg(along: f64, into: f64) -> f64 {
    let (less, more) = if along < into {
        (along, into)
    } else {
        (into, along)
    };
    let x = less / more;
    let s = x * x;
    let series = 1.0
        + s * (-0.333_331_452_8
            + s * (0.199_935_508_5
                + s * (-0.142_088_994_4
                    + s * (0.106_562_639_3
                        + s * (-0.075_289_640_0
                            + s * (0.042_909_613_8
                                + s * (-0.016_165_736_7 + s * 0.002_866_225_7)))))));
    let angle = x * series;
    let angle = if along < into {
        angle
    } else {
        std::f64::consts::FRAC_PI_2 - angle
    };
    angle.to_degrees()
}

/// Sine and cosine of an angle from 0 to 60°, by their series: within 5e-8.
#[inline(always)]
fn small_sin_cos(angle: f64) -> [f64; 2] {
    // Divided by constants before the program runs: a chain of divisions is slow.
    const SIN: [f64; 4] = [-1.0 / 6.0, 1.0 / 120.0, -1.0 / 5040.0, 1.0 / 362_880.0];
    const COS: [f64; 5] = [
        -1.0 / 2.0,
        1.0 / 24.0,
        -1.0 / 720.0,
        1.0 / 40_320.0,
        -1.0 / 3_628_800.0,
    ];
    let s = angle * angle;
    let [s3, s5, s7, s9] = SIN;
    let [c2, c4, c6, c8, c10] = COS;
    [
        angle * (1.0 + s * (s3 + s * (s5 + s * (s7 + s * s9)))),
        1.0 + s * (c2 + s * (c4 + s * (c6 + s * (c8 + s * c10)))),
    ]
}

/// The speed along the ground of a ball that has stopped hopping, once its slip
/// has died: `v_t − (2/7) u`.
#[must_use]
#[inline]
pub fn rolling_velocity(motion: &Motion, normal: [f64; 3], radius_m: f64) -> [f64; 3] {
    let v = motion.velocity_m_s;
    let tangential = add(v, normal, -dot(v, normal));
    let slip = add(tangential, cross(motion.spin_rad_s, normal), -radius_m);
    add(tangential, slip, -2.0 / 7.0)
}

#[inline(always)]
pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    // Grouped so that mirroring east and west cannot change the rounding.
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[inline(always)]
pub(super) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

#[inline(always)]
fn add(a: [f64; 3], b: [f64; 3], factor: f64) -> [f64; 3] {
    std::array::from_fn(|i| a[i] + factor * b[i])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the standard library.
    #[test]
    fn short_series_are_near_enough() {
        for step in 1..2000 {
            let angle = f64::from(step) / 2000.0 * std::f64::consts::FRAC_PI_2;
            let (along, into) = angle.sin_cos();
            let off = (steepness_deg(along, into) - angle.to_degrees()).abs();
            assert!(off < 2.0e-6, "{angle}: {off:e}");
            let small = angle * 2.0 / 3.0;
            let [sin, cos] = small_sin_cos(small);
            let off = (sin - small.sin()).abs().max((cos - small.cos()).abs());
            assert!(off < 5.0e-8, "{small}: {off:e}");
        }
    }
}
