//! What kind of club a name means, and how such a club usually launches.
//!
//! The table is practice: round figures for a well-struck shot of a strong
//! player, by loft, with a rule for how slower players differ. It fills in the
//! launch angle and spin that a log does not have, and bounds what a log may
//! claim; logged values always go before it.

use crate::units::YARD_M;

/// The kinds of club that scatter differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Driver.
    Driver,
    /// Fairway woods and hybrids.
    Wood,
    /// Irons.
    Iron,
    /// Wedges.
    Wedge,
}

/// A club as far as its name tells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Club {
    /// Its family.
    pub family: Family,
    /// Its usual loft, degrees.
    pub loft_deg: f64,
    /// False where the name says nothing and a mid-iron is assumed.
    pub known: bool,
}

/// Loft (deg), carry (yd), launch (deg), spin (rpm) of a strong player's
/// well-struck shot, for woods and for irons and wedges (practice).
const WOODS: [[f64; 4]; 4] = [
    [10.5, 275.0, 11.0, 2650.0],
    [15.0, 245.0, 9.5, 3600.0],
    [18.0, 230.0, 9.8, 4300.0],
    [24.0, 210.0, 11.5, 4900.0],
];
const IRONS: [[f64; 4]; 8] = [
    [20.0, 215.0, 10.3, 4600.0],
    [24.0, 203.0, 11.2, 4900.0],
    [27.0, 192.0, 12.3, 5400.0],
    [30.5, 182.0, 14.2, 6200.0],
    [34.5, 170.0, 16.5, 7000.0],
    [39.0, 158.0, 18.2, 7900.0],
    [43.0, 146.0, 20.5, 8600.0],
    [60.0, 90.0, 31.0, 10_000.0],
];

impl Club {
    /// The club a name means: `driver`, `3w`, `4 hybrid`, `7i`, `7-iron`,
    /// `pw`, `56`, … An unknown name is taken for a mid-iron.
    #[must_use]
    pub fn of(name: &str) -> Self {
        let name: String = name
            .to_lowercase()
            .chars()
            .filter(|c| c.is_alphanumeric())
            .collect();
        let digits: String = name.chars().filter(char::is_ascii_digit).collect();
        let letters: String = name.chars().filter(|c| c.is_alphabetic()).collect();
        let number: Option<f64> = digits.parse().ok();
        let club = |family, loft_deg| Self {
            family,
            loft_deg,
            known: true,
        };
        match (letters.as_str(), number) {
            ("d" | "dr" | "driver" | "drv", _) | ("w" | "wood", Some(1.0)) => {
                club(Family::Driver, 10.5)
            }
            ("minidriver", _) => club(Family::Driver, 12.5),
            ("w" | "wood" | "fw" | "fairway" | "fairwaywood", Some(n))
                if (2.0..=11.0).contains(&n) =>
            {
                club(Family::Wood, 10.5 + 1.5 * n)
            }
            ("h" | "hy" | "hyb" | "hybrid" | "rescue" | "utility" | "u", Some(n))
                if (1.0..=9.0).contains(&n) =>
            {
                club(Family::Wood, 12.0 + 3.0 * n)
            }
            ("i" | "iron" | "di" | "drivingiron" | "ui", Some(n)) if (1.0..=9.0).contains(&n) => {
                club(Family::Iron, iron_loft_deg(n))
            }
            ("pw" | "p" | "pitchingwedge" | "wedge", None) => club(Family::Wedge, 46.0),
            ("gw" | "aw" | "uw" | "gapwedge" | "approachwedge", None) => club(Family::Wedge, 51.0),
            ("sw" | "s" | "sandwedge", None) => club(Family::Wedge, 55.0),
            ("lw" | "l" | "lobwedge", None) => club(Family::Wedge, 60.0),
            (
                "" | "deg" | "degree" | "degrees" | "w" | "wedge" | "sw" | "lw" | "gw" | "pw",
                Some(n),
            ) if (44.0..=64.0).contains(&n) => club(Family::Wedge, n),
            ("", Some(n)) if (2.0..=9.0).contains(&n) => club(Family::Iron, iron_loft_deg(n)),
            _ => Self {
                family: Family::Iron,
                loft_deg: 30.5,
                known: false,
            },
        }
    }

    /// The longest carry a log may claim for this club, m: beyond it the row
    /// is questioned (practice: what no hitter does on level ground).
    #[must_use]
    pub fn longest_carry_m(self) -> f64 {
        if !self.known || self.family == Family::Driver {
            return 400.0 * YARD_M;
        }
        (1.45 * self.row()[1]).min(400.0) * YARD_M
    }

    /// Carry of a strong player's well-struck shot, m (practice).
    #[must_use]
    pub fn strong_carry_m(self) -> f64 {
        self.row()[1] * YARD_M
    }

    /// Usual launch angle (deg) and spin (rpm) for a shot of this carry.
    ///
    /// Practice: with less speed the same club launches higher by 2° and spins
    /// less, as the square root of carry, for each quarter of carry lost.
    #[must_use]
    pub fn usual_launch(self, carry_m: f64) -> (f64, f64) {
        let [_, carry_yd, launch_deg, spin_rpm] = if self.known {
            self.row()
        } else {
            by_carry(carry_m / YARD_M)
        };
        let share = (carry_m / YARD_M / carry_yd).clamp(0.35, 1.35);
        let launch = launch_deg + 8.0 * (1.0 - share) * (launch_deg / 16.0).clamp(0.6, 1.0);
        (launch.clamp(6.0, 45.0), spin_rpm * share.sqrt())
    }

    fn row(self) -> [f64; 4] {
        let woods = matches!(self.family, Family::Driver | Family::Wood);
        between(if woods { &WOODS } else { &IRONS }, self.loft_deg)
    }
}

/// What the name of a club says of which club it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Named {
    /// One club, however it is written: `7 iron`, `7-iron`, `7I` and `iron 7` are `7i`.
    Club(String),
    /// A number that an iron, a wood and a hybrid have.
    Number(u32),
}

/// Which club a name means. A number alone from 6 to 9 is an iron, as golfers say it; from 2 to 5
/// it may be a wood or a hybrid as well.
pub(super) fn named(name: &str) -> Named {
    let lower = name.to_lowercase();
    let digits: String = lower.chars().filter(char::is_ascii_digit).collect();
    let letters: String = lower.chars().filter(|c| c.is_alphabetic()).collect();
    let number: Option<u32> = digits.parse().ok();
    let one = |ending: &str| match number {
        Some(n) => Named::Club(format!("{n}{ending}")),
        None => Named::Club(ending.to_owned()),
    };
    match (letters.as_str(), number) {
        // The name of a club is one number at most.
        _ if lower
            .split(|c: char| !c.is_ascii_digit())
            .filter(|d| !d.is_empty())
            .count()
            > 1 =>
        {
            Named::Club(lower)
        }
        ("", Some(n @ 2..=5)) => Named::Number(n),
        ("", Some(6..=9)) | ("i" | "iron", Some(1..=9)) => one("i"),
        ("d" | "dr" | "driver" | "drv", None) | ("w" | "wood", Some(1)) => {
            Named::Club("driver".to_owned())
        }
        ("w" | "wood" | "fw" | "fairway" | "fairwaywood", Some(2..=11)) => one("w"),
        ("h" | "hy" | "hyb" | "hybrid" | "rescue", Some(1..=9)) => one("h"),
        ("u" | "utility", Some(1..=9)) => one("u"),
        ("di" | "drivingiron", Some(1..=9)) => one("di"),
        ("pw" | "p" | "pitchingwedge", None) => one("pw"),
        ("gw" | "gapwedge", None) => one("gw"),
        ("aw" | "approachwedge", None) => one("aw"),
        ("sw" | "s" | "sandwedge", None) => one("sw"),
        ("lw" | "l" | "lobwedge", None) => one("lw"),
        ("" | "deg" | "degree" | "degrees" | "w" | "wedge", Some(44..=64)) => one("\u{b0}"),
        _ => Named::Club(lower),
    }
}

/// Whether `text` means this club: `7 iron` and `7-iron` a club that is logged as `7i`. A number that
/// several clubs have means each of them.
pub(super) fn means(text: &str, club: &str) -> bool {
    match (named(text), named(club)) {
        (Named::Number(number), Named::Club(key)) => key
            .strip_prefix(&number.to_string())
            .is_some_and(|kind| kind.chars().all(char::is_alphabetic)),
        (text, club) => text == club,
    }
}

fn iron_loft_deg(number: f64) -> f64 {
    // 20° for a 3-iron, 34.5° for a 7-iron, 43° for a 9-iron (practice).
    let table = [
        [1.0, 15.5],
        [3.0, 20.0],
        [4.0, 24.0],
        [5.0, 27.0],
        [6.0, 30.5],
        [7.0, 34.5],
        [8.0, 39.0],
        [9.0, 43.0],
    ];
    between(&table, number)[1]
}

/// Linear in the first column, level beyond the ends.
pub(crate) fn between<const N: usize>(table: &[[f64; N]], x: f64) -> [f64; N] {
    for pair in table.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if x <= b[0] {
            let share = ((x - a[0]) / (b[0] - a[0])).clamp(0.0, 1.0);
            return std::array::from_fn(|k| a[k] + share * (b[k] - a[k]));
        }
    }
    table[table.len() - 1]
}

/// The row of a club that usually carries so far, irons and then driver.
fn by_carry(carry_yd: f64) -> [f64; 4] {
    let mut rows: Vec<[f64; 4]> = IRONS.to_vec();
    rows.reverse();
    rows.push(WOODS[2]);
    rows.push(WOODS[1]);
    rows.push(WOODS[0]);
    let mut last = rows[0];
    for row in rows {
        if row[1] >= carry_yd {
            return row;
        }
        last = row;
    }
    last
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_understood() {
        let kind = |name: &str| Club::of(name).family;
        assert_eq!(kind("Driver"), Family::Driver);
        assert_eq!(kind("3w"), Family::Wood);
        assert_eq!(kind("4 hybrid"), Family::Wood);
        assert_eq!(kind("7-iron"), Family::Iron);
        assert_eq!(kind("PW"), Family::Wedge);
        assert_eq!(kind("56°"), Family::Wedge);
        assert!(!Club::of("old faithful").known);
    }

    #[test]
    fn one_club_however_it_is_written() {
        let club = |name: &str| Named::Club(name.to_owned());
        for (one, ways) in [
            (
                "7i",
                &["7 iron", "7-iron", "7I", "iron 7", "7i", "Iron-7", "7"][..],
            ),
            ("driver", &["Driver", "D", "1 wood", "DR", "1W"]),
            (
                "3w",
                &["3 wood", "3W", "Wood 3", "3-wood", "3 fairway wood"],
            ),
            ("4h", &["4 hybrid", "4H", "hybrid 4"]),
            ("pw", &["Pitching Wedge", "PW", "P"]),
            ("sw", &["SW", "sand wedge", "Sand-Wedge"]),
            ("56\u{b0}", &["56\u{b0}", "56", "56 deg", "56 wedge"]),
        ] {
            for way in ways {
                assert_eq!(named(way), club(one), "{way}");
            }
        }
        assert_eq!(named("5"), Named::Number(5));
        assert_ne!(named("gw"), named("aw"));
        assert_ne!(named("7 iron 2"), named("72"));
    }

    #[test]
    fn more_loft_launches_higher_and_spins_more() {
        let bag = [
            ("driver", 230.0),
            ("3w", 205.0),
            ("5i", 160.0),
            ("7i", 140.0),
            ("pw", 105.0),
        ];
        let usual = bag.map(|(name, carry_m)| Club::of(name).usual_launch(carry_m).1);
        assert!(usual.windows(2).all(|pair| pair[0] < pair[1]), "{usual:?}");
    }
}
