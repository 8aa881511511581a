//! The pictures beside the hole page, over what is laid out: a hundred balls with two aims, the flower
//! of winds, the landscape, the round's ladders, the bag's fan.

use bendline::draw::labels::Layout;
use bendline::draw::page::{Drawn, Land};
use bendline::draw::scene::{Node, Point, Step, palette};
use bendline::draw::{fan, flower, ladders, landscape, sheet, two_aims};
use bendline::flight::{Firmness, Weather};
use bendline::hole::Course;
use bendline::plan::Plan;
use bendline::plan::landscape::Landscape;
use bendline::planner::Planner;
use bendline::player::fit::{FitOptions, Fitted, fit_in_detail};
use bendline::player::words::ShapeReport;
use bendline::player::{Handedness, shotlog, words};
use bendline::units::LengthUnit;

use super::draw_sketch::samples::dogleg;
use super::draw_sketch::{Kept, assert_clean, hostile, other_winds};
use super::pages;

/// Left in `target/tmp`, whole XML, clean, nothing read on the tee too small; what stays of its bytes.
fn keep(name: &str, drawn: &Drawn) -> String {
    let svg = sheet::svg(drawn);
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.svg"));
    std::fs::write(path, &svg).expect("target/tmp can be written");
    roxmltree::Document::parse(&svg).expect(name);
    assert!(!svg.contains("NaN") && !svg.contains("\"inf"), "{name}");
    assert_clean(name, &drawn.layout);
    svg
}

/// The nodes of every group of a name, in order.
fn groups<'a>(nodes: &'a [Node], name: &str) -> Vec<&'a [Node]> {
    let mut found = Vec::new();
    for node in nodes {
        if let Node::Group { id, nodes, .. } = node {
            if *id == name {
                found.push(nodes.as_slice());
            }
            found.extend(groups(nodes, name));
        }
    }
    found
}

fn said(layout: &Layout) -> String {
    let words: Vec<&str> = layout.texts.iter().map(|t| t.words.as_str()).collect();
    words.join(" ")
}

/// Numbers of the table under the panels whose boxes have their middle at `x`.
fn column(layout: &Layout, x: f64) -> u32 {
    let middle = |left: f64, right: f64| (left + right) / 2.0;
    let here = layout.texts.iter().filter(|text| {
        (middle(text.area.left, text.area.right) - x).abs() < 1.0
            && text.area.top > layout.map.bottom
    });
    here.filter_map(|text| text.words.parse::<u32>().ok()).sum()
}

/// On both panels stand the same hundred balls, and both columns add to a hundred.
#[test]
fn a_hundred_balls_stand_on_either_panel() {
    for (name, kept, plan) in pages() {
        let drawn = two_aims::lay_out(&plan, &kept.land()).expect("a picture");
        keep(&format!("{name}-balls"), &drawn);
        let words = said(&drawn.layout);
        assert!(
            words.contains("Down the middle") && words.contains("The plan"),
            "{words}"
        );
        assert!(words.contains("costs 0.12"), "{words}");
        let map = drawn.layout.map;
        let panels = groups(&drawn.nodes, "balls");
        assert_eq!(panels.len(), 2, "{name}");
        let outside: Vec<u32> = words
            .split("Outside the picture end ")
            .nth(1)
            .map(|rest| rest.split(|c: char| !c.is_ascii_digit()))
            .map(|parts| parts.filter_map(|part| part.parse().ok()).collect())
            .unwrap_or_else(|| vec![0, 0]);
        for (k, panel) in panels.into_iter().enumerate() {
            // Marks of balls: small violet discs, and shapes of nothing but lines in ink or violet
            // above the land; the usual ball's dot and the ring of the aim are larger.
            let is_ball = |node: &&Node| match node {
                Node::Circle { radius, .. } => (4.4..=5.2).contains(radius),
                Node::Path {
                    stroke: Some(stroke),
                    steps,
                    ..
                } => {
                    stroke.colour == palette::INK
                        && [2.2, 3.2].contains(&stroke.width)
                        && extent(steps) < 14.0
                }
                _ => false,
            };
            let marks = panel.iter().filter(is_ball).count() as u32;
            assert_eq!(marks + outside[k], 100, "{name}, panel {k}");
        }
        // The middles of the panels, a centimetre of white between them in the page's middle.
        for x in [(map.left + 529.5) / 2.0, (map.right + 549.5) / 2.0] {
            assert_eq!(column(&drawn.layout, x), 100, "{name}");
        }
    }
}

fn corners(steps: &[Step]) -> impl Iterator<Item = Point> + '_ {
    steps.iter().filter_map(|step| match step {
        Step::Move(p) | Step::Line(p) | Step::Cubic(_, _, p) => Some(*p),
        Step::Close => None,
    })
}

fn extent(steps: &[Step]) -> f64 {
    let of = |k: usize| {
        let each = corners(steps).map(|p| p[k]);
        let (low, high) = each.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
        high - low
    };
    of(0).max(of(1))
}

/// A petal in the direction of each wind, no shorter where keeping the plan costs more, full where
/// the club changes.
#[test]
fn petals_point_to_where_winds_come_from() {
    let (sketch, call) = dogleg(false);
    let mut plan = sketch.plan(&call);
    assert!(flower::lay_out(&plan).is_none(), "without other winds");
    plan.what_if = other_winds();
    let drawn = flower::lay_out(&plan).expect("a flower");
    keep("flower", &drawn);
    let petals = groups(&drawn.nodes, "flower");
    let petals = petals.first().expect("petals");
    assert_eq!(petals.len(), 16);
    let map = drawn.layout.map;
    let middle = [(map.left + map.right) / 2.0, (map.top + map.bottom) / 2.0];
    let mut lengths = Vec::new();
    for (node, case) in petals.iter().zip(&plan.what_if) {
        let (tip, is_full) = match node {
            Node::Circle { at, fill, .. } => (*at, fill.map(|f| f.colour) == Some(palette::ACCENT)),
            Node::Path { steps, fill, .. } => {
                let far = |p: &Point| (p[0] - middle[0]).hypot(p[1] - middle[1]);
                let tip = corners(steps).max_by(|a, b| far(a).total_cmp(&far(b)));
                (
                    tip.expect("a tip"),
                    fill.is_some_and(|fill| fill.opacity > 0.9),
                )
            }
            node => panic!("{node:?}"),
        };
        let (x, y) = (tip[0] - middle[0], middle[1] - tip[1]);
        let from_deg = x.atan2(y).to_degrees() + plan.hole.line_of_play_deg;
        let off = (from_deg - case.wind_from_deg + 540.0).rem_euclid(360.0) - 180.0;
        assert!(off.abs() < 10.0, "{case:?}: {off}");
        assert_eq!(is_full, case.changes == "club", "{case:?}");
        let costs = case.keep_shot.map_or(f64::MAX, |costs| costs.costs);
        lengths.push((costs, x.hypot(y)));
    }
    lengths.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    assert!(
        lengths.windows(2).all(|w| w[0].1 <= w[1].1 + 1.0),
        "{lengths:?}"
    );
    // What to do is said with something that is seen, for every case that changes.
    let words = said(&drawn.layout);
    for wanted in [
        "3-wood, peg by the left marker",
        "aim 2 fingers left of the",
        "as planned",
    ] {
        assert!(words.contains(wanted), "{wanted}: {words}");
    }
    for name in hostile::names() {
        let mut plan = plan.clone();
        hostile::put(&mut plan, &name);
        for case in &mut plan.what_if {
            case.club.clone_from(&name);
            case.aim.clone_from(&name);
            case.peg.clone_from(&name);
        }
        keep("flower-hostile", &flower::lay_out(&plan).expect("a flower"));
    }
}

/// A landscape that falls towards the green round the usual ball.
fn with_landscape(mut plan: Plan) -> Plan {
    let origin = plan.choice.shot.rest;
    let all = (0..900_u32).map(|k| {
        let (column, row) = (k % 30, k / 30);
        let strokes = 3.6 - 0.02 * f64::from(row) + 0.01 * f64::from(column);
        (column != 17).then_some(strokes)
    });
    plan.landscape = Some(Landscape {
        origin,
        step_m: 3.0,
        columns: 30,
        strokes: all.collect(),
    });
    plan
}

#[test]
fn a_landscape_has_its_contours_under_the_cloud() {
    for (name, kept, plan) in pages() {
        assert!(landscape::lay_out(&plan, &kept.land()).is_none());
        let plan = with_landscape(plan);
        let drawn = landscape::lay_out(&plan, &kept.land()).expect("a landscape");
        keep(&format!("{name}-landscape"), &drawn);
        let map = groups(&drawn.nodes, "landscape");
        let nodes = map.first().expect("a map");
        let is_contour = |node: &Node| {
            matches!(node, Node::Path { stroke: Some(stroke), fill: None, .. }
                if stroke.colour == palette::INK && [1.1, 2.2].contains(&stroke.width))
        };
        let last = nodes.iter().rposition(is_contour).expect("contours");
        let cloud = nodes.iter().position(|node| {
            matches!(node, Node::Path { fill: Some(fill), .. }
                if fill.colour == palette::ACCENT && fill.opacity < 0.2)
        });
        assert!(
            cloud.expect("a cloud") > last,
            "{name}: the cloud lies on the contours"
        );
        let texts = drawn.layout.texts.iter();
        let numbers = texts.filter(|t| t.words.len() == 3 && t.words.parse::<f64>().is_ok());
        for number in numbers {
            let strokes: f64 = number.words.parse().expect("a number");
            assert!((2.9..=3.9).contains(&strokes), "{name}: {strokes}");
        }
    }
}

/// Nine holes on one page, all at its scale and with their pegs in line; eighteen on two.
#[test]
fn the_round_stands_on_one_page_at_one_scale() {
    let demo: Vec<(String, Kept, Plan)> = pages()
        .into_iter()
        .filter(|(name, _, _)| name.starts_with("demo"))
        .collect();
    let holes: Vec<ladders::Hole<'_>> = demo
        .iter()
        .map(|(_, kept, plan)| ladders::Hole {
            plan,
            land: kept.land(),
        })
        .collect();
    let round = ladders::pages("The round", &holes);
    let [page] = round.as_slice() else {
        panic!("{} pages", round.len());
    };
    keep("round", page);
    let all = groups(&page.nodes, "ladder");
    assert_eq!(all.len(), 9);
    let mut pegs = Vec::new();
    for (ladder, (name, _, plan)) in all.iter().zip(&demo) {
        let violet = |radius: f64| {
            ladder.iter().find_map(|node| match node {
                Node::Circle {
                    radius: r,
                    fill: Some(fill),
                    at,
                    ..
                } if *r == radius && fill.colour == palette::ACCENT => Some(*at),
                _ => None,
            })
        };
        let (ball, peg) = (violet(8.5).expect("a ball"), violet(5.0).expect("a peg"));
        pegs.push(peg[1]);
        // Along a straightened line a ball is nearly as far as over the ground.
        let ahead_m = (peg[1] - ball[1]) * page.layout.scale / 10_000.0;
        let total_m = plan.choice.shot.total_m;
        assert!(
            ahead_m > 0.8 * total_m && ahead_m < 1.1 * total_m,
            "{name}: {ahead_m} m of {total_m}"
        );
    }
    let level = pegs.iter().all(|peg| (peg - pegs[0]).abs() < 12.0);
    assert!(level, "{pegs:?}");
    let twice: Vec<ladders::Hole<'_>> = holes.iter().chain(&holes).copied().collect();
    let two = ladders::pages("The round", &twice);
    assert_eq!(two.len(), 2);
    assert_eq!(two[0].layout.scale.to_bits(), page.layout.scale.to_bits());
    for count in [1, 2, 5] {
        keep("round-few", &ladders::pages("x", &holes[..count])[0]);
    }
    assert!(ladders::pages("The round", &[]).is_empty());
    for name in hostile::names() {
        let plans: Vec<Plan> = demo
            .iter()
            .map(|(_, _, plan)| {
                let mut plan = plan.clone();
                hostile::put(&mut plan, &name);
                plan
            })
            .collect();
        let holes: Vec<ladders::Hole<'_>> = demo
            .iter()
            .zip(&plans)
            .map(|((_, kept, _), plan)| ladders::Hole {
                plan,
                land: kept.land(),
            })
            .collect();
        keep("round-hostile", &ladders::pages(&name, &holes)[0]);
    }
}

fn fitted(log: &str, handedness: Handedness) -> (Fitted, ShapeReport) {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(root.join(format!("examples/logs/{log}.csv"))).expect("readable");
    let log = shotlog::read(log, &bytes).expect("a log");
    let options = FitOptions {
        handedness,
        handicap: Some(12.0),
        weather: Weather::usual(),
        firmness: Firmness::Medium,
    };
    let fitted = fit_in_detail(&log, &options).expect("a player");
    let report = words::report(&fitted, &log);
    (fitted, report)
}

/// Legs of a colour: a line of two points each, and how thick.
fn legs(drawn: &Drawn, colour: bendline::draw::scene::Colour) -> Vec<(Point, Point, f64)> {
    let lines = drawn.nodes.iter().filter_map(|node| match node {
        Node::Path {
            steps,
            fill: None,
            stroke: Some(stroke),
        } if stroke.colour == colour => match steps.as_slice() {
            [Step::Move(a), Step::Line(b)] => Some((*a, *b, stroke.width)),
            _ => None,
        },
        _ => None,
    });
    lines.collect()
}

/// Every club has two legs that meet, as thick as it has shots, at one scale from one tee; beside
/// another log arrows lead to what is now.
#[test]
fn the_fan_has_two_legs_a_club() {
    for (log, hand) in [
        ("strong-draw", Handedness::Right),
        ("left-hander", Handedness::Left),
        ("two-way", Handedness::Right),
        ("twelve-shots", Handedness::Right),
    ] {
        let (_, report) = fitted(log, hand);
        for unit in [LengthUnit::Yards, LengthUnit::Metres] {
            let drawn = fan::lay_out(&report, None, log, unit);
            keep(&format!("fan-{log}"), &drawn);
            let bends = legs(&drawn, palette::ACCENT);
            let known = report.clubs.iter().filter(|club| club.start_deg.is_some());
            assert_eq!(bends.len(), known.clone().count(), "{log}");
            let starts = legs(&drawn, palette::INK);
            for ((corner, landing, wide), club) in bends.iter().zip(known) {
                let is_same = |leg: &&(Point, Point, f64)| leg.1 == *corner && leg.2 == *wide;
                let start = starts.iter().find(is_same).expect("a start leg");
                let long = (landing[0] - start.0[0]).hypot(landing[1] - start.0[1]);
                let metres = long * drawn.layout.scale / 10_000.0;
                let off = (metres - club.carry_m.value).abs();
                assert!(off < 0.05 * club.carry_m.value, "{log}: {metres}");
                // The bend is square to the start.
                let dot = (corner[0] - start.0[0]) * (landing[0] - corner[0])
                    + (corner[1] - start.0[1]) * (landing[1] - corner[1]);
                let across = (landing[0] - corner[0]).hypot(landing[1] - corner[1]);
                let cos = dot / (long * across.max(1.0));
                assert!(cos.abs() < 0.1, "{log}: {cos}");
            }
            let words = said(&drawn.layout);
            let shots = report.clubs[0].shots;
            assert!(words.contains(&format!("{shots} shots")), "{words}");
        }
        let mut widths: Vec<(usize, f64)> = report
            .clubs
            .iter()
            .filter(|club| club.start_deg.is_some())
            .map(|club| club.shots)
            .zip(
                legs(
                    &fan::lay_out(&report, None, log, LengthUnit::Yards),
                    palette::ACCENT,
                )
                .iter()
                .map(|leg| leg.2),
            )
            .collect();
        widths.sort_by_key(|club| club.0);
        assert!(widths.windows(2).all(|w| w[0].1 <= w[1].1), "{widths:?}");
    }
    let (_, before) = fitted("fade", Handedness::Right);
    let (_, after) = fitted("strong-draw", Handedness::Right);
    let drawn = fan::lay_out(&after, Some(&before), "before and after", LengthUnit::Yards);
    keep("fan-against", &drawn);
    assert!(said(&drawn.layout).contains("before to now"));
    for name in hostile::names() {
        let mut report = after.clone();
        for club in &mut report.clubs {
            club.club.clone_from(&name);
            club.shape.clone_from(&name);
        }
        keep(
            "fan-hostile",
            &fan::lay_out(&report, None, &name, LengthUnit::Yards),
        );
    }
}

/// The hundred balls of a plan and of its named aims are of the same launches: in calm air on this
/// hole a ball that ends in the fairway with either aim ends as far from the peg.
#[test]
fn the_hundred_balls_are_the_same_with_either_aim() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(root.join("holes/course.geojson")).expect("readable");
    let course = Course::from_geojson(&bytes).expect("a course");
    let (fitted, _) = fitted("strong-draw", Handedness::Right);
    let hole = course.hole("4").expect("hole 4");
    let plan = Planner::new(hole, &fitted.player)
        .landscape(true)
        .plan()
        .expect("a plan");
    let own = &plan.finishes.hundred;
    assert_eq!((own.at.len(), own.ends.len()), (100, 100));
    let tee = plan.choice.shot.tee;
    let away = |at: bendline::plan::LonLat| {
        use geographiclib_rs::{Geodesic, InverseGeodesic};
        let metres: f64 = Geodesic::wgs84().inverse(tee.lat, tee.lon, at.lat, at.lon);
        metres
    };
    for other in &plan.comparisons {
        assert_eq!(other.hundred.at.len(), 100);
        let pairs =
            (0..100).filter(|&k| own.ends[k] == "fairway" && other.hundred.ends[k] == "fairway");
        let off: Vec<f64> = pairs
            .map(|k| (away(own.at[k]) - away(other.hundred.at[k])).abs())
            .collect();
        let same = off.iter().filter(|off| **off < 3.0).count();
        assert!(
            off.len() >= 15 && same * 10 >= off.len() * 8,
            "{}: {off:?}",
            other.name
        );
    }
    // What the landscape says under the balls is what the plan says of the hole.
    let land = plan.landscape.as_ref().expect("a landscape");
    assert_eq!(land.strokes.len() % land.columns, 0);
    let plane = bendline::hole::plane::Plane::new(hole.origin_lon_lat);
    let origin = plane.to_plane(land.origin.lon, land.origin.lat);
    let under = own.at.iter().filter_map(|at| {
        let at = plane.to_plane(at.lon, at.lat);
        let place = |to: f64, from: f64| ((to - from) / land.step_m).round() as usize;
        land.at(place(at.x, origin.x), place(at.y, origin.y))
    });
    let under: Vec<f64> = under.collect();
    assert!(under.len() >= 80, "{}", under.len());
    let mean = 1.0 + under.iter().sum::<f64>() / under.len() as f64;
    let told = plan.choice.shot.expected_strokes;
    assert!(
        (mean - told).abs() < 0.15,
        "{mean} under the balls, {told} told"
    );
    let drawn = landscape::lay_out(&plan, &Land::of(hole)).expect("a landscape");
    keep("landscape-4", &drawn);
    let drawn = two_aims::lay_out(&plan, &Land::of(hole)).expect("two aims");
    keep("balls-4", &drawn);
}
