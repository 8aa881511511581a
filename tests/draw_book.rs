//! The pocket book: every page in its place and within the Rules, read back
//! from the finished PDF.
//!
//! The holes and players here are invented. Books are left in `target/tmp` to
//! be looked at.

mod book_command;
mod draw_phone;
mod draw_sketch;
mod paper;

use bendline::draw::book::{self, Book, BookPage, Chapter, green, impose, summary, turns};
use bendline::draw::labels::TextBox;
use bendline::draw::scene::{Node, Step, palette};
use bendline::hole::Surface;
use bendline::hole::plane::Plane;
use bendline::plan::Plan;
use draw_sketch::generated::{Dice, some_hole};
use draw_sketch::hostile;
use draw_sketch::samples::{dogleg, par_five, par_three};
use draw_sketch::{Kept, Sketch};
use paper::Paper;

/// 4¼ × 7 in, tenths of a millimetre (Rules of Golf 2023, Interpretation
/// 4.3a/1).
const LARGEST_PAGE: [f64; 2] = [1079.5, 1778.0];

fn assert_clean(name: &str, page: &BookPage) {
    draw_sketch::assert_clean(&format!("{name}, {}", page.name), &page.layout);
}

/// The same plan under other winds, one of them with another club.
fn turned(plan: &Plan) -> Vec<Plan> {
    (0..4_u8)
        .map(|k| {
            let mut turn = plan.clone();
            turn.conditions.wind_m_s = if k == 3 { 0.0 } else { 5.4 };
            turn.conditions.wind_from_deg = 90.0 * f64::from(k);
            turn.choice.shot.aim.bearing_deg += 2.0 * f64::from(k) - 3.0;
            if k == 1
                && let Some(other) = turn.alternatives.first_mut()
            {
                std::mem::swap(&mut turn.choice.shot, &mut other.shot);
                other.costs = 0.08;
                other.costs_standard_error = 0.004;
            }
            turn
        })
        .collect()
}

struct Course {
    name: String,
    holes: Vec<(Plan, Vec<Plan>, Kept)>,
}

impl Course {
    fn book(&self) -> Book<'_> {
        Book {
            course: &self.name,
            date: Some("2026-06-14"),
            chapters: self
                .holes
                .iter()
                .map(|(plan, turns, kept)| Chapter {
                    plan,
                    land: kept.land(),
                    turns,
                    unreached: &[],
                    pictures: Vec::new(),
                })
                .collect(),
            missing: Vec::new(),
        }
    }
}

/// The nine demo holes, with made-up shots.
fn demo() -> Course {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("holes/course.geojson");
    let holes = draw_sketch::demo::planned(&file, &mut Dice(9));
    assert!(holes.len() >= 9);
    Course {
        name: "Nine invented holes".into(),
        holes: holes
            .into_iter()
            .map(|(plan, hole)| {
                let turns = turned(&plan);
                (plan, turns, Kept::Read(Box::new(hole)))
            })
            .collect(),
    }
}

fn samples() -> Course {
    let sketched = [dogleg(false), par_three(), par_five()];
    Course {
        name: "Samples".into(),
        holes: sketched
            .into_iter()
            .map(|(sketch, call)| {
                let plan = sketch.plan(&call);
                let turns = turned(&plan);
                (plan, turns, Kept::Sketched(Box::new(sketch)))
            })
            .collect(),
    }
}

fn generated(seed: u64, holes: usize) -> Course {
    let mut dice = Dice(seed);
    Course {
        name: format!("Generated {seed}"),
        holes: (0..holes)
            .map(|k| {
                let (sketch, call) = some_hole(&mut dice);
                let mut plan = sketch.plan(&call);
                plan.hole.reference = (k + 1).to_string();
                let turns = turned(&plan);
                (plan, turns, Kept::Sketched(Box::new(sketch)))
            })
            .collect(),
    }
}

fn write(course: &Course, paper: Option<impose::Paper>) -> Vec<u8> {
    let bytes = book::write(&course.book(), paper).expect("a book");
    let ending = paper.map_or(String::new(), |p| format!("-{p:?}"));
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("book-{}{ending}.pdf", course.name));
    std::fs::write(path, &bytes).expect("target/tmp can be written");
    bytes
}

#[test]
fn no_text_lies_on_another_and_none_leaves_its_page() {
    for course in [demo(), samples()] {
        for page in book::pages(&course.book()) {
            assert_clean(&course.name, &page);
        }
    }
}

#[test]
fn two_hundred_generated_holes_make_clean_books() {
    // Of 1, 2, 4, 9, 18, 27 and more holes: every arrangement of the cover.
    for (seed, holes) in [1, 2, 4, 9, 18, 27, 45, 94].into_iter().enumerate() {
        let course = generated(seed as u64 + 77, holes);
        for (number, page) in (1..).zip(book::pages(&course.book())) {
            assert_clean(&course.name, &page);
            let is_number = |text: &TextBox| text.words == number.to_string();
            assert!(
                page.layout.texts.iter().any(is_number),
                "{}: no page number",
                page.name
            );
        }
    }
}

/// Every page of the finished PDF, and the pages' order.
#[test]
fn the_book_is_of_a_size_that_may_be_carried_and_says_what_it_should() {
    let course = demo();
    let book = Paper::read(&write(&course, None));
    // A cover, two pages a hole, the winds, the round, what matters most, how to read it.
    assert_eq!(book.pages(), 1 + 2 * course.holes.len() + 4);
    for page in 0..book.pages() {
        let size = book.size(page);
        for k in 0..2 {
            assert!(
                size[k] <= LARGEST_PAGE[k] + 1e-3 && size[k] > LARGEST_PAGE[k] - 2.0,
                "page {page}: {size:?}"
            );
        }
    }
    let [fonts, carried] = book.fonts();
    assert!(
        fonts == 2 && carried == 2,
        "{fonts} fonts, {carried} carried"
    );
    assert!(!book.acts());
    assert!(
        book.text(0).contains("Nine invented holes"),
        "{}",
        book.text(0)
    );
    assert!(book.text(0).contains("2026-06-14"));
    for (k, (plan, _, _)) in course.holes.iter().enumerate() {
        let said = book.text(1 + 2 * k);
        let name = plan.hole.name.as_deref().expect("demo holes have names");
        assert!(said.contains(name), "hole {}: {said}", k + 1);
        // Nothing is said twice: the rims under texts are no texts.
        assert_eq!(said.matches("ENDS ").count(), 1, "{said}");
        let said = book.text(2 + 2 * k);
        assert!(
            said.contains("The green") && said.contains("paces"),
            "{said}"
        );
    }
    let last = book.pages() - 1;
    assert!(book.text(last).contains("Rule 4.3a"));
    assert!(book.text(last - 1).contains("What matters most"));
    assert!(book.text(last - 2).contains("The round"));
    assert!(book.text(last - 3).contains("If the wind turns"));
}

/// Vertices of the green's outline on its page, in the order of the map.
fn green_on_paper(page: &BookPage) -> Vec<[f64; 2]> {
    fn seek(nodes: &[Node], out: &mut Vec<Vec<[f64; 2]>>) {
        for node in nodes {
            match node {
                Node::Group { nodes, .. } => seek(nodes, out),
                Node::Path {
                    steps,
                    fill: Some(fill),
                    stroke: Some(stroke),
                } if fill.colour == palette::GREEN && stroke.colour == palette::INK => {
                    let corners = steps.iter().filter_map(|step| match step {
                        Step::Move(p) | Step::Line(p) => Some(*p),
                        _ => None,
                    });
                    out.push(corners.collect());
                }
                _ => {}
            }
        }
    }
    let mut out = Vec::new();
    seek(&page.nodes, &mut out);
    assert_eq!(out.len(), 1, "{}: one green in sight", page.name);
    out.remove(0)
}

/// Karney's geodesic (geographiclib-rs) between two far corners of every demo
/// green, their distance on the finished paper times the stated scale, and
/// the largest scale of the Rules: 9.525 mm to 4.572 m is 1:480.
#[test]
fn greens_on_paper_are_to_their_stated_scale_and_within_the_rules() {
    use geographiclib_rs::{Geodesic, InverseGeodesic};
    assert!((green::LARGEST_SCALE - 4_572.0 / 9.525).abs() < 1e-9);
    let course = demo();
    let finished = Paper::read(&write(&course, None));
    let pages = book::pages(&course.book());
    for (k, (plan, _, kept)) in course.holes.iter().enumerate() {
        let Kept::Read(hole) = kept else {
            unreachable!()
        };
        let index = 2 + 2 * k;
        let page = &pages[index];
        let scale = page.layout.scale;
        assert!(scale >= green::LARGEST_SCALE, "{}: 1:{scale}", page.name);
        assert!(
            page.layout
                .texts
                .iter()
                .any(|t| t.words.contains(&format!("1:{scale:.0}"))),
            "{}: the scale is not stated",
            page.name
        );
        let plane = Plane::new(hole.origin_lon_lat);
        let pin = plane.to_plane(plan.hole.pin.lon, plan.hole.pin.lat);
        let ring = hole
            .patches
            .iter()
            .find(|p| {
                use geo::Intersects;
                p.surface == Surface::Green && p.outline.intersects(&pin)
            })
            .expect("a green")
            .outline
            .exterior()
            .0
            .clone();
        let paper = green_on_paper(page);
        let far = ring.len() / 2;
        let on_earth = |i: usize| plane.to_lon_lat(ring[i]);
        let (a, b) = (on_earth(0), on_earth(far));
        let metres: f64 = Geodesic::wgs84().inverse(a[1], a[0], b[1], b[0]);
        // Those very points in the finished file, to 0.01 mm.
        let points = finished.points(index);
        let found = |p: [f64; 2]| {
            points
                .iter()
                .copied()
                .find(|q| (q[0] - p[0]).hypot(q[1] - p[1]) < 0.1)
                .unwrap_or_else(|| panic!("{}: {p:?} is not on paper", page.name))
        };
        let (p, q) = (found(paper[0]), found(paper[far]));
        let paper_m = (p[0] - q[0]).hypot(p[1] - q[1]) / 10_000.0 * scale;
        assert!(
            (paper_m - metres).abs() < 0.02,
            "{}: {paper_m} m on paper, {metres} m on earth",
            page.name
        );
        assert!(metres > 10.0);
    }
}

/// Peg and pin of every hole's page, in the finished file where the page says.
#[test]
fn hole_pages_on_paper_are_to_their_stated_scale() {
    use geographiclib_rs::{Geodesic, InverseGeodesic};
    fn circle(nodes: &[Node], name: &str) -> Option<[f64; 2]> {
        nodes.iter().find_map(|node| match node {
            Node::Group { nodes, .. } => circle(nodes, name),
            Node::Circle { id, at, radius, .. } if *id == Some(name) => {
                Some([at[0] + radius, at[1]])
            }
            _ => None,
        })
    }
    let course = demo();
    let finished = Paper::read(&write(&course, None));
    let pages = book::pages(&course.book());
    for (k, (plan, _, _)) in course.holes.iter().enumerate() {
        let index = 1 + 2 * k;
        let points = finished.points(index);
        let [peg, pin] = ["peg", "pin"].map(|name| {
            let p = circle(&pages[index].nodes, name).expect("drawn");
            points
                .iter()
                .copied()
                .find(|q| (q[0] - p[0]).hypot(q[1] - p[1]) < 0.05)
                .unwrap_or_else(|| panic!("hole {}: {name} is not on paper", k + 1))
        });
        // The circles' radii differ and both stand to the right.
        let radii = ["peg", "pin"].map(|name| radius(&pages[index].nodes, name));
        let long = (pin[0] - radii[1] - peg[0] + radii[0]).hypot(pin[1] - peg[1]);
        let paper_m = long / 10_000.0 * pages[index].layout.scale;
        let (tee, flag) = (plan.choice.shot.tee, plan.hole.pin);
        let metres: f64 = Geodesic::wgs84().inverse(tee.lat, tee.lon, flag.lat, flag.lon);
        assert!(
            (paper_m - metres).abs() < 0.06,
            "hole {}: {paper_m} m on paper, {metres} m on earth",
            k + 1
        );
    }
}

fn radius(nodes: &[Node], name: &str) -> f64 {
    fn seek(nodes: &[Node], name: &str) -> Option<f64> {
        nodes.iter().find_map(|node| match node {
            Node::Group { nodes, .. } => seek(nodes, name),
            Node::Circle { id, radius, .. } if *id == Some(name) => Some(*radius),
            _ => None,
        })
    }
    seek(nodes, name).expect("drawn")
}

/// Two pages a side, on the paper asked for, every page once.
#[test]
fn a_booklet_stands_two_up_on_its_paper() {
    let course = demo();
    let singles = Paper::read(&write(&course, None));
    for (paper, size) in [
        (impose::Paper::A4, [2970.0, 2100.0]),
        (impose::Paper::Letter, [2794.0, 2159.0]),
    ] {
        let sheets = Paper::read(&write(&course, Some(paper)));
        assert_eq!(sheets.pages(), singles.pages().div_ceil(4) * 2);
        for side in 0..sheets.pages() {
            let got = sheets.size(side);
            assert!((got[0] - size[0]).abs() < 0.01 && (got[1] - size[1]).abs() < 0.01);
            assert!(sheets.text(side).contains("print at 100 %"));
        }
        // The cover is outermost and on the right, behind it the first hole.
        assert!(sheets.text(0).contains("Nine invented holes"));
        let name = course.holes[0].0.hole.name.clone().expect("a name");
        assert!(sheets.text(1).contains(&name));
        // A page's own points, moved as a whole: the first hole's on the left.
        let shift = [size[0] / 2.0 - 1079.0, (size[1] - 1778.0) / 2.0];
        let there = sheets.points(1);
        for p in singles.points(1).iter().step_by(97) {
            let q = [p[0] + shift[0], p[1] + shift[1]];
            assert!(
                there
                    .iter()
                    .any(|t| (t[0] - q[0]).hypot(t[1] - q[1]) < 0.05),
                "{q:?}"
            );
        }
    }
}

#[test]
fn the_same_book_gives_the_same_bytes() {
    for paper in [None, Some(impose::Paper::A4)] {
        assert!(write(&samples(), paper) == write(&samples(), paper));
    }
}

/// By hand: a rectangle of 20 × 30 m played from the south, its pin 10 paces
/// on and 5 in from the left.
#[test]
fn a_green_is_counted_as_a_pin_sheet_counts_it() {
    let mut sketch = Sketch::new(0.0, false);
    sketch.patch(
        Surface::Green,
        &[[-10.0, 150.0], [10.0, 150.0], [10.0, 180.0], [-10.0, 180.0]],
        false,
    );
    sketch.way = vec![
        geo::Coord { x: 0.0, y: 0.0 },
        geo::Coord { x: 0.0, y: 165.0 },
    ];
    let pin = geo::Coord {
        x: -10.0 + 4.572,
        y: 150.0 + 9.144,
    };
    let counted = green::count(&sketch.land(), pin).expect("a green");
    let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
    assert!(close(counted.depth_m, 30.0) && close(counted.width_m, 20.0));
    let [on, left, right] = counted.pin_m;
    assert!(close(on, 9.144) && close(left, 4.572) && close(right, 15.428));
    assert!(close(counted.middle.x, 0.0) && close(counted.middle.y, 165.0));
    let beside = geo::Coord { x: 40.0, y: 160.0 };
    assert!(green::count(&sketch.land(), beside).is_none());
}

/// What weighs most comes first, and what is within noise is not told.
#[test]
fn the_summary_ranks_what_the_plans_say() {
    let mut course = samples();
    for (k, (plan, _, _)) in course.holes.iter_mut().enumerate() {
        for c in &mut plan.comparisons {
            c.costs = [0.02, 0.30, 0.001][k];
            c.costs_standard_error = 0.004;
        }
        for a in &mut plan.alternatives {
            a.costs = [0.11, 0.05, 0.001][k];
            a.costs_standard_error = 0.004;
        }
    }
    let told = summary::weights(&course.book());
    let holes: Vec<usize> = told.iter().map(|weight| weight.hole).collect();
    assert_eq!(holes, [1, 0]);
    assert_eq!(told[0].instead, "down the middle");
    assert!((told[0].costs - 0.30).abs() < 1e-12 && (told[1].costs - 0.11).abs() < 1e-12);
}

/// By hand: an aim 3° further right over a carry of 200 m is 10.47 m, from a peg 2 m further right
/// 12.47 m.
#[test]
fn a_turn_of_the_wind_says_what_changes() {
    let (sketch, call) = dogleg(false);
    let plan = sketch.plan(&call);
    let mut turn = plan.clone();
    turn.choice.shot.aim.bearing_deg = plan.choice.shot.aim.bearing_deg + 3.0;
    turn.choice.shot.carry_m = 200.0;
    let change = turns::change(&plan, &turn);
    assert_eq!(change.club, None);
    assert!((change.aim_right_m - 10.4672).abs() < 1e-3 && change.peg_right_m == 0.0);
    turn.choice.shot.tee.from_left_marker_m += 2.0;
    let moved = turns::change(&plan, &turn);
    assert!((moved.aim_right_m - 12.4672).abs() < 1e-3);
    assert!((moved.peg_right_m - 2.0).abs() < 1e-9);
    turn.choice.shot.tee = plan.choice.shot.tee;
    turn.choice.shot.club = "5w".into();
    turn.alternatives[0]
        .shot
        .club
        .clone_from(&plan.choice.shot.club);
    turn.alternatives[0]
        .shot
        .shape
        .clone_from(&plan.choice.shot.shape);
    turn.alternatives[0].costs = 0.07;
    let (_, kept) = turns::change(&plan, &turn).club.expect("another club");
    assert!((kept.expect("priced")[0] - 0.07).abs() < 1e-12);
}

/// On every demo hole, in every place where a name can come from a file.
#[test]
fn hostile_names_are_text_and_stay_in_their_place() {
    for name in hostile::names() {
        let mut course = demo();
        course.name.clone_from(&name);
        for (plan, turns, _) in &mut course.holes {
            for plan in std::iter::once(plan).chain(turns) {
                hostile::put(plan, &name);
            }
        }
        let book = Book {
            date: Some(&name),
            missing: vec![name.clone()],
            ..course.book()
        };
        let pages = book::pages(&book);
        for page in &pages {
            assert_clean(&hostile::begin(&name), page);
        }
        // Long instructions for other winds may take more than one page.
        let count = pages.len();
        assert!(
            (1 + 2 * 9 + 4..=1 + 2 * 9 + 8).contains(&count),
            "{count} pages"
        );
        let bytes = book::bind(&book, pages, None).expect("a book");
        let paper = Paper::read(&bytes);
        assert!(!paper.acts());
        assert_eq!(paper.pages(), count);
        assert_eq!(paper.fonts(), [2, 2]);
    }
}

/// Numbers that are no numbers, and holes without a green: a book all the same.
#[test]
fn broken_numbers_make_a_book() {
    for bad in [f64::NAN, f64::INFINITY, -1e308, 0.0] {
        let mut course = samples();
        for (plan, turns, _) in &mut course.holes {
            for plan in std::iter::once(plan).chain(turns) {
                plan.hole.pin.lat = bad;
                plan.choice.shot.rest.lon = bad;
                plan.choice.shot.aim.bearing_deg = bad;
                plan.choice.shot.carry_m = bad;
                plan.choice.shot.expected_strokes = bad;
                plan.conditions.wind_from_deg = bad;
                plan.conditions.wind_m_s = bad;
                plan.alternatives.iter_mut().for_each(|a| a.costs = bad);
            }
        }
        Paper::read(&write(&course, None));
    }
    let empty = Course {
        name: "Nothing".into(),
        holes: Vec::new(),
    };
    assert_eq!(Paper::read(&write(&empty, None)).pages(), 2);
}
