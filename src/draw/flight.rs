//! One flight or two to SVG: from the side and from above.
//!
//! Heights and distances are drawn to the same scale, so that the page shows a
//! drive as flat as it is. Bends are drawn to that scale or a whole number of
//! times as wide, and the page says so. The words stand above. Ink on white with one accent, told apart in grey by weight and dash.

use svg::Document;
use svg::node::element::{Group, Path, Rectangle};

use super::pen::{
    ACCENT, FAMILY, INK, MIST, STONE, dot, line, number, polyline, ring, text, ticks,
};
use super::text::{cut, width, wrap};
use crate::flight::level::Followed;
use crate::units::LengthUnit;

const WIDTH: f64 = 900.0;
const MARGIN: f64 = 36.0;
/// Left of the plots, for their scales.
const LEFT: f64 = MARGIN + 34.0;
/// Right of them, for the names of the lines.
const RIGHT: f64 = WIDTH - MARGIN - 46.0;
/// The plots are no higher than this each.
const HIGHEST: f64 = 380.0;
/// From above, at least this much is shown on either side, m.
const LEAST_SIDE_M: f64 = 12.0;
const WORDS: f64 = 14.0;
const WORDS_STEP: f64 = 19.0;
/// The legend at the foot.
const FOOT: f64 = 12.0;
const FOOT_STEP: f64 = 16.0;
/// Across the view from above, as wide as it may be made, and how many times at most.
const USUAL_ACROSS: f64 = 230.0;
const MOST_WIDENED: f64 = 4.0;
/// Lines of words at most, for one flight.
const MOST_LINES: usize = 8;

/// One flight on the page.
#[derive(Clone, Debug)]
pub struct Drawn<'a> {
    /// What it is called: "first".
    pub name: String,
    /// Its numbers in a line.
    pub line: String,
    /// What it does, in sentences.
    pub words: Vec<String>,
    /// The flight.
    pub followed: &'a Followed,
}

/// Where the plots are.
struct Plots {
    scale: f64,
    /// How many times as wide the view from above is across.
    widened: f64,
    /// Ground line of the side view, and aim line of the view from above.
    ground_y: f64,
    aim_y: f64,
    /// Reach to the left and to the right of the aim, m.
    left_m: f64,
    right_m: f64,
    top_m: f64,
    far_m: f64,
    bottom: f64,
}

/// Draws one flight or two, with a sentence that compares them at the head.
#[must_use]
pub fn side_and_top(flights: &[Drawn<'_>], head: &str, foot: &str, unit: LengthUnit) -> String {
    let (words, below) = words(flights, head);
    let plots = Plots::of(flights, below);
    let foot = wrap(foot, FOOT, false, WIDTH - 2.0 * MARGIN, MOST_LINES);
    let foot_top = plots.bottom + 54.0;
    let height = (foot_top + FOOT_STEP * (foot.len().max(1) - 1) as f64 + 20.0).ceil();
    let mut legend = Group::new();
    for (i, row) in foot.iter().enumerate() {
        let y = foot_top + FOOT_STEP * i as f64;
        legend = legend.add(text(MARGIN, y, FOOT, STONE, "start", row));
    }
    Document::new()
        .set("viewBox", format!("0 0 {WIDTH} {height}"))
        .set("width", "225mm")
        .set("height", format!("{}mm", number(height / 4.0)))
        .set("font-family", FAMILY)
        .add(
            Rectangle::new()
                .set("width", WIDTH)
                .set("height", height)
                .set("fill", "#ffffff"),
        )
        .add(words)
        .add(from_the_side(&plots, flights, unit))
        .add(from_above(&plots, flights, unit))
        .add(legend)
        .to_string()
}

/// The head and what each flight does; and where they end.
fn words(flights: &[Drawn<'_>], head: &str) -> (Group, f64) {
    let room = WIDTH - 2.0 * MARGIN;
    let mut group = Group::new();
    let mut y = 26.0;
    for (i, row) in wrap(head, 20.0, true, room, 4).iter().enumerate() {
        y = 44.0 + 26.0 * i as f64;
        group = group.add(text(MARGIN, y, 20.0, INK, "start", row).set("font-weight", "bold"));
    }
    y += 16.0;
    group = group.add(line([MARGIN, y], [WIDTH - MARGIN, y], INK, 1.5));
    y += 26.0;
    for (i, flight) in flights.iter().enumerate() {
        let name_x = MARGIN + 52.0;
        let name = cut(&flight.name, WORDS, true, 160.0);
        let after = name_x + width(&name, WORDS, true) + 14.0;
        group = group
            .add(stroke(&[[MARGIN, y - 5.0], [MARGIN + 42.0, y - 5.0]], i))
            .add(text(name_x, y, WORDS, INK, "start", &name).set("font-weight", "bold"))
            .add(text(
                after,
                y,
                WORDS,
                STONE,
                "start",
                &cut(&flight.line, WORDS, false, WIDTH - MARGIN - after),
            ));
        y += WORDS_STEP;
        for row in wrap(&flight.words.join(" "), WORDS, false, room, MOST_LINES) {
            group = group.add(text(MARGIN, y, WORDS, INK, "start", &row));
            y += WORDS_STEP;
        }
        y += 10.0;
    }
    (group, y)
}

impl Plots {
    fn of(flights: &[Drawn<'_>], below: f64) -> Self {
        let air = || flights.iter().flat_map(|f| &f.followed.air_m);
        let over = || {
            air().map(|p| [p[0], p[1]]).chain(
                flights
                    .iter()
                    .flat_map(|f| f.followed.ground_m.iter().copied()),
            )
        };
        let gone = air().map(gone_m).fold(1.0, f64::max);
        let far_m = over().map(|p| p[1]).fold(gone, f64::max) * 1.02;
        let top_m = air().map(|p| p[2]).fold(1.0, f64::max) * 1.1;
        let left_m = over().map(|p| -p[0]).fold(0.0, f64::max) * 1.1;
        let right_m = over().map(|p| p[0]).fold(0.0, f64::max) * 1.1;
        let least = LEAST_SIDE_M.min(0.1 * far_m);
        let (left_m, right_m) = (left_m.max(least), right_m.max(least));
        let scale = ((RIGHT - LEFT) / far_m)
            .min(HIGHEST / top_m)
            .min(HIGHEST / (left_m + right_m));
        let ground_y = below + 22.0 + top_m * scale;
        // The bend is what the view from above is for.
        let widened = (USUAL_ACROSS / ((left_m + right_m) * scale))
            .floor()
            .clamp(1.0, MOST_WIDENED);
        let aim_y = ground_y + 58.0 + left_m * scale * widened;
        Self {
            scale,
            widened,
            ground_y,
            aim_y,
            left_m,
            right_m,
            top_m,
            far_m,
            bottom: aim_y + right_m * scale * widened,
        }
    }

    fn x(&self, on_m: f64) -> f64 {
        LEFT + on_m * self.scale
    }

    /// Where the plots end on the right.
    fn end(&self) -> f64 {
        self.x(self.far_m)
    }

    fn up(&self, up_m: f64) -> f64 {
        self.ground_y - up_m.max(0.0) * self.scale
    }

    /// Seen from above with the flight to the right, the player's left is up.
    fn across(&self, right_m: f64) -> f64 {
        self.aim_y + right_m * self.scale * self.widened
    }
}

/// How far a ball has gone over the ground, m: where it lands that is its carry.
fn gone_m(at: &[f64; 3]) -> f64 {
    at[0].hypot(at[1])
}

/// Along the ball's own way, so that it comes down at its carry however far it bends.
fn from_the_side(plots: &Plots, flights: &[Drawn<'_>], unit: LengthUnit) -> Group {
    let top = plots.up(plots.top_m);
    let mut group = Group::new().add(text(LEFT, top - 8.0, 11.0, STONE, "start", "from the side"));
    for tick in steps(plots.top_m, unit, plots.scale, 26.0) {
        let y = plots.up(tick / unit.of(1.0));
        group = group
            .add(line([LEFT, y], [plots.end(), y], MIST, 0.6))
            .add(scale_text(LEFT - 6.0, y + 4.0, "end", tick));
    }
    group = group.add(line(
        [LEFT, plots.ground_y],
        [plots.end(), plots.ground_y],
        INK,
        1.0,
    ));
    for tick in steps(plots.far_m, unit, plots.scale, 60.0) {
        let x = plots.x(tick / unit.of(1.0));
        group = group
            .add(line(
                [x, plots.ground_y],
                [x, plots.ground_y + 4.0],
                INK,
                0.8,
            ))
            .add(scale_text(x, plots.ground_y + 17.0, "middle", tick));
    }
    group = group.add(text(
        plots.end() + 8.0,
        plots.ground_y + 4.0,
        11.0,
        STONE,
        "start",
        unit.name(),
    ));
    for (i, flight) in flights.iter().enumerate() {
        let points: Vec<[f64; 2]> = flight
            .followed
            .air_m
            .iter()
            .map(|p| [plots.x(gone_m(p)), plots.up(p[2])])
            .collect();
        group = group.add(stroke(&points, i));
    }
    for (i, flight) in flights.iter().enumerate() {
        if let Some(p) = flight.followed.air_m.last() {
            group = group.add(landing([plots.x(gone_m(p)), plots.ground_y], i));
        }
    }
    group
}

fn from_above(plots: &Plots, flights: &[Drawn<'_>], unit: LengthUnit) -> Group {
    let top = plots.across(-plots.left_m);
    let title = match plots.widened as u32 {
        1 => "from above, to the same scale".to_owned(),
        times => format!("from above, {times} times as wide across"),
    };
    let mut group = Group::new().add(text(LEFT, top - 8.0, 11.0, STONE, "start", &title));
    for (reach_m, sign) in [(plots.left_m, -1.0), (plots.right_m, 1.0)] {
        for tick in steps(reach_m, unit, plots.scale * plots.widened, 26.0) {
            let y = plots.across(sign * tick / unit.of(1.0));
            group = group
                .add(line([LEFT, y], [plots.end(), y], MIST, 0.6))
                .add(scale_text(LEFT - 6.0, y + 4.0, "end", tick));
        }
    }
    group = group
        .add(
            line([LEFT, plots.aim_y], [plots.end(), plots.aim_y], INK, 0.9)
                .set("stroke-dasharray", "5 4"),
        )
        .add(text(
            plots.end() + 8.0,
            plots.aim_y + 4.0,
            11.0,
            INK,
            "start",
            "aim",
        ))
        .add(text(
            plots.end() + 8.0,
            plots.across(-plots.left_m) + 8.0,
            11.0,
            STONE,
            "start",
            "left",
        ))
        .add(text(
            plots.end() + 8.0,
            plots.across(plots.right_m),
            11.0,
            STONE,
            "start",
            "right",
        ));
    let at = |p: &[f64; 2]| [plots.x(p[1]), plots.across(p[0])];
    for flight in flights {
        // The start line, as far as it stays on the page.
        let slope = flight.followed.flown.start_deg.to_radians().tan();
        let reach_m = if slope < 0.0 {
            plots.left_m
        } else {
            plots.right_m
        };
        let far_m = plots.far_m.min(if slope.abs() > 1e-9 {
            reach_m / slope.abs()
        } else {
            f64::INFINITY
        });
        if slope.abs() > 1e-3 {
            group = group.add(
                line(at(&[0.0, 0.0]), at(&[far_m * slope, far_m]), STONE, 0.9)
                    .set("stroke-dasharray", "1.5 3"),
            );
        }
    }
    for (i, flight) in flights.iter().enumerate() {
        let air: Vec<[f64; 2]> = flight
            .followed
            .air_m
            .iter()
            .map(|p| at(&[p[0], p[1]]))
            .collect();
        group = group.add(stroke(&air, i));
    }
    for (i, flight) in flights.iter().enumerate() {
        let ground: Vec<[f64; 2]> = flight.followed.ground_m.iter().map(at).collect();
        group = group.add(
            Path::new()
                .set("d", polyline(&ground))
                .set("fill", "none")
                .set("stroke", colour(i))
                .set("stroke-width", 1.0),
        );
        if let Some(end) = ground.last() {
            group = group.add(ring(*end, 4.0));
        }
        if let Some(start) = ground.first() {
            group = group.add(landing(*start, i));
        }
    }
    group
}

/// Round steps above zero that stand at least `apart` from each other on paper.
fn steps(reach_m: f64, unit: LengthUnit, scale: f64, apart: f64) -> Vec<f64> {
    let count = (reach_m * scale / apart).floor().max(1.0) as usize;
    ticks(0.0, unit.of(reach_m), count)
        .into_iter()
        .filter(|tick| *tick > 0.0 && *tick <= unit.of(reach_m))
        .collect()
}

fn scale_text(x: f64, y: f64, anchor: &str, value: f64) -> svg::node::element::Text {
    let words = if value < 1.0 {
        format!("{value:.1}")
    } else {
        format!("{value:.0}")
    };
    text(x, y, 11.0, STONE, anchor, &words)
}

fn colour(which: usize) -> &'static str {
    if which == 0 { ACCENT } else { INK }
}

/// A flight's line: thick in the accent, or dashed in ink.
fn stroke(points: &[[f64; 2]], which: usize) -> Path {
    let path = Path::new()
        .set("d", polyline(points))
        .set("fill", "none")
        .set("stroke", colour(which))
        .set("stroke-linejoin", "round");
    if which == 0 {
        path.set("stroke-width", 2.8)
    } else {
        path.set("stroke-width", 1.8).set("stroke-dasharray", "8 4")
    }
}

/// A full dot, the second one smaller.
fn landing(at: [f64; 2], which: usize) -> svg::node::element::Circle {
    dot(at, if which == 0 { 4.5 } else { 3.6 }, colour(which))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::level::follow_level;
    use crate::flight::{AimWind, Air, Ball, Firmness, Launch, Weather};

    fn page(launches: &[Launch]) -> String {
        let air = Air::of(&Weather::default(), 0.03);
        let winds = [AimWind::default(); 2];
        let followed = follow_level(launches, &winds, &air, &Ball::modern(), Firmness::Firm);
        let flights: Vec<Drawn<'_>> = followed
            .iter()
            .map(|followed| Drawn {
                name: "First <&>".to_owned(),
                line: "167 mph of ball, 10.9° up, 2690 rpm".to_owned(),
                words: vec!["The ball starts 1.0° right and draws. ".repeat(9)],
                followed,
            })
            .collect();
        side_and_top(
            &flights,
            &"A long head & more ".repeat(9),
            "foot",
            LengthUnit::Yards,
        )
    }

    fn launch(ball_speed_m_s: f64, launch_deg: f64, start_deg: f64, axis_deg: f64) -> Launch {
        Launch {
            ball_speed_m_s,
            launch_deg,
            start_deg,
            spin_rad_s: 300.0,
            axis_deg,
        }
    }

    /// The legend is whole, however much it says; a ball that bends comes down at its
    /// carry in the view from the side.
    #[test]
    fn the_legend_is_whole_and_the_carry_is_the_carry() {
        let air = Air::of(&Weather::default(), 0.03);
        let winds = [AimWind::default(); 2];
        let launches = [launch(70.0, 12.0, 4.0, 14.0)];
        let followed = follow_level(&launches, &winds, &air, &Ball::modern(), Firmness::Medium);
        let drawn = Drawn {
            name: "Ball".to_owned(),
            line: String::new(),
            words: Vec::new(),
            followed: &followed[0],
        };
        let foot = "Level fairway, medium; wind of 15 mph at 10 m from behind on the right, and \
                    what it does is in the bend. Full dots: landings. Rings: where the balls \
                    rest. Dotted: start lines.";
        let flown = followed[0].flown;
        assert!(flown.landing_side_m > 30.0, "it bends");
        for unit in [LengthUnit::Yards, LengthUnit::Metres] {
            let flights = [drawn.clone()];
            let page = side_and_top(&flights, "A fade", foot, unit);
            let document = roxmltree::Document::parse(&page).expect("well-formed");
            let texts: Vec<&str> = document
                .descendants()
                .filter(|node| node.has_tag_name("text"))
                .map(|node| node.text().unwrap_or("").trim())
                .collect();
            assert!(texts.join(" ").contains(foot), "{texts:?}");
            let plots = Plots::of(&flights, words(&flights, "A fade").1);
            let (x, y) = (plots.x(flown.carry_m), plots.ground_y);
            let at = |node: &roxmltree::Node<'_, '_>, name: &str| -> f64 {
                node.attribute(name).expect(name).parse().expect("a number")
            };
            assert!(
                document
                    .descendants()
                    .filter(|node| node.has_tag_name("circle"))
                    .any(|dot| (at(&dot, "cx") - x).abs() < 0.6 && (at(&dot, "cy") - y).abs() < 0.1),
                "no landing at {x}, {y}"
            );
        }
    }

    /// No two texts overlap and none leaves the page, whatever is flown.
    #[test]
    fn texts_stand_clear_of_each_other_on_the_page() {
        let drive = launch(74.0, 11.0, 2.0, -8.0);
        for launches in [
            vec![drive],
            vec![drive, launch(74.0, 11.0, -3.0, 9.0)],
            vec![launch(60.0, 40.0, 0.0, 0.0)],
            vec![
                launch(90.0, 12.0, 60.0, 60.0),
                launch(90.0, 12.0, -80.0, -60.0),
            ],
            vec![launch(3.0, 20.0, 0.0, 0.0)],
            vec![launch(50.0, -10.0, 0.0, 0.0)],
            vec![launch(60.0, 85.0, 170.0, 0.0)],
            vec![launch(0.0, 0.0, 0.0, 0.0)],
        ] {
            let page = page(&launches);
            let document = roxmltree::Document::parse(&page).expect("well-formed");
            let view: Vec<f64> = document
                .root_element()
                .attribute("viewBox")
                .expect("a view box")
                .split(' ')
                .map(|n| n.parse().expect("a number"))
                .collect();
            let boxes: Vec<([f64; 4], String)> = document
                .descendants()
                .filter(|node| node.has_tag_name("text"))
                .map(|node| {
                    let at = |name: &str| -> f64 {
                        node.attribute(name).expect(name).parse().expect("a number")
                    };
                    let words: String = node.text().unwrap_or("").trim().to_owned();
                    let bold = node.attribute("font-weight").is_some();
                    let size = at("font-size");
                    let wide = width(&words, size, bold);
                    let left = match node.attribute("text-anchor") {
                        Some("end") => at("x") - wide,
                        Some("middle") => at("x") - wide / 2.0,
                        _ => at("x"),
                    };
                    let y = at("y");
                    ([left, y - 0.77 * size, left + wide, y + 0.24 * size], words)
                })
                .collect();
            assert!(boxes.len() > 8, "{page}");
            for (i, (a, words)) in boxes.iter().enumerate() {
                assert!(
                    a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= view[2] && a[3] <= view[3],
                    "{words} leaves the page: {a:?} of {view:?}"
                );
                for (b, others) in &boxes[i + 1..] {
                    let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                    assert!(apart, "{words:?} over {others:?}: {a:?} {b:?}");
                }
            }
            assert!(!page.contains("NaN") && !page.contains("inf"), "{page}");
        }
    }
}
