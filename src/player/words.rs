//! A player's shapes in a coach's words.

use std::fmt::Write as _;

use super::face::{FaceAndStrike, Figure};
pub use super::shape::{ClubReport, ShapeReport, Spread, report, report_of_player};
use super::{Basis, Handedness};
use crate::units::LengthUnit;

/// Below this many used shots a club's figures are called early days.
const FEW: usize = 20;

impl ShapeReport {
    /// The report as text for a terminal.
    #[must_use]
    pub fn text(&self, unit: LengthUnit) -> String {
        let mut out = String::new();
        let words = Words {
            unit,
            handedness: self.handedness,
        };
        for (i, club) in self.clubs.iter().enumerate() {
            if i > 0 {
                out.push('\n');
            }
            words.club(&mut out, club);
        }
        out.push_str(
            "\nIntervals hold the mean with 90 %. Widths are where future balls land, mishits \
             left out;\nthey are wider than the log's own where shots are few.\n",
        );
        out
    }
}

/// How things are said.
struct Words {
    unit: LengthUnit,
    handedness: Handedness,
}

impl Words {
    /// "4.2° right", "3.0 yd left".
    fn side(&self, value: f64, unit: &str, digits: usize) -> String {
        let word = if value < 0.0 { "left" } else { "right" };
        format!("{:.digits$}{unit} {word}", value.abs())
    }

    /// "(1.4 to 2.8)", or with sides where the interval holds both.
    fn interval(&self, figure: Figure, digits: usize) -> String {
        let (low, high) = (figure.low, figure.high);
        if low < 0.0 && high > 0.0 {
            format!("({:.digits$} left to {:.digits$} right)", -low, high)
        } else {
            let (a, b) = (low.abs().min(high.abs()), low.abs().max(high.abs()));
            format!("({a:.digits$} to {b:.digits$})")
        }
    }

    fn length(&self, figure: Figure) -> Figure {
        Figure {
            value: self.unit.of(figure.value),
            low: self.unit.of(figure.low),
            high: self.unit.of(figure.high),
        }
    }

    fn told(&self, sure: bool, figure: Figure, unit: &str, digits: usize) -> String {
        let said = self.side(figure.value, unit, digits);
        if sure {
            format!("{said} {}", self.interval(figure, digits))
        } else {
            said
        }
    }

    fn club(&self, out: &mut String, club: &ClubReport) {
        let name = self.unit.name();
        let unit = format!(" {name}");
        let basis = match club.basis {
            Basis::FullLaunch => "full launch logged",
            Basis::StartAndCurve => "start and curve logged",
            Basis::SideOnly => "only carry and side logged",
            Basis::Neighbours => "no shots: filled from neighbouring clubs",
            Basis::Given => "given by hand",
        };
        // Writing to a String cannot fail.
        let _ = write!(
            out,
            "{}, {}: {} shots ({basis}",
            crate::diagnostic::printable(&club.club),
            crate::diagnostic::printable(&club.shape),
            club.shots
        );
        if club.sure && club.effective_shots < 0.8 * club.shots as f64 {
            let _ = write!(out, "; worth {:.0} even ones", club.effective_shots);
        }
        let _ = writeln!(out, ")");
        if let (Some(start), Some(curve)) = (club.start_deg, club.curve_m) {
            let _ = writeln!(
                out,
                "  starts        {}",
                self.told(club.sure, start, "°", 1)
            );
            let curve = self.length(curve);
            let _ = writeln!(
                out,
                "  bends         {}",
                self.told(club.sure, curve, &unit, 0)
            );
        }
        let side = self.length(club.side_m);
        let _ = writeln!(
            out,
            "  side total    {} of the aim; half of the balls within a width of {:.0}, nine in ten of {:.0}{unit} (sd {:.0})",
            self.told(club.sure, side, &unit, 0),
            self.unit.of(club.side_spread_m.half),
            self.unit.of(club.side_spread_m.most),
            self.unit.of(club.side_spread_m.sd)
        );
        let carry = self.length(club.carry_m);
        let interval = if club.sure {
            format!(" {}", self.interval(carry, 0))
        } else {
            String::new()
        };
        let _ = writeln!(
            out,
            "  carry         {:.0}{unit}{interval}; half within {:.0}, nine in ten within {:.0}{unit} (sd {:.0})",
            carry.value,
            self.unit.of(club.carry_spread_m.half),
            self.unit.of(club.carry_spread_m.most),
            self.unit.of(club.carry_spread_m.sd)
        );
        if let (Some(two_way), Some(curve)) = (club.two_way, club.curve_m) {
            let other = if curve.value < 0.0 { "right" } else { "left" };
            let interval = if club.sure {
                format!(
                    " ({:.0} to {:.0})",
                    100.0 * two_way.low,
                    100.0 * two_way.high
                )
            } else {
                String::new()
            };
            let word = if two_way.value >= 0.25 {
                ": a two-way miss, price both sides"
            } else {
                ""
            };
            let _ = writeln!(
                out,
                "  two-way miss  {:.0} in 100{interval} bend {other} instead{word}",
                100.0 * two_way.value
            );
        } else {
            let _ = writeln!(
                out,
                "  misses        {:.0} in 100 land left of the aim, {:.0} right; whether they start or bend there cannot be told",
                100.0 * club.left_share,
                100.0 * (1.0 - club.left_share)
            );
        }
        let interval = if club.sure {
            format!(
                " ({:.0} to {:.0})",
                100.0 * club.mishits.low,
                100.0 * club.mishits.high
            )
        } else {
            String::new()
        };
        let _ = writeln!(
            out,
            "  mishits       {:.0} in 100{interval}",
            100.0 * club.mishits.value
        );
        match &club.face {
            Some(face) => self.face(out, face, club.curve_m.map_or(0.0, |c| c.value)),
            None if club.sure && club.basis != Basis::SideOnly => {
                let _ = writeln!(
                    out,
                    "  face, strike  not logged: what the face and what the strike did cannot be told apart"
                );
            }
            None => {}
        }
        if let Some([now, later]) = club.after_thirty_m {
            let early = if club.shots < FEW { "early days: " } else { "" };
            let _ = writeln!(
                out,
                "  sureness      {early}the side total is known to ±{:.1}{unit}; 30 more shots would make it about ±{:.1}",
                self.unit.of(now),
                self.unit.of(later)
            );
        }
    }

    fn face(&self, out: &mut String, face: &FaceAndStrike, curve_m: f64) {
        let sign = self.handedness.sign();
        let word = |degrees: f64| {
            if degrees * sign < 0.0 {
                "closed"
            } else {
                "open"
            }
        };
        let [mean, sd] = face.face_to_path_deg;
        let _ = writeln!(
            out,
            "  face          {:.1}° {} to the path (sd {sd:.1}); a degree tilts the axis {:.1}° ({:.1} to {:.1})",
            mean.abs(),
            word(mean),
            face.per_degree.value,
            face.per_degree.low,
            face.per_degree.high
        );
        if let (Some([at, scatter]), Some(per_mm)) = (face.strike_mm, face.per_mm) {
            let end = if at < 0.0 { "heel" } else { "toe" };
            // A positive tilt is fade spin for a right-hander.
            let word = |tilt: f64| if tilt * sign < 0.0 { "draw" } else { "fade" };
            let (low, high) = (10.0 * per_mm.low, 10.0 * per_mm.high);
            let interval = if low * high < 0.0 {
                format!(
                    "{:.1} of {} to {:.1} of {}",
                    low.abs(),
                    word(low),
                    high.abs(),
                    word(high)
                )
            } else {
                format!(
                    "{:.1} to {:.1}",
                    low.abs().min(high.abs()),
                    low.abs().max(high.abs())
                )
            };
            let _ = writeln!(
                out,
                "  strike        {:.0} mm towards the {end} (sd {scatter:.0}); 10 mm towards the toe adds {:.1}° of {} tilt ({interval})",
                at.abs(),
                10.0 * per_mm.value.abs(),
                word(per_mm.value)
            );
        }
        let [by_face, by_strike, rest] = face.shares.map(|s| 100.0 * s);
        let strike = if face.strike_mm.is_some() {
            format!("{by_strike:.0} % the strike's, {rest:.0} % neither's")
        } else {
            format!("{rest:.0} % the strike's and all else (strike is not logged)")
        };
        let _ = writeln!(out, "  bend's spread {by_face:.0} % the face's, {strike}");
        if let Some(together) = face.face_with_strike
            && together.abs() > 0.35
        {
            let with = if together * sign < 0.0 { "heel" } else { "toe" };
            let _ = writeln!(
                out,
                "  together      an open face comes with a {with} strike"
            );
        }
        let shape = if curve_m * sign < 0.0 { "draw" } else { "fade" };
        let safe = face.safe_face_to_path_deg;
        let _ = writeln!(
            out,
            "  safe shape    95 in 100 would {shape} with the face {:.1}° {} to the path on average",
            safe.abs(),
            word(safe)
        );
    }
}
