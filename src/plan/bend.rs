//! How a ball bends from its start line, in a player's words.

use super::Plan;
use super::sentence::{SAME, side, whole};
use super::wind::cross_wind_m_s;
use crate::player::Handedness;
use crate::units::LengthUnit;

/// A cross wind of this much can turn a draw into a fade, m/s.
const CROSS_WIND_M_S: f64 = 0.5;

/// A bend and what it is named by.
#[derive(Clone, Copy, Debug)]
pub struct Bend<'a> {
    /// Bend of the usual ball from the start line, m, right positive.
    pub curve_m: f64,
    /// Shape, as logged.
    pub shape: &'a str,
    /// Which way the player stands.
    pub hand: Handedness,
    /// The wind across the aim, m/s; positive pushes the ball right.
    pub cross_wind_m_s: f64,
}

impl<'a> Bend<'a> {
    /// Of a plan's tee shot.
    #[must_use]
    pub fn of_plan(plan: &'a Plan) -> Self {
        let shot = &plan.choice.shot;
        let day = &plan.conditions;
        Self {
            curve_m: shot.curve_m,
            shape: &shot.shape,
            hand: plan.player.hand(),
            cross_wind_m_s: cross_wind_m_s(day.wind_m_s, day.wind_from_deg, shot.aim.bearing_deg),
        }
    }

    /// "draw" or "fade", where the wind turned the logged shape into the other.
    #[must_use]
    pub fn held_up(&self) -> Option<&'static str> {
        let logged = self.shape.trim().to_lowercase();
        let own = ["draw", "fade"].into_iter().find(|own| *own == logged)?;
        let blown = self.cross_wind_m_s * self.curve_m.signum() >= CROSS_WIND_M_S;
        (own != self.sort() && blown).then_some(own)
    }

    /// What the bend is to this player.
    fn sort(&self) -> &'static str {
        if self.curve_m * self.hand.sign() < 0.0 {
            "draw"
        } else {
            "fade"
        }
    }

    /// "draws 9", "fades 2", "drifts 9 right" where the wind has the better of the
    /// shape, "hardly bends" for one unit at most.
    #[must_use]
    pub fn words(&self, unit: LengthUnit) -> String {
        let bend = whole(self.curve_m, unit).abs();
        let straight = self.shape.trim().eq_ignore_ascii_case("straight");
        let blown = self.cross_wind_m_s * self.curve_m.signum() >= CROSS_WIND_M_S;
        if bend <= SAME {
            "hardly bends".into()
        } else if self.held_up().is_some() || (straight && blown) {
            format!("drifts {bend} {}", side(self.curve_m))
        } else {
            format!("{}s {bend}", self.sort())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::YARD_M;

    fn bend(curve_yd: f64, shape: &str, hand: Handedness, cross_wind_m_s: f64) -> String {
        let bend = Bend {
            curve_m: curve_yd * YARD_M,
            shape,
            hand,
            cross_wind_m_s,
        };
        bend.words(LengthUnit::Yards)
    }

    /// A right-hander draws to the left and fades to the right, a left-hander the
    /// other way, whatever side of the middle the ball starts on.
    #[test]
    fn the_side_of_a_bend() {
        use Handedness::{Left, Right};
        for (curve, shape, hand, cross, words) in [
            (-9.0, "draw", Right, 0.0, "draws 9"),
            (9.0, "draw", Left, 0.0, "draws 9"),
            (2.0, "stock", Right, 0.0, "fades 2"),
            (-2.0, "stock", Left, 0.0, "fades 2"),
            (1.4, "draw", Right, 0.0, "hardly bends"),
            (-1.6, "fade", Right, 0.0, "draws 2"),
            // The wind from the left turns a draw, and carries a straight ball along.
            (9.0, "draw", Right, 4.0, "drifts 9 right"),
            (9.0, "Straight", Right, 4.0, "drifts 9 right"),
            (-9.0, "fade", Right, -4.0, "drifts 9 left"),
            (-9.0, "draw", Left, -4.0, "drifts 9 left"),
            // It is not the wind's doing where it blows the other way, or hardly.
            (9.0, "draw", Right, -4.0, "fades 9"),
            (9.0, "draw", Right, 0.2, "fades 9"),
            (-9.0, "draw", Right, -4.0, "draws 9"),
        ] {
            let spoken = bend(curve, shape, hand, cross);
            assert_eq!(spoken, words, "{curve} {shape} {hand:?} {cross}");
        }
    }
}
