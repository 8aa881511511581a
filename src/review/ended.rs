//! Where a tee shot ended, and how likely that is under the pattern of a club.
//!
//! A pattern is a cloud of simulated balls. The density of an end is a kernel estimate on these balls:
//! Gaussian kernels with Scott's bandwidth n^(−1/(d+4)) of the cloud's own spread, on balls shrunk
//! towards their mean so that the estimate has the cloud's covariance (Silverman, *Density Estimation*
//! (1986), section 6.4.1; memory), widened by the error of the position. An end in words has the share
//! of balls that lie so.

use super::result::{Lie, Outcome};
use crate::hole::{Coord, Hole};
use crate::outcome::Rest;
use crate::units::parse::Side;

/// Standard error of a logged position, m: a telephone's in the open (practice).
pub const POSITION_M: f64 = 2.0;
/// Standard error of a distance that was estimated or lasered, m (practice).
const DISTANCE_M: f64 = 3.0;
/// Share of ends that are no ball of any pattern: a slip of the pen, another ball (practice).
pub const SLIPS: f64 = 0.005;
/// Where such an end may be: over so many metres along and across.
const ALONG_M: f64 = 350.0;
const ACROSS_M: f64 = 200.0;
/// Lies times sides.
const WORDS: f64 = 14.0;
/// Beyond so many standard deviations a ball is left out of a cloud's mean and spread.
const FAR: f64 = 3.0;

/// Where a tee shot ended, seen from its peg along its aim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Ended {
    /// At rest so far along the aim and right of it, m.
    At([f64; 2]),
    /// Landed so far along the aim and right of it, m; at rest as the words say.
    Landed([f64; 2], Outcome),
    /// At rest so far from the peg, m, and as the words say.
    Total(f64, Outcome),
    /// Landed so far from the peg, m; at rest as the words say.
    Carry(f64, Outcome),
    /// In words, and the distance left to the pin, m.
    Words(Outcome, Option<f64>),
}

impl Ended {
    /// The density of an end that belongs to no pattern.
    #[must_use]
    pub fn broad(&self) -> f64 {
        match self {
            Self::At(_) => 1.0 / (ALONG_M * ACROSS_M),
            Self::Landed(_, outcome) => {
                let words = if outcome.says_where() { WORDS } else { 1.0 };
                1.0 / (words * ALONG_M * ACROSS_M)
            }
            Self::Total(..) | Self::Carry(..) | Self::Words(_, Some(_)) => 1.0 / (WORDS * ALONG_M),
            Self::Words(_, None) => 1.0 / WORDS,
        }
    }
}

/// A simulated ball, seen from its peg along its aim.
#[derive(Clone, Copy, Debug)]
pub struct Ball {
    /// Rest: along and right of the aim, m.
    pub rest: [f64; 2],
    /// Landing: along and right of the aim, m.
    pub landed: [f64; 2],
    /// What it lies in.
    pub lie: Lie,
    /// On which side of the line of play it rests.
    pub side: Side,
    /// From its rest to the pin, m.
    pub to_go_m: f64,
}

/// The view from a peg along an aim.
#[derive(Clone, Copy, Debug)]
pub struct View {
    /// The peg on the plane.
    pub peg: Coord<f64>,
    /// Bearing of the aim, degrees.
    pub aim_deg: f64,
}

impl View {
    /// A place on the plane: along and right of the aim, m.
    #[must_use]
    pub fn of(&self, at: Coord<f64>) -> [f64; 2] {
        let (sin, cos) = self.aim_deg.to_radians().sin_cos();
        let (x, y) = (at.x - self.peg.x, at.y - self.peg.y);
        [x * sin + y * cos, x * cos - y * sin]
    }

    /// The place on the plane.
    #[must_use]
    pub fn at(&self, [along, right]: [f64; 2]) -> Coord<f64> {
        let (sin, cos) = self.aim_deg.to_radians().sin_cos();
        Coord {
            x: self.peg.x + along * sin + right * cos,
            y: self.peg.y + along * cos - right * sin,
        }
    }

    /// A ball at rest.
    #[must_use]
    pub fn ball(&self, hole: &Hole, rest: &Rest) -> Ball {
        Ball {
            rest: self.of(rest.at),
            landed: self.of(rest.landed),
            lie: Lie::of(rest.surface),
            side: side_of_play(hole, rest.at),
            to_go_m: (rest.at.x - hole.pin.x).hypot(rest.at.y - hole.pin.y),
        }
    }
}

/// On which side of the line of play a place is.
fn side_of_play(hole: &Hole, at: Coord<f64>) -> Side {
    off_play(hole, at).1
}

/// How far off the line of play a place is, m, and on which side: by the nearest of its straight parts.
#[must_use]
pub fn off_play(hole: &Hole, at: Coord<f64>) -> (f64, Side) {
    let mut nearest = (f64::INFINITY, 0.0);
    for part in hole.line_of_play.windows(2) {
        let (along, off) = (
            [part[1].x - part[0].x, part[1].y - part[0].y],
            [at.x - part[0].x, at.y - part[0].y],
        );
        let squared = along[0] * along[0] + along[1] * along[1];
        let share = (off[0] * along[0] + off[1] * along[1]) / squared.max(1.0e-9);
        let share = share.clamp(0.0, 1.0);
        let away = (off[0] - share * along[0]).hypot(off[1] - share * along[1]);
        if away < nearest.0 {
            nearest = (away, off[0] * along[1] - off[1] * along[0]);
        }
    }
    let side = if nearest.1 < 0.0 {
        Side::Left
    } else {
        Side::Right
    };
    (nearest.0, side)
}

fn length([along, right]: [f64; 2]) -> f64 {
    along.hypot(right)
}

/// Mean and covariance.
#[derive(Clone, Copy, Debug)]
struct Spread {
    mean: [f64; 2],
    covariance: [f64; 3],
}

impl Spread {
    /// Of points without those far out, in three rounds.
    fn of(points: &[[f64; 2]]) -> Self {
        let mut spread: Option<Self> = None;
        for _ in 0..3 {
            let is_near = |p: &&[f64; 2]| {
                spread.is_none_or(|s: Self| s.squared(**p, s.covariance) < FAR * FAR)
            };
            let kept: Vec<&[f64; 2]> = points.iter().filter(is_near).collect();
            if kept.len() < 3 {
                break;
            }
            let count = kept.len() as f64;
            let mean = [0, 1].map(|k| kept.iter().map(|p| p[k]).sum::<f64>() / count);
            let moment = |i: usize, j: usize| {
                let each = kept.iter().map(|p| (p[i] - mean[i]) * (p[j] - mean[j]));
                each.sum::<f64>() / count
            };
            spread = Some(Self {
                mean,
                // A hair of room: balls all in one place have no spread.
                covariance: [moment(0, 0) + 1.0e-4, moment(0, 1), moment(1, 1) + 1.0e-4],
            });
        }
        spread.unwrap_or(Self {
            mean: points.first().copied().unwrap_or_default(),
            covariance: [1.0, 0.0, 1.0],
        })
    }

    /// The squared length of a point's offset from the mean by a covariance `[aa, ab, bb]`.
    fn squared(&self, p: [f64; 2], covariance: [f64; 3]) -> f64 {
        squared([p[0] - self.mean[0], p[1] - self.mean[1]], covariance)
    }
}

fn squared(off: [f64; 2], [aa, ab, bb]: [f64; 3]) -> f64 {
    let determinant = aa * bb - ab * ab;
    (bb * off[0] * off[0] - 2.0 * ab * off[0] * off[1] + aa * off[1] * off[1]) / determinant
}

/// Simulated balls of one swing, ready for densities.
#[derive(Clone, Debug)]
pub struct Cloud {
    /// The balls.
    pub balls: Vec<Ball>,
    rest: Spread,
    landed: Spread,
}

impl Cloud {
    /// Of balls at rest.
    #[must_use]
    pub fn of(hole: &Hole, view: &View, rests: &[Rest]) -> Self {
        let balls: Vec<Ball> = rests.iter().map(|rest| view.ball(hole, rest)).collect();
        let all = |of: fn(&Ball) -> [f64; 2]| balls.iter().map(of).collect::<Vec<_>>();
        Self {
            rest: Spread::of(&all(|ball| ball.rest)),
            landed: Spread::of(&all(|ball| ball.landed)),
            balls,
        }
    }

    /// How densely the balls end so: per m², per m, or a share.
    #[must_use]
    pub fn density(&self, ended: &Ended) -> f64 {
        let each = 1.0 / self.balls.len().max(1) as f64;
        each * self.weights(ended).iter().sum::<f64>()
    }

    /// The kernel of every ball at an end; their mean is the density there.
    #[must_use]
    pub fn weights(&self, ended: &Ended) -> Vec<f64> {
        self.kernels(ended, None)
    }

    /// The same by kernels of this share of the cloud's variance, on balls where they lie: for clouds whose
    /// balls are weighed.
    #[must_use]
    pub fn narrow(&self, ended: &Ended, share: f64) -> Vec<f64> {
        self.kernels(ended, Some(share))
    }

    fn kernels(&self, ended: &Ended, narrow: Option<f64>) -> Vec<f64> {
        let fits = |ball: &Ball, outcome: Outcome| {
            outcome.lie.is_none_or(|lie| lie == ball.lie)
                && outcome.side.is_none_or(|side| side == ball.side)
        };
        match *ended {
            Ended::At(at) => self.near(at, |ball| ball.rest, (&self.rest, narrow)),
            Ended::Landed(at, outcome) => {
                let near = self.near(at, |ball| ball.landed, (&self.landed, narrow));
                let all = self.balls.iter().zip(near);
                all.map(|(ball, weight)| if fits(ball, outcome) { weight } else { 0.0 })
                    .collect()
            }
            Ended::Total(m, outcome) => {
                let of = |ball: &Ball| fits(ball, outcome).then(|| length(ball.rest));
                self.along(m, of, narrow)
            }
            Ended::Carry(m, outcome) => {
                let of = |ball: &Ball| fits(ball, outcome).then(|| length(ball.landed));
                self.along(m, of, narrow)
            }
            Ended::Words(outcome, Some(m)) => {
                let of = |ball: &Ball| fits(ball, outcome).then_some(ball.to_go_m);
                self.along(m, of, narrow)
            }
            Ended::Words(outcome, None) => {
                let share = |ball| if fits(ball, outcome) { 1.0 } else { 0.0 };
                self.balls.iter().map(share).collect()
            }
        }
    }

    /// Kernels about every ball in the plane.
    fn near(
        &self,
        at: [f64; 2],
        of: fn(&Ball) -> [f64; 2],
        (spread, narrow): (&Spread, Option<f64>),
    ) -> Vec<f64> {
        let scott = || (self.balls.len().max(2) as f64).powf(-1.0 / 3.0);
        let (h2, shrink) = narrow.map_or_else(|| (scott(), (1.0 - scott()).sqrt()), |h2| (h2, 1.0));
        let [aa, ab, bb] = spread.covariance;
        let error = POSITION_M * POSITION_M;
        let kernel = [h2 * aa + error, h2 * ab, h2 * bb + error];
        let determinant = kernel[0] * kernel[2] - kernel[1] * kernel[1];
        let height = 1.0 / (std::f64::consts::TAU * determinant.sqrt());
        let weight = |ball: &Ball| {
            let shrunk = [0, 1].map(|k| spread.mean[k] + shrink * (of(ball)[k] - spread.mean[k]));
            let off = [at[0] - shrunk[0], at[1] - shrunk[1]];
            height * (-0.5 * squared(off, kernel)).exp()
        };
        self.balls.iter().map(weight).collect()
    }

    /// Kernels about a length of every ball that has one.
    fn along(&self, m: f64, of: impl Fn(&Ball) -> Option<f64>, narrow: Option<f64>) -> Vec<f64> {
        let lengths: Vec<Option<f64>> = self.balls.iter().map(of).collect();
        let known: Vec<[f64; 2]> = lengths.iter().flatten().map(|m| [*m, 0.0]).collect();
        let spread = Spread::of(&known);
        let (mean, variance) = (spread.mean[0], spread.covariance[0]);
        let scott = || (known.len().max(2) as f64).powf(-2.0 / 5.0);
        let (h2, shrink) = narrow.map_or_else(|| (scott(), (1.0 - scott()).sqrt()), |h2| (h2, 1.0));
        let kernel = h2 * variance + DISTANCE_M * DISTANCE_M;
        let height = 1.0 / (std::f64::consts::TAU * kernel).sqrt();
        let weight = |length: &Option<f64>| {
            length.map_or(0.0, |length| {
                let off = m - mean - shrink * (length - mean);
                height * (-0.5 * off * off / kernel).exp()
            })
        };
        lengths.iter().map(weight).collect()
    }

    /// The share of balls that end left of an end, and the share that end shorter; none where the end
    /// does not say.
    #[must_use]
    pub fn shares(&self, ended: &Ended) -> [Option<f64>; 2] {
        let below = |value: f64, of: &dyn Fn(&Ball) -> f64| {
            let count = self.balls.iter().filter(|ball| of(ball) < value).count();
            // Never 0 or 1: half a ball of room.
            Some((count as f64 + 0.5) / (self.balls.len() as f64 + 1.0))
        };
        match *ended {
            Ended::At([along, right]) => [
                below(right, &|ball| ball.rest[1]),
                below(along.hypot(right), &|ball| ball.rest[0].hypot(ball.rest[1])),
            ],
            Ended::Landed([along, right], _) => [
                below(right, &|ball| ball.landed[1]),
                below(along.hypot(right), &|ball| {
                    ball.landed[0].hypot(ball.landed[1])
                }),
            ],
            Ended::Total(m, _) => [None, below(m, &|ball| ball.rest[0].hypot(ball.rest[1]))],
            Ended::Carry(m, _) => [None, below(m, &|ball| ball.landed[0].hypot(ball.landed[1]))],
            Ended::Words(_, Some(m)) => [None, below(-m, &|ball| -ball.to_go_m)],
            Ended::Words(_, None) => [None, None],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{normal_quantile, points};

    fn cloud(spread: [f64; 2]) -> Cloud {
        let balls: Vec<Ball> = points(3, 2048)
            .iter()
            .map(|p| {
                let at = [
                    220.0 + spread[0] * normal_quantile(p[0]),
                    spread[1] * normal_quantile(p[1]),
                ];
                Ball {
                    rest: at,
                    landed: at,
                    lie: if at[1] < 0.0 {
                        Lie::Rough
                    } else {
                        Lie::Fairway
                    },
                    side: if at[1] < 0.0 { Side::Left } else { Side::Right },
                    to_go_m: 350.0 - at[0],
                }
            })
            .collect();
        let all: Vec<[f64; 2]> = balls.iter().map(|ball| ball.rest).collect();
        Cloud {
            rest: Spread::of(&all),
            landed: Spread::of(&all),
            balls,
        }
    }

    /// Closed form: a bivariate normal, widened by the error of a position.
    #[test]
    fn the_density_of_a_normal_cloud() {
        let spread = [15.0, 20.0];
        let cloud = cloud(spread);
        // Balls beyond three spreads are left out of the spread: it is short by 1.3 %.
        let widened = spread.map(|s| (s * s + POSITION_M * POSITION_M).sqrt());
        for off in [[0.0, 0.0], [10.0, -15.0], [-25.0, 20.0], [20.0, 40.0]] {
            let z2 = (off[0] / widened[0]).powi(2) + (off[1] / widened[1]).powi(2);
            let normal = (-0.5 * z2).exp() / (std::f64::consts::TAU * widened[0] * widened[1]);
            let density = cloud.density(&Ended::At([220.0 + off[0], off[1]]));
            assert!(
                (density / normal - 1.0).abs() < 0.1,
                "{off:?}: {density} for {normal}"
            );
        }
    }

    #[test]
    fn words_have_the_share_of_balls_that_lie_so() {
        let cloud = cloud([15.0, 20.0]);
        let said = |lie, side| {
            let outcome = Outcome {
                lie,
                side,
                holed: false,
            };
            cloud.density(&Ended::Words(outcome, None))
        };
        assert!((said(Some(Lie::Rough), None) - 0.5).abs() < 0.01);
        assert!((said(Some(Lie::Rough), Some(Side::Left)) - 0.5).abs() < 0.01);
        assert_eq!(said(Some(Lie::Rough), Some(Side::Right)), 0.0);
        let outcome = Outcome {
            lie: Some(Lie::Rough),
            side: None,
            holed: false,
        };
        let to_go = cloud.density(&Ended::Words(outcome, Some(130.0)));
        let normal = 0.5 / (std::f64::consts::TAU * (225.0 + 9.0)).sqrt();
        assert!((to_go / normal - 1.0).abs() < 0.1, "{to_go} for {normal}");
    }

    #[test]
    fn a_view_and_back() {
        let view = View {
            peg: Coord { x: 3.0, y: -4.0 },
            aim_deg: 90.0,
        };
        let at = Coord { x: 103.0, y: -14.0 };
        let [along, right] = view.of(at);
        assert!((along - 100.0).abs() < 1e-9 && (right - 10.0).abs() < 1e-9);
        let back = view.at([along, right]);
        assert!((back.x - at.x).abs() < 1e-9 && (back.y - at.y).abs() < 1e-9);
    }
}
