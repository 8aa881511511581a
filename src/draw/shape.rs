//! A player's shapes to SVG: the picture to pin up.
//!
//! One band a club: the flights from behind, where they start and how they
//! bend; the landings from above with the regions that hold half of the balls
//! and nine in ten; and the strikes on the face where they were logged. Ink on
//! white with one accent, told apart in grey by weight, dash and fill.

use svg::Document;
use svg::node::element::{Group, Path, Rectangle};

use super::pen::{
    ACCENT, FAMILY, INK, MIST, STONE, dot, line, number, polyline, ring, text, ticks,
};
use crate::diagnostic::printable;
use crate::player::Handedness;
use crate::player::region::Region;
use crate::player::words::{ClubReport, ShapeReport, bends};
use crate::units::LengthUnit;

const WIDTH: f64 = 900.0;
const MARGIN: f64 = 36.0;
const HEAD: f64 = 92.0;
const BAND: f64 = 350.0;
const FOOT: f64 = 46.0;
/// Panels: left edge and width. The strike's is there only where logged.
const BEHIND: [f64; 2] = [MARGIN, 372.0];
const ABOVE: [f64; 2] = [452.0, 246.0];
const FACE: [f64; 2] = [736.0, 128.0];
const PANEL_TOP: f64 = 74.0;
const PANEL_HEIGHT: f64 = 254.0;

/// Draws a report; `name` is put at the head (hostile text is escaped).
#[must_use]
pub fn scatter(report: &ShapeReport, name: &str, unit: LengthUnit) -> String {
    let height = HEAD + BAND * report.clubs.len() as f64 + FOOT;
    let mut page = Document::new()
        .set("viewBox", format!("0 0 {WIDTH} {height}"))
        .set("width", "225mm")
        .set("height", format!("{}mm", number(height / 4.0)))
        .set("font-family", FAMILY)
        .add(
            Rectangle::new()
                .set("width", WIDTH)
                .set("height", height)
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
            "aimed straight: where the ball starts, how it bends, where it ends",
        ))
        .add(line([MARGIN, 84.0], [WIDTH - MARGIN, 84.0], INK, 1.5));
    for (i, club) in report.clubs.iter().enumerate() {
        let top = HEAD + BAND * i as f64;
        page = page.add(
            band(club, report.handedness, unit).set("transform", format!("translate(0 {top})")),
        );
    }
    let foot = format!(
        "Filled: half of the balls. Dashed: nine in ten, mishits among them. Dots: logged balls. Lengths in {}.",
        unit.name()
    );
    page = page.add(text(MARGIN, height - 20.0, 12.0, STONE, "start", &foot));
    page.to_string()
}

fn band(club: &ClubReport, hand: Handedness, unit: LengthUnit) -> Group {
    let title = format!("{}, {}", short(&club.club, 24), short(&club.shape, 24));
    let shots = if club.shots == 1 {
        "1 shot".to_owned()
    } else {
        format!("{} shots", club.shots)
    };
    let mut group = Group::new()
        .add(text(MARGIN, 30.0, 19.0, INK, "start", &title).set("font-weight", "bold"))
        .add(text(WIDTH - MARGIN, 30.0, 13.0, STONE, "end", &shots))
        .add(text(
            MARGIN,
            52.0,
            13.0,
            INK,
            "start",
            &caption(club, hand, unit),
        ));
    group = group.add(behind(club, unit)).add(above(club, unit));
    if !club.strikes.is_empty() {
        group = group.add(face(club));
    }
    group.add(line(
        [MARGIN, BAND - 4.0],
        [WIDTH - MARGIN, BAND - 4.0],
        MIST,
        0.8,
    ))
}

/// The band in one line of words.
fn caption(club: &ClubReport, hand: Handedness, unit: LengthUnit) -> String {
    let side = |v: f64| if v < 0.0 { "left" } else { "right" };
    let u = unit.name();
    let mut parts = Vec::new();
    if let (Some(start), Some(curve)) = (club.start_deg, club.curve_m) {
        parts.push(format!(
            "starts {:.1}° {}",
            start.value.abs(),
            side(start.value)
        ));
        parts.push(format!(
            "{} {:.0} {u}",
            bends(curve.value, hand),
            unit.of(curve.value.abs())
        ));
    }
    let total = club.side_m.value;
    parts.push(format!(
        "ends {:.0} {u} {}",
        unit.of(total.abs()),
        side(total)
    ));
    parts.push(format!("carries {:.0} {u}", unit.of(club.carry_m.value)));
    if let Some(two_way) = club.two_way.filter(|_| club.curve_m.is_some()) {
        let share = 100.0 * two_way.value;
        parts.push(format!("{share:.0} in 100 go the other way"));
    } else {
        parts.push("start and curve not told apart".to_owned());
    }
    parts.join("  ·  ")
}

/// The flights from behind. Height and width have one scale unless the scatter
/// is too narrow or too wide for it; the ticks tell.
fn behind(club: &ClubReport, unit: LengthUnit) -> Group {
    let [left, width] = BEHIND;
    let bottom = PANEL_TOP + PANEL_HEIGHT - 26.0;
    let all = || club.from_behind_m.iter().flatten();
    let reach = all().map(|p| p[0].abs()).fold(12.0, f64::max) * 1.05;
    let top_m = all().map(|p| p[1]).fold(8.0, f64::max) * 1.1;
    let x_scale = 0.5 * width / reach;
    let y_scale = (bottom - PANEL_TOP - 14.0) / top_m;
    let middle = left + 0.5 * width;
    let at = |p: &[f64; 2]| [middle + p[0] * x_scale, bottom - p[1] * y_scale];
    let title = if club.start_deg.is_some() {
        "from behind"
    } else {
        "from behind, start and curve supposed"
    };
    let mut group = Group::new()
        .add(text(left, PANEL_TOP, 11.0, STONE, "start", title))
        .add(line([left, bottom], [left + width, bottom], INK, 1.0));
    for tick in ticks(unit.of(-reach), unit.of(reach), 7) {
        let x = middle + tick / unit.of(1.0) * x_scale;
        group = group
            .add(line([x, bottom], [x, bottom + 4.0], INK, 0.8))
            .add(text(
                x,
                bottom + 17.0,
                11.0,
                STONE,
                "middle",
                &format!("{:.0}", tick.abs()),
            ));
    }
    for tick in ticks(0.0, unit.of(top_m), 4)
        .into_iter()
        .filter(|t| *t > 0.0)
    {
        let y = bottom - tick / unit.of(1.0) * y_scale;
        group = group
            .add(line([left, y], [left + width, y], MIST, 0.6))
            .add(text(
                left,
                y - 3.0,
                10.0,
                STONE,
                "start",
                &format!("{tick:.0} up"),
            ));
    }
    group = group.add(
        line([middle, PANEL_TOP + 8.0], [middle, bottom], INK, 0.9).set("stroke-dasharray", "5 4"),
    );
    group = group.add(text(
        middle + 5.0,
        PANEL_TOP + 14.0,
        11.0,
        INK,
        "start",
        "aim",
    ));
    for path in club.from_behind_m.iter().skip(1) {
        let steps: Vec<[f64; 2]> = path.iter().map(at).collect();
        group = group.add(
            Path::new()
                .set("d", polyline(&steps))
                .set("fill", "none")
                .set("stroke", STONE)
                .set("stroke-width", 0.6)
                .set("stroke-opacity", 0.55),
        );
    }
    if let Some(mean) = club.from_behind_m.first() {
        let steps: Vec<[f64; 2]> = mean.iter().map(at).collect();
        group = group.add(
            Path::new()
                .set("d", polyline(&steps))
                .set("fill", "none")
                .set("stroke", "#ffffff")
                .set("stroke-width", 5.0),
        );
        group = group.add(
            Path::new()
                .set("d", polyline(&steps))
                .set("fill", "none")
                .set("stroke", ACCENT)
                .set("stroke-width", 2.6)
                .set("stroke-linecap", "round"),
        );
        if let Some(end) = steps.last() {
            group = group.add(dot(*end, 4.5, ACCENT));
        }
    }
    group
}

/// The landings from above, both axes at one scale.
fn above(club: &ClubReport, unit: LengthUnit) -> Group {
    let title = text(ABOVE[0], PANEL_TOP, 11.0, STONE, "start", "from above");
    let group = Group::new().add(title);
    let Some(region) = &club.region else {
        return group;
    };
    let panel = FromAbove::of(club, region, unit);
    let group = panel.with_axes(group);
    let group = panel.with_regions(group);
    let group = panel.with_aim_and_bend(group, club);
    let group = panel.with_landings(group, club);
    group.add(ring(panel.at(&region.centre_m), 4.5))
}

/// The panel of the landings: where on it a place is drawn.
struct FromAbove<'a> {
    region: &'a Region,
    unit: LengthUnit,
    top: f64,
    bottom: f64,
    /// Units of the page a metre.
    scale: f64,
    /// What lies in the middle of the panel, m.
    middle_m: [f64; 2],
}

impl<'a> FromAbove<'a> {
    /// The region, the aim line and the start line's end always show.
    fn of(club: &ClubReport, region: &'a Region, unit: LengthUnit) -> Self {
        let (top, bottom) = (PANEL_TOP + 8.0, PANEL_TOP + PANEL_HEIGHT - 26.0);
        let edge = region.edge(1, 72);
        let near = |k: usize, from: f64, pick: fn(f64, f64) -> f64| {
            edge.iter().map(|p| p[k]).fold(from, pick)
        };
        let start_m = club
            .start_deg
            .map(|s| region.centre_m[1] * s.value.to_radians().tan());
        let ends = [0.0, start_m.unwrap_or(0.0)];
        let (x0, x1) = (
            near(0, ends[0].min(ends[1]), f64::min),
            near(0, ends[0].max(ends[1]), f64::max),
        );
        let (y0, y1) = (
            near(1, f64::INFINITY, f64::min),
            near(1, f64::NEG_INFINITY, f64::max),
        );
        let (x0, x1, y0, y1) = (x0 - 6.0, x1 + 6.0, y0 - 8.0, y1 + 8.0);
        Self {
            region,
            unit,
            top,
            bottom,
            scale: (ABOVE[1] / (x1 - x0)).min((bottom - top) / (y1 - y0)),
            middle_m: [0.5 * (x0 + x1), 0.5 * (y0 + y1)],
        }
    }

    fn at(&self, p: &[f64; 2]) -> [f64; 2] {
        let [left, width] = ABOVE;
        [
            left + 0.5 * width + (p[0] - self.middle_m[0]) * self.scale,
            0.5 * (self.top + self.bottom) - (p[1] - self.middle_m[1]) * self.scale,
        ]
    }

    fn is_inside(&self, p: &[f64; 2]) -> bool {
        let [left, width] = ABOVE;
        p[0] > left - 4.0
            && p[0] < left + width + 4.0
            && p[1] > self.top - 2.0
            && p[1] < self.bottom + 2.0
    }

    /// The least and the greatest distance that the panel shows, m.
    fn low_and_high_m(&self) -> [f64; 2] {
        let half_m = 0.5 * (self.bottom - self.top) / self.scale;
        [self.middle_m[1] - half_m, self.middle_m[1] + half_m]
    }

    fn with_axes(&self, mut group: Group) -> Group {
        let ([left, width], unit, bottom) = (ABOVE, self.unit, self.bottom);
        let [low_m, high_m] = self.low_and_high_m();
        for tick in ticks(unit.of(low_m), unit.of(high_m), 5) {
            let y = self.at(&[0.0, tick / unit.of(1.0)])[1];
            let words = format!("{tick:.0}");
            group = group
                .add(line([left, y], [left + width, y], MIST, 0.6))
                .add(text(left - 6.0, y + 4.0, 11.0, STONE, "end", &words));
        }
        let (middle_m, half_m) = (self.middle_m[0], 0.5 * width / self.scale);
        for tick in ticks(unit.of(middle_m - half_m), unit.of(middle_m + half_m), 5) {
            let x = self.at(&[tick / unit.of(1.0), 0.0])[0];
            let words = format!("{:.0}", tick.abs());
            group = group
                .add(line([x, bottom], [x, bottom + 4.0], INK, 0.8))
                .add(text(x, bottom + 17.0, 11.0, STONE, "middle", &words));
        }
        group.add(line([left, bottom], [left + width, bottom], INK, 1.0))
    }

    /// Where nine in ten and where half of the balls land.
    fn with_regions(&self, group: Group) -> Group {
        let closed = |which: usize| {
            let edge = self.region.edge(which, 72);
            let points: Vec<[f64; 2]> = edge.iter().map(|p| self.at(p)).collect();
            polyline(&points) + "Z"
        };
        group
            .add(
                Path::new()
                    .set("d", closed(1))
                    .set("fill", ACCENT)
                    .set("fill-opacity", 0.06)
                    .set("stroke", ACCENT)
                    .set("stroke-width", 1.3)
                    .set("stroke-dasharray", "6 4"),
            )
            .add(
                Path::new()
                    .set("d", closed(0))
                    .set("fill", ACCENT)
                    .set("fill-opacity", 0.2)
                    .set("stroke", ACCENT)
                    .set("stroke-width", 1.3),
            )
    }

    /// The aim, and from it the start line and the bend where they are known.
    fn with_aim_and_bend(&self, group: Group, club: &ClubReport) -> Group {
        let [low_m, high_m] = self.low_and_high_m();
        let aim = [self.at(&[0.0, low_m]), self.at(&[0.0, high_m])];
        let group = group.add(line(aim[0], aim[1], INK, 0.9).set("stroke-dasharray", "5 4"));
        let Some(start) = club.start_deg else {
            return group;
        };
        let slope = start.value.to_radians().tan();
        let line_at = |y: f64| self.at(&[y * slope, y]);
        let from = line_at(low_m);
        let to = line_at(self.region.centre_m[1]);
        let end = self.at(&self.region.centre_m);
        group
            .add(line(from, to, INK, 1.6))
            .add(line(to, end, ACCENT, 2.2))
            .add(dot(to, 2.4, INK))
    }

    /// The logged landings, and how many of them lie outside the panel.
    fn with_landings(&self, mut group: Group, club: &ClubReport) -> Group {
        let mut outside = 0;
        for landing in &club.logged_m {
            let p = self.at(landing);
            if self.is_inside(&p) {
                group = group.add(dot(p, 2.2, INK).set("fill-opacity", 0.75));
            } else {
                outside += 1;
            }
        }
        if outside > 0 {
            let (right, words) = (ABOVE[0] + ABOVE[1], format!("{outside} outside"));
            group = group.add(text(right, PANEL_TOP, 11.0, STONE, "end", &words));
        }
        group
    }
}

/// Where on the face the balls were struck, seen as the player sees the face:
/// heel left, toe right for a right-hander. A filled dot went with a ball that
/// bent left, a ring with one that bent right.
fn face(club: &ClubReport) -> Group {
    let [left, width] = FACE;
    let centre = left + 0.5 * width;
    let top = PANEL_TOP + 8.0;
    let bottom = PANEL_TOP + PANEL_HEIGHT - 26.0;
    let reach = club.strikes.iter().map(|s| s[0].abs()).fold(20.0, f64::max) * 1.1;
    let scale = 0.5 * width / reach;
    let mut group = Group::new()
        .add(text(left, PANEL_TOP, 11.0, STONE, "start", "strike"))
        .add(line([left, bottom], [left + width, bottom], INK, 1.0))
        .add(line([centre, top], [centre, bottom], MIST, 0.9))
        .add(text(left, bottom + 17.0, 11.0, STONE, "start", "heel"))
        .add(text(left + width, bottom + 17.0, 11.0, STONE, "end", "toe"))
        .add(text(centre, bottom + 17.0, 11.0, STONE, "middle", "mm"));
    for tick in ticks(-reach, reach, 4) {
        let x = centre + tick * scale;
        group = group.add(line([x, bottom], [x, bottom - 4.0], INK, 0.8));
        if tick != 0.0 {
            group = group.add(text(
                x,
                bottom - 8.0,
                10.0,
                STONE,
                "middle",
                &format!("{:.0}", tick.abs()),
            ));
        }
    }
    // Up is a bend to the right, down to the left: the two causes in one view.
    let most = club.strikes.iter().map(|s| s[1].abs()).fold(8.0, f64::max);
    let middle = 0.5 * (top + bottom - 22.0);
    // Room above and below for the labels.
    let y_scale = 0.5 * (bottom - 22.0 - top - 44.0) / most;
    group = group
        .add(line([left, middle], [left + width, middle], MIST, 0.9))
        .add(text(
            left + width,
            top + 6.0,
            10.0,
            STONE,
            "end",
            "bends right",
        ))
        .add(text(
            left + width,
            bottom - 24.0,
            10.0,
            STONE,
            "end",
            "bends left",
        ));
    for [strike, axis] in &club.strikes {
        let p = [centre + strike * scale, middle - axis * y_scale];
        group = group.add(if *axis < 0.0 {
            dot(p, 2.6, INK)
        } else {
            ring(p, 2.6)
        });
    }
    group
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
