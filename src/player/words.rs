//! A player's shapes in a coach's words.

use std::fmt::Write as _;

use super::face::{FaceAndStrike, Figure};
use super::roll::Run;
pub use super::shape::{ClubReport, ShapeReport, Spread, report, report_of_player};
use super::{Basis, Handedness};
use crate::units::{LengthUnit, MPH_M_S};

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
            turn_deg: self.turn_deg,
        };
        for (i, club) in self.clubs.iter().enumerate() {
            if i > 0 {
                out.push('\n');
            }
            words.club(&mut out, club);
        }
        if let Some(ball) = &self.ball {
            let _ = write!(out, "\nball: {}\n", ball.words());
        }
        out.push_str(
            "\nIntervals hold the player's own mean, sd or share with 90 %. Widths are where future balls land, mishits \
             left out;\nthey are wider than the log's own where shots are few.\n",
        );
        out
    }
}

/// From this share of balls that go the other way a club is two-way.
const TWO_WAY: f64 = 0.3;

/// "draws" or "fades", by the player's hand.
#[must_use]
pub fn bends(right: f64, handedness: Handedness) -> &'static str {
    if right * handedness.sign() < 0.0 {
        "draws"
    } else {
        "fades"
    }
}

/// How things are said.
struct Words {
    unit: LengthUnit,
    handedness: Handedness,
    turn_deg: Option<f64>,
}

/// The club, its shape, how many shots and what was logged of them.
fn heading(out: &mut String, club: &ClubReport) {
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
}

/// " (3 to 8)" in 100, or nothing where the share is meant as given.
fn of_hundred(sure: bool, share: Figure) -> String {
    if sure {
        format!(" ({:.0} to {:.0})", 100.0 * share.low, 100.0 * share.high)
    } else {
        String::new()
    }
}

/// How many balls bend the other way; or, where bends are not known, land on either side.
fn other_way(out: &mut String, club: &ClubReport) {
    if let (Some(two_way), Some(curve)) = (club.two_way, club.curve_m) {
        let other = if curve.value < 0.0 { "right" } else { "left" };
        let word = if two_way.value >= TWO_WAY {
            ": two-way, allow for both"
        } else {
            ""
        };
        let _ = writeln!(
            out,
            "  other way     {:.0} in 100{} go {other}{word}",
            100.0 * two_way.value,
            of_hundred(club.sure, two_way)
        );
    } else {
        let _ = writeln!(
            out,
            "  misses        {:.0} in 100 land left of the aim, {:.0} right; whether they start or bend there cannot be told",
            100.0 * club.left_share,
            100.0 * (1.0 - club.left_share)
        );
    }
}

fn mishits(out: &mut String, club: &ClubReport) {
    let _ = writeln!(
        out,
        "  mishits       {:.0} in 100{}",
        100.0 * club.mishits.value,
        of_hundred(club.sure, club.mishits)
    );
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

    /// "4.2° right (2.8 to 5.6)", without the interval where the figure is meant as given.
    fn with_interval(&self, sure: bool, figure: Figure, unit: &str, digits: usize) -> String {
        let said = self.side(figure.value, unit, digits);
        if sure {
            format!("{said} {}", self.interval(figure, digits))
        } else {
            said
        }
    }

    /// "17 yd right of straight" for an aim turned by an angle, where the ball lands.
    fn aside(&self, turn_deg: f64, carry_m: f64) -> String {
        let across = self.unit.of(carry_m * turn_deg.to_radians().tan());
        if across.abs() < 0.5 {
            return "straight".into();
        }
        let unit = format!(" {}", self.unit.name());
        format!("{} of straight", self.side(across, &unit, 0))
    }

    /// "12, 9 to 15", or the value alone where it is meant as given.
    fn sd(&self, spread: Spread) -> String {
        let of = |metres: f64| self.unit.of(metres);
        match spread.sd_interval {
            Some([low, high]) => {
                format!("{:.0}, {:.0} to {:.0}", of(spread.sd), of(low), of(high))
            }
            None => format!("{:.0}", of(spread.sd)),
        }
    }

    fn club(&self, out: &mut String, club: &ClubReport) {
        heading(out, club);
        self.start_and_curve(out, club);
        self.side_and_carry(out, club);
        self.run(out, club);
        other_way(out, club);
        mishits(out, club);
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
        self.set_up(out, club);
        self.sureness(out, club);
    }

    /// Where balls start and how much they bend, where that is known.
    fn start_and_curve(&self, out: &mut String, club: &ClubReport) {
        let (Some(start), Some(curve)) = (club.start_deg, club.curve_m) else {
            return;
        };
        let _ = writeln!(
            out,
            "  starts        {}",
            self.with_interval(club.sure, start, "°", 1)
        );
        let curve = self.length(curve);
        let interval = if club.sure {
            format!(" {}", self.interval(curve, 0))
        } else {
            String::new()
        };
        let _ = writeln!(
            out,
            "  {}         {:.0} {}{interval}",
            bends(curve.value, self.handedness),
            curve.value.abs(),
            self.unit.name()
        );
    }

    /// Where balls end beside the aim and how far they carry, with the spreads.
    fn side_and_carry(&self, out: &mut String, club: &ClubReport) {
        let unit = format!(" {}", self.unit.name());
        let side = self.length(club.side_m);
        let _ = writeln!(
            out,
            "  ends          {} of the aim; half of the balls within a width of {:.0}, nine in ten of {:.0}{unit} (sd {})",
            self.with_interval(club.sure, side, &unit, 0),
            self.unit.of(club.side_spread_m.half),
            self.unit.of(club.side_spread_m.most),
            self.sd(club.side_spread_m)
        );
        let carry = self.length(club.carry_m);
        let interval = if club.sure {
            format!(" {}", self.interval(carry, 0))
        } else {
            String::new()
        };
        let _ = writeln!(
            out,
            "  carry         {:.0}{unit}{interval}; half within {:.0}, nine in ten within {:.0}{unit} (sd {})",
            carry.value,
            self.unit.of(club.carry_spread_m.half),
            self.unit.of(club.carry_spread_m.most),
            self.sd(club.carry_spread_m)
        );
    }

    /// How well the mean direction is known, after these shots and after 30 more.
    fn sureness(&self, out: &mut String, club: &ClubReport) {
        if let Some([now, later]) = club.after_thirty_m {
            let early = if club.shots < FEW { "early days: " } else { "" };
            let _ = writeln!(
                out,
                "  sureness      {early}where it ends is known to ±{:.1} {}; 30 more shots would make it about ±{:.1}",
                self.unit.of(now),
                self.unit.name(),
                self.unit.of(later)
            );
        }
    }

    /// How far balls run, here and in the log, and what longer balls do.
    fn run(&self, out: &mut String, club: &ClubReport) {
        let unit = self.unit.name();
        let of = |metres: f64| self.unit.of(metres);
        let run = club.run;
        let longer = |run: Run| {
            let gained = 10.0 * run.per_carry;
            let word = if gained < 0.0 { "less" } else { "more" };
            format!("{:.1} {word} with 10 {unit} more carry", gained.abs())
        };
        let _ = write!(
            out,
            "  rolls         {:.0} {unit} (sd {:.0}), {:.0} {unit} in all; {}",
            of(run.mean_m),
            of(run.sd_m),
            of(club.carry_m.value + run.mean_m),
            longer(run)
        );
        let _ = match club.logged_run {
            Some(roll) => writeln!(
                out,
                "; logged {:.0} {unit} (sd {:.0}) over {} balls, {}",
                of(roll.logged.mean_m),
                of(roll.logged.sd_m),
                roll.rows,
                longer(roll.logged)
            ),
            None if club.sure => writeln!(out, "; totals are not logged"),
            None => writeln!(out),
        };
    }

    /// Where to aim, what that makes of path and face measured to the target, and
    /// the ball further forward.
    fn set_up(&self, out: &mut String, club: &ClubReport) {
        let degrees = |value: f64| self.side(value, "°", 1);
        let of_carry = |across_m: f64| {
            let sine = across_m / club.carry_m.value.max(1.0);
            sine.clamp(-1.0, 1.0).asin().to_degrees()
        };
        let direction = of_carry(club.side_m.value);
        let turn = self.turn_deg.unwrap_or(-direction);
        let _ = match self.turn_deg {
            Some(_) => {
                let side = club.carry_m.value * (direction + turn).to_radians().sin();
                let unit = format!(" {}", self.unit.name());
                let side = self.side(self.unit.of(side), &unit, 0);
                write!(
                    out,
                    "  aim           {}: ends {side} of the target",
                    self.aside(turn, club.carry_m.value)
                )
            }
            None => write!(
                out,
                "  aim           {} to end on the target on average",
                self.aside(turn, club.carry_m.value)
            ),
        };
        if let (Some(curve), None) = (club.curve_m, self.turn_deg) {
            let half = self.aside(-0.5 * of_carry(curve.value), club.carry_m.value);
            let _ = write!(out, " (off half your bend: {half})");
        }
        if let Some(start) = club.start_deg {
            let _ = write!(out, "; starts {}", degrees(start.value + turn));
        }
        let _ = match club.set_up.path_face_deg {
            Some([path, face]) => writeln!(
                out,
                "; measured to the target: path {}, face {}; the bend stays",
                degrees(path + turn),
                degrees(face + turn)
            ),
            None if club.sure => writeln!(out, "; path and face are not logged"),
            None => writeln!(out),
        };
        if let Some(forward) = club.set_up.forward {
            let of = |metres: f64| self.unit.of(metres);
            let further = |value: f64, unit: &str, digits: usize| {
                let word = if value < 0.0 { "left" } else { "right" };
                format!("{:.digits$}{unit} further {word}", value.abs())
            };
            let [path, face] = forward.path_face_deg;
            let unit = format!(" {}", self.unit.name());
            let _ = writeln!(
                out,
                "  ball forward  (practice) met {:.1}° more on the way up, path {}, face {}: starts \
                 {}, bends {}, carries {:+.0}{unit}",
                super::set_up::MORE_UP_DEG,
                further(path, "°", 1),
                further(face, "°", 1),
                further(forward.start_deg, "°", 1),
                further(of(forward.curve_m), &unit, 0),
                of(forward.carry_m)
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
        let share = |k: usize, whose: &str| {
            let [low, high] = face.share_intervals[k].map(|s| 100.0 * s);
            let share = 100.0 * face.shares[k];
            format!("{share:.0} % ({low:.0} to {high:.0}) {whose}")
        };
        let rest = if face.strike_mm.is_some() {
            format!(
                "{}, {:.0} % neither's",
                share(1, "the strike's"),
                100.0 * face.shares[2]
            )
        } else {
            share(2, "the strike's and all else (strike is not logged)")
        };
        let _ = writeln!(out, "  bend varies   {}, {rest}", share(0, "the face's"));
        if let Some(cost) = face.strike_cost {
            let _ = writeln!(
                out,
                "  off middle    strikes off the middle of the face cost {:.1} mph of ball speed on average",
                cost.speed_lost_m_s / MPH_M_S
            );
        }
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
            "  safe shape    95 in 100 would {shape} with the face {:.1}° {} ({:.1} to {:.1}) to the path on average",
            safe.abs(),
            word(safe),
            face.safe_interval_deg[0]
                .abs()
                .min(face.safe_interval_deg[1].abs()),
            face.safe_interval_deg[0]
                .abs()
                .max(face.safe_interval_deg[1].abs())
        );
    }
}
