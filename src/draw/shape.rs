//! A player's shapes to SVG: the picture to pin up.
//!
//! A lane for each club, seen from above, with the aim from left to right and all lanes at one scale: the
//! start line and the bend from its end, each with its length, the usual flight, the regions that hold half of the balls and nine in ten, the logged
//! landings; before the ball, where strikes were logged, the face with them. Ink on white with one
//! accent, told apart in grey by weight, dash and fill.

use svg::Document;
use svg::node::element::{Group, Path, Rectangle};

use super::pen::{
    ACCENT, FAMILY, INK, MIST, STONE, dot, line, number, polyline, ring, text, ticks,
};
use crate::diagnostic::printable;
use crate::player::Handedness;
use crate::player::words::{ClubReport, ShapeReport, bends};
use crate::units::LengthUnit;

const WIDTH: f64 = 900.0;
const MARGIN: f64 = 36.0;
const HEAD: f64 = 104.0;
const FOOT: f64 = 46.0;
/// White between two columns.
const GUTTER: f64 = 30.0;
/// Fewer clubs than this stand in one column.
const TWO_COLUMNS: usize = 3;
/// The words at the head of a lane, and the distances at its foot.
const WORDS: f64 = 56.0;
const DISTANCES: f64 = 34.0;
/// Least height of a lane's map.
const LEAST: f64 = 64.0;
/// How wide the face is drawn, and how far before the ball.
const FACE: f64 = 62.0;
const BEFORE_BALL: f64 = 16.0;
/// Room for the count of shots beside a lane's title.
const SHOTS: f64 = 84.0;
/// Least room over and under the aim where strikes are drawn on it.
const STRIKES: f64 = 24.0;
/// Flights drawn beside the usual one.
const FLIGHTS: usize = 24;
/// Right of the balls, for the lengths of start and bend; least from one to the other.
const LEGS: f64 = 74.0;
const LEGS_APART: f64 = 12.0;
/// Round the outermost region, m.
const ROUND_M: f64 = 4.0;

/// Draws a report; `name` is put at the head (hostile text is escaped).
#[must_use]
pub fn scatter(report: &ShapeReport, name: &str, unit: LengthUnit) -> String {
    let clubs = &report.clubs;
    let columns = if clubs.len() < TWO_COLUMNS { 1 } else { 2 };
    let width = (WIDTH - 2.0 * MARGIN - GUTTER * (columns - 1) as f64) / columns as f64;
    let has_face = clubs.iter().any(|club| !club.strikes.is_empty());
    let left = if has_face { FACE + BEFORE_BALL } else { 6.0 };
    let furthest_m = clubs
        .iter()
        .map(|club| Extent::of(club).ahead_m)
        .fold(30.0, f64::max);
    let sheet = Sheet {
        hand: report.handedness,
        unit,
        width,
        left,
        scale: (width - left - LEGS) / furthest_m,
    };
    let heights: Vec<f64> = clubs.iter().map(|club| sheet.height(club)).collect();
    let high: f64 = heights.iter().sum();
    let (mut tops, mut column, mut top, mut longest) = (Vec::new(), 0, 0.0, 0.0_f64);
    for height in &heights {
        // The columns as even as whole lanes make them.
        if column + 1 < columns && top + 0.5 * height > 0.5 * high {
            (column, top) = (column + 1, 0.0);
        }
        tops.push([MARGIN + (width + GUTTER) * column as f64, HEAD + top]);
        top += height;
        longest = longest.max(top);
    }
    let height = HEAD + longest + FOOT;
    let mut page = Document::new()
        .set("viewBox", format!("0 0 {WIDTH} {}", number(height)))
        .set("width", "225mm")
        .set("height", format!("{}mm", number(height / 4.0)))
        .set("font-family", FAMILY)
        .add(
            Rectangle::new()
                .set("width", WIDTH)
                .set("height", number(height))
                .set("fill", "#ffffff"),
        );
    let title = if name.trim().is_empty() {
        "Shapes"
    } else {
        name
    };
    page = page
        .add(text(MARGIN, 46.0, 26.0, INK, "start", &short(title, 48)).set("font-weight", "bold"))
        .add(text(
            MARGIN,
            70.0,
            13.0,
            STONE,
            "start",
            "aimed straight along the dashed line, from above: where the ball starts, how it bends, where it lands",
        ))
        .add(line([MARGIN, 84.0], [WIDTH - MARGIN, 84.0], INK, 1.5));
    for (club, [x, y]) in clubs.iter().zip(tops) {
        let place = format!("translate({} {})", number(x), number(y));
        page = page.add(sheet.lane(club).set("transform", place));
    }
    let foot = format!(
        "Filled: half of the balls. Dashed: nine in ten, mishits among them. Dots: logged balls. \
         Lengths in {}, one scale for all.",
        unit.name()
    );
    page = page.add(text(MARGIN, height - 28.0, 12.0, STONE, "start", &foot));
    if has_face {
        let foot = "The face before the ball: strikes in mm from its middle, full where the ball bent left, \
                    open where it bent right.";
        page = page.add(text(MARGIN, height - 12.0, 12.0, STONE, "start", foot));
    }
    page.to_string()
}

/// How far a club's balls go, m.
#[derive(Clone, Copy)]
struct Extent {
    ahead_m: f64,
    left_m: f64,
    right_m: f64,
}

impl Extent {
    /// The aim, the start line's end, the usual flight and the region of nine in ten always show.
    fn of(club: &ClubReport) -> Self {
        let edge = club.region.iter().flat_map(|region| region.edge(1, 72));
        let flight = club.flights_m.first().into_iter().flatten();
        let flight = flight.map(|[right, ahead, _]| [*right, *ahead]);
        let all = edge.chain(flight).chain(start_end(club));
        let start = Self {
            ahead_m: 0.0,
            left_m: 0.0,
            right_m: 0.0,
        };
        let found = all.fold(start, |extent, [right, ahead]| Self {
            ahead_m: extent.ahead_m.max(ahead),
            left_m: extent.left_m.max(-right),
            right_m: extent.right_m.max(right),
        });
        Self {
            ahead_m: found.ahead_m + ROUND_M,
            left_m: found.left_m + ROUND_M,
            right_m: found.right_m + ROUND_M,
        }
    }
}

/// Where the start line ends: as far on as the ball lands.
fn start_end(club: &ClubReport) -> Option<[f64; 2]> {
    let slope = club.start_deg?.value.to_radians().tan();
    let ahead_m = club.region.as_ref()?.centre_m[1];
    Some([slope * ahead_m, ahead_m])
}

/// What all lanes have in common.
struct Sheet {
    hand: Handedness,
    unit: LengthUnit,
    width: f64,
    /// Where the ball lies.
    left: f64,
    /// Units of the page a metre.
    scale: f64,
}

impl Sheet {
    /// How high a lane's map is, and how far down its aim lies.
    fn map(&self, club: &ClubReport) -> [f64; 2] {
        let extent = Extent::of(club);
        let least = if club.strikes.is_empty() {
            0.0
        } else {
            STRIKES
        };
        let [over, under] =
            [extent.left_m, extent.right_m].map(|side_m| (side_m * self.scale).max(least));
        let spare = (LEAST - over - under).max(0.0);
        [over + under + spare, over + 0.5 * spare]
    }

    fn height(&self, club: &ClubReport) -> f64 {
        WORDS + self.map(club)[0] + DISTANCES
    }

    fn lane(&self, club: &ClubReport) -> Group {
        let title = format!("{}, {}", short(&club.club, 24), short(&club.shape, 24));
        let title = super::text::cut(&title, 16.0, true, self.width - SHOTS);
        let shots = if club.shots == 1 {
            "1 shot".to_owned()
        } else {
            format!("{} shots", club.shots)
        };
        let [first, second] = self.caption(club);
        let group = Group::new()
            .add(text(0.0, 14.0, 16.0, INK, "start", &title).set("font-weight", "bold"))
            .add(text(self.width, 14.0, 12.0, STONE, "end", &shots))
            .add(text(0.0, 31.0, 12.0, INK, "start", &first))
            .add(text(0.0, 46.0, 12.0, INK, "start", &second));
        let [high, aim] = self.map(club);
        let map = Map {
            sheet: self,
            high,
            aim: WORDS + aim,
        };
        let group = map.with_distances(group, club);
        let group = map.with_regions(group, club);
        let group = map.with_flight(group, club);
        let group = map.with_landings(group, club);
        let group = map.with_legs(group, club);
        if club.strikes.is_empty() {
            group
        } else {
            map.with_face(group, club)
        }
    }

    /// The lane in two lines of words.
    fn caption(&self, club: &ClubReport) -> [String; 2] {
        let side = |v: f64| if v < 0.0 { "left" } else { "right" };
        let (unit, u) = (self.unit, self.unit.name());
        let mut first = Vec::new();
        if let (Some(start), Some(curve)) = (club.start_deg, club.curve_m) {
            first.push(format!(
                "starts {:.1}° {}",
                start.value.abs(),
                side(start.value)
            ));
            let bend = unit.of(curve.value.abs());
            first.push(if bend < 0.5 {
                "hardly bends".to_owned()
            } else {
                format!("{} {bend:.0} {u}", bends(curve.value, self.hand))
            });
        }
        let lands = club.side_m.value;
        first.push(if unit.of(lands.abs()) < 0.5 {
            "lands on the line".to_owned()
        } else {
            format!("lands {:.0} {u} {}", unit.of(lands.abs()), side(lands))
        });
        let mut second = vec![format!("carries {:.0} {u}", unit.of(club.carry_m.value))];
        let usual = club.flights_m.first();
        let apex_m = usual.and_then(|path| path.iter().map(|at| at[2]).reduce(f64::max));
        if let Some(apex_m) = apex_m {
            second.push(format!("up to {:.0} {u} high", unit.of(apex_m)));
        }
        if let Some(two_way) = club.two_way.filter(|_| club.curve_m.is_some()) {
            let share = 100.0 * two_way.value;
            second.push(format!("{share:.0} in 100 go the other way"));
        } else {
            second.push("start and bend not known apart".to_owned());
        }
        [first, second].map(|parts| parts.join("  ·  "))
    }
}

/// A lane's map.
struct Map<'a> {
    sheet: &'a Sheet,
    high: f64,
    /// How far down the aim lies.
    aim: f64,
}

impl Map<'_> {
    /// A place right of the aim and ahead, m.
    fn at(&self, [right, ahead]: [f64; 2]) -> [f64; 2] {
        let Sheet { left, scale, .. } = self.sheet;
        [left + ahead * scale, self.aim + right * scale]
    }

    fn foot(&self) -> f64 {
        WORDS + self.high
    }

    /// The aim as far as the balls go, and lines square to it at round distances.
    fn with_distances(&self, mut group: Group, club: &ClubReport) -> Group {
        let Sheet {
            unit, left, width, ..
        } = *self.sheet;
        let one_m = unit.of(1.0);
        let far = unit.of((width - left) / self.sheet.scale);
        let count = if width > 500.0 { 10 } else { 8 };
        for tick in ticks(0.0, far, count) {
            let x = self.at([0.0, tick / one_m])[0];
            let words = format!("{tick:.0}");
            group = group
                .add(line([x, WORDS], [x, self.foot()], MIST, 0.6))
                .add(text(x, self.foot() + 13.0, 10.0, STONE, "middle", &words));
        }
        let aim = [[left, self.aim], [self.end(club), self.aim]];
        group.add(line(aim[0], aim[1], INK, 0.9).set("stroke-dasharray", "5 4"))
    }

    /// Where nine in ten and where half of the balls land.
    fn with_regions(&self, group: Group, club: &ClubReport) -> Group {
        let Some(region) = &club.region else {
            return group;
        };
        let closed = |which: usize| {
            let edge = region.edge(which, 72);
            let points: Vec<[f64; 2]> = edge.into_iter().map(|at| self.at(at)).collect();
            polyline(&points) + "Z"
        };
        let drawn = |which: usize, opacity: f64| {
            Path::new()
                .set("d", closed(which))
                .set("fill", ACCENT)
                .set("fill-opacity", opacity)
                .set("stroke", ACCENT)
                .set("stroke-width", 1.3)
        };
        group
            .add(drawn(1, 0.06).set("stroke-dasharray", "6 4"))
            .add(drawn(0, 0.2))
    }

    /// The start line where it is known, and the usual flight from above.
    fn with_flight(&self, mut group: Group, club: &ClubReport) -> Group {
        if let Some(end) = start_end(club) {
            let (from, to) = (self.at([0.0, 0.0]), self.at(end));
            group = group.add(line(from, to, INK, 1.2)).add(dot(to, 2.0, INK));
        }
        let drawn = |flight: &[[f64; 3]]| {
            let steps = flight
                .iter()
                .map(|[right, ahead, _]| self.at([*right, *ahead]));
            let steps: Vec<[f64; 2]> = steps.collect();
            Path::new()
                .set("d", polyline(&steps))
                .set("fill", "none")
                .set("stroke-linecap", "round")
        };
        let is_inside = |flight: &&Vec<[f64; 3]>| {
            let mut places = flight.iter().map(|at| self.at([at[0], at[1]]));
            places.all(|[x, y]| x < self.sheet.width && y > WORDS && y < self.foot())
        };
        let others = club.flights_m.iter().skip(1).filter(is_inside);
        for flight in others.take(FLIGHTS) {
            let thin = drawn(flight).set("stroke", STONE);
            group = group.add(thin.set("stroke-width", 0.5).set("stroke-opacity", 0.4));
        }
        if let Some(usual) = club.flights_m.first() {
            let flight = drawn(usual);
            group = group
                .add(
                    flight
                        .clone()
                        .set("stroke", "#ffffff")
                        .set("stroke-width", 5.0),
                )
                .add(flight.set("stroke", ACCENT).set("stroke-width", 2.6));
        }
        group.add(dot(self.at([0.0, 0.0]), 3.5, INK))
    }

    /// The start line's length to the side and the bend's, beside the balls.
    fn with_legs(&self, mut group: Group, club: &ClubReport) -> Group {
        let (Some(start), Some(curve), Some(region)) =
            (start_end(club), club.curve_m, &club.region)
        else {
            return group;
        };
        let Sheet { unit, hand, .. } = *self.sheet;
        let side = if start[0] < 0.0 { "left" } else { "right" };
        // Each beside the middle of its leg.
        let ([_, to], [_, end]) = (self.at(start), self.at(region.centre_m));
        let (first, second) = (0.5 * (self.aim + to), 0.5 * (to + end));
        let below = if first > second { 1.0 } else { -1.0 };
        let apart = 0.5 * (LEGS_APART - (first - second).abs()).max(0.0) * below;
        let starts = (first + apart, INK, start[0], format!("starts {{}} {side}"));
        let bend = format!("{} {{}}", bends(curve.value, hand));
        let x = self.end(club) + 3.0;
        for (y, colour, length_m, words) in [starts, (second - apart, ACCENT, curve.value, bend)] {
            let length = unit.of(length_m.abs()).round();
            if length > 0.0 {
                let words = words.replace("{}", &format!("{length:.0}"));
                group = group.add(text(x, y + 3.5, 10.0, colour, "start", &words));
            }
        }
        group
    }

    /// Where the balls of a club end, across the page.
    fn end(&self, club: &ClubReport) -> f64 {
        self.at([0.0, Extent::of(club).ahead_m])[0]
    }

    /// The logged landings, and how many of them lie outside the lane.
    fn with_landings(&self, mut group: Group, club: &ClubReport) -> Group {
        let mut outside = 0;
        for landing in &club.logged_m {
            let [x, y] = self.at(*landing);
            let is_inside =
                x > 0.0 && x < self.sheet.width + 4.0 && y > WORDS - 2.0 && y < self.foot() + 2.0;
            if is_inside {
                group = group.add(dot([x, y], 1.8, INK).set("fill-opacity", 0.75));
            } else {
                outside += 1;
            }
        }
        if outside > 0 {
            let words = format!("{outside} outside");
            let at = [self.sheet.width, WORDS - 2.0];
            group = group.add(text(at[0], at[1], 10.0, STONE, "end", &words));
        }
        if let Some(region) = &club.region {
            group = group.add(ring(self.at(region.centre_m), 3.5));
        }
        group
    }

    /// Where on the face the balls were struck, seen as the player sees the face: heel left, toe right for a
    /// right-hander. Up the page the ball bent left, as in the lane: a filled dot; down it right: a ring.
    fn with_face(&self, mut group: Group, club: &ClubReport) -> Group {
        let (right, middle) = (FACE, self.aim);
        let centre = 0.5 * right;
        let half = (middle - WORDS).min(self.foot() - middle);
        let reach = club.strikes.iter().map(|s| s[0].abs()).fold(20.0, f64::max) * 1.1;
        let most = club.strikes.iter().map(|s| s[1].abs()).fold(8.0, f64::max) * 1.1;
        group = group
            .add(line([0.0, middle], [right, middle], STONE, 0.8))
            .add(line(
                [centre, middle - half],
                [centre, middle + half],
                MIST,
                0.8,
            ))
            .add(text(0.0, self.foot() + 13.0, 10.0, STONE, "start", "heel"))
            .add(text(right, self.foot() + 13.0, 10.0, STONE, "end", "toe"));
        for tick in ticks(-reach, reach, 5).into_iter().filter(|t| *t != 0.0) {
            let x = centre + 0.5 * right * tick / reach;
            let words = format!("{:.0}", tick.abs());
            group = group
                .add(line([x, middle - 2.5], [x, middle + 2.5], STONE, 0.8))
                .add(text(x, self.foot() + 25.0, 9.0, STONE, "middle", &words));
        }
        for [strike, axis] in &club.strikes {
            let p = [
                centre + 0.5 * right * strike / reach,
                middle + half * axis / most,
            ];
            group = group.add(if *axis < 0.0 {
                dot(p, 1.8, INK)
            } else {
                ring(p, 1.8)
            });
        }
        group
    }
}

/// Text of a file, made short and without control characters; the writer
/// escapes what is left.
fn short(text: &str, most: usize) -> String {
    let clean = printable(text);
    if clean.chars().count() <= most {
        return clean;
    }
    let mut cut: String = clean.chars().take(most - 1).collect();
    cut.push('…');
    cut
}
