//! The page for a phone: whole, true to scale, hostile to nobody.
//!
//! What a browser makes of it is tested by `tests/browser`; the pages left in
//! `target/tmp` here are what it opens.

use super::draw_sketch::{Kept, Sketch, assert_apart, hostile};
use super::{Course, demo, generated, samples};
use bendline::draw::book::Book;
use bendline::draw::phone::{self, map};

fn write(name: &str, book: &Book<'_>) -> String {
    let page = phone::write(book);
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("phone-{name}.html"));
    std::fs::write(path, &page).expect("target/tmp can be written");
    page
}

fn maps(course: &Course) -> Vec<map::Map> {
    let book = course.book();
    let draw = |(k, chapter)| map::draw(k, chapter);
    book.chapters.iter().enumerate().map(draw).collect()
}

/// No number on another in any wind and either unit; the aim and what the
/// eye seeks first are always there.
fn assert_maps_clean(course: &Course) {
    for (k, map) in maps(course).iter().enumerate() {
        let cases = 1 + course.holes[k].1.len();
        assert_eq!([map.layouts.len(), map.plate_layouts.len()], [cases; 2]);
        for layout in map.layouts.iter().chain(&map.plate_layouts).flatten() {
            assert_apart(&format!("{}, hole {}", course.name, k + 1), layout, 0.0);
        }
    }
}

#[test]
fn no_number_on_a_map_lies_on_another_or_leaves_it() {
    assert_maps_clean(&demo());
    assert_maps_clean(&samples());
}

#[test]
fn two_hundred_generated_holes_have_clean_maps() {
    for seed in 0..8 {
        assert_maps_clean(&generated(4_000 + seed, 25));
    }
}

/// Every element's start and end, by a small reader of its own: attributes
/// quoted, tags balanced, and only the elements that the page is made of.
fn assert_well_formed(html: &str) -> usize {
    const KNOWN: [&str; 45] = [
        "html", "head", "meta", "link", "title", "style", "script", "body", "header", "main",
        "footer", "nav", "section", "fieldset", "legend", "div", "p", "h1", "h2", "h3", "ul", "li",
        "dl", "dt", "dd", "b", "span", "label", "input", "button", "select", "option", "svg", "g",
        "path", "circle", "text", "defs", "pattern", "clipPath", "title", "tspan", "a", "i", "use",
    ];
    let mut open: Vec<String> = Vec::new();
    let mut count = 0;
    let mut rest = html.strip_prefix("<!DOCTYPE html>\n").expect("a document");
    while let Some(at) = rest.find('<') {
        assert!(!rest[..at].contains('>'), "loose > in {:?}", &rest[..at]);
        rest = &rest[at + 1..];
        if let Some(after) = rest.strip_prefix('/') {
            let end = after.find('>').expect("an end");
            assert_eq!(open.pop().as_deref(), Some(&after[..end]));
            rest = &after[end + 1..];
            continue;
        }
        // A tag ends at the first > outside quotes.
        let mut quoted = false;
        let end = rest
            .find(|c| {
                quoted ^= c == '"';
                c == '>' && !quoted
            })
            .expect("an end");
        let tag = &rest[..end];
        let name = tag.split([' ', '/', '\n']).next().unwrap_or_default();
        assert!(KNOWN.contains(&name), "<{name}>");
        for attribute in tag.split_whitespace().skip(1) {
            let key = attribute.split('=').next().unwrap_or_default();
            assert!(!key.starts_with("on"), "{tag}");
            assert!(key != "style" && key != "src", "{tag}");
        }
        count += 1;
        rest = &rest[end + 1..];
        let empty = tag.ends_with('/') || ["meta", "link", "input"].contains(&name);
        if matches!(name, "style" | "script") {
            let end = rest.find(&format!("</{name}>")).expect("an end");
            rest = &rest[end..];
        }
        if !empty {
            open.push(name.to_owned());
        }
    }
    assert!(open.is_empty(), "{open:?} left open");
    count
}

#[test]
fn a_page_is_whole_and_asks_for_nothing_from_outside() {
    let course = demo();
    let page = write("demo", &course.book());
    assert!(assert_well_formed(&page) > 1_000);
    // The name spaces of SVG and HTML need not be named in HTML: no address at all.
    for word in ["http:", "https:", "//", "@import", "url(h", "NaN", "inf\""] {
        let body = page.replace(phone::SCRIPT, "");
        assert!(!body.contains(word), "{word}");
    }
    for (plan, turns, _) in &course.holes {
        let name = plan.hole.name.as_deref().expect("demo holes have names");
        assert!(page.contains(name));
        assert_eq!(turns.len(), 4);
    }
    assert_eq!(page.matches("<section class=\"hole\"").count(), 9);
    assert_eq!(page.matches("type=\"radio\"").count(), 9 * 5);
    assert_eq!(page.matches(" checked>").count(), 9);
    for words in [
        "Rule 4.3a",
        "lightning",
        "nobody is within reach",
        "Local Rules",
        "Nine invented holes",
        "2026-06-14",
    ] {
        assert!(page.contains(words), "{words}");
    }
    println!("the page of nine holes in five winds: {} bytes", page.len());
    assert!(page.len() < 2_000_000, "{} bytes", page.len());
}

/// SHA-256 of "abc" (FIPS 180-4's example), and a policy that names the very
/// style and script of the page: a browser runs neither if it does not.
#[test]
fn the_policy_names_the_style_and_the_script() {
    use sha2::{Digest, Sha256};
    let abc = Sha256::digest("abc");
    assert_eq!(abc[..4], [0xba, 0x78, 0x16, 0xbf]);
    let page = phone::write(&samples().book());
    let style = between(&page, "<style>", "</style>");
    let script = between(&page, "<script>", "</script>");
    assert_eq!((style, script), (phone::STYLE, phone::SCRIPT));
    let policy = between(&page, "Content-Security-Policy\" content=\"", "\"");
    assert!(policy.starts_with("default-src 'none'; style-src 'sha256-"));
    assert!(!policy.contains("unsafe") && !policy.contains('*'));
    assert_eq!(policy.matches("'sha256-").count(), 2);
}

fn between<'a>(text: &'a str, start: &str, end: &str) -> &'a str {
    let from = text.find(start).expect("its start") + start.len();
    let to = text[from..].find(end).expect("its end");
    &text[from..from + to]
}

/// Karney's geodesic (geographiclib-rs) from the pin to each case's peg, their
/// distance on the map times its scale; and the largest scale of the Rules,
/// 1:480, at the widest that the style shows a map.
#[test]
fn maps_are_to_scale_and_no_green_is_larger_than_the_rules_allow() {
    use geographiclib_rs::{Geodesic, InverseGeodesic};
    assert!(phone::STYLE.contains(&format!("max-width: {}mm", map::WIDEST_MM)));
    assert!(phone::STYLE.contains(&format!("columns: {}mm", map::WIDEST_MM)));
    assert!(phone::STYLE.contains(&format!("text {{ font-size: {}px", map::TYPE)));
    let course = demo();
    for (k, map) in maps(&course).iter().enumerate() {
        let (plan, turns, _) = &course.holes[k];
        let scale = map.layouts[0][0].scale;
        let shown = map::WIDEST_MM * 10.0 / map::SIZE[0];
        assert!(
            scale / shown >= 480.0,
            "hole {}: 1:{}",
            k + 1,
            scale / shown
        );
        // The landing is larger than the whole hole, and no larger than that.
        let large = map.plate_layouts[0][0].scale;
        assert!(
            large < scale && large / shown >= 480.0,
            "hole {}: 1:{}, 1:{}",
            k + 1,
            large / shown,
            scale / shown
        );
        let places = |name: &str| -> Vec<[f64; 2]> {
            map.svg
                .split("<circle")
                .filter(|c| c.contains(&format!("data-at=\"{name}\"")))
                .map(|c| {
                    ["cx", "cy"].map(|key| {
                        let value = between(c, &format!(" {key}=\""), "\"");
                        value.parse().expect("a number")
                    })
                })
                .collect()
        };
        let (pegs, pins) = (places("peg"), places("pin"));
        assert_eq!((pegs.len(), pins.len()), (5, 5));
        for (case, peg) in std::iter::once(plan).chain(turns).zip(&pegs) {
            let long = (peg[0] - pins[0][0]).hypot(peg[1] - pins[0][1]);
            let metres: f64 = Geodesic::wgs84().inverse(
                case.choice.shot.tee.lat,
                case.choice.shot.tee.lon,
                case.hole.pin.lat,
                case.hole.pin.lon,
            );
            let map_m = long * scale / 10_000.0;
            // Two places, each to a twentieth of the drawing's unit each way.
            let exact = 2.0_f64.sqrt() * 0.1 * scale / 10_000.0;
            assert!((map_m - metres).abs() < exact, "{map_m} m, {metres} m");
        }
    }
    // A hole of 30 m would fill the map: it stays small.
    let mut tiny = Sketch::new(0.0, false);
    tiny.way = [[0.0, 0.0], [0.0, 30.0]].map(|p| tiny.at(p)).to_vec();
    let mut short = samples();
    let plan = &mut short.holes[0].0;
    plan.choice.shot.rest = plan.hole.pin;
    plan.choice.shot.tee.lon = plan.hole.pin.lon;
    plan.choice.shot.tee.lat = plan.hole.pin.lat - 0.000_3;
    plan.carries.clear();
    plan.finishes.ninety.clear();
    plan.finishes.flight.clear();
    short.holes[0].1.clear();
    short.holes[0].2 = Kept::Sketched(Box::new(tiny));
    let map = &maps(&short)[0];
    assert!(map.layouts[0][0].scale >= map::LARGEST_SCALE - 1e-9);
}

/// Every number has a name of its own, and the balls of every case stand in the page: as many as
/// the plans hold, one of them drawn for each.
#[test]
fn numbers_have_names_and_every_case_its_hundred_balls() {
    let course = demo();
    for (k, map) in maps(&course).iter().enumerate() {
        let (plan, turns, _) = &course.holes[k];
        for svg in [&map.svg, &map.plate] {
            let named: Vec<&str> = svg.split("<g class=\"named\">").skip(1).collect();
            assert!(named.len() > 5 * 2 * 4, "hole {}: {}", k + 1, named.len());
            for one in named {
                let title = between(one, "<title>", "</title>");
                assert!(title.chars().count() > 6, "hole {}: \"{title}\"", k + 1);
            }
            let ends: Vec<usize> = between(svg, "data-at=\"", "\"><use")
                .split(';')
                .map(|case| case.split(' ').count() / 3)
                .collect();
            let held = std::iter::once(plan).chain(turns);
            let held: Vec<usize> = held.map(|p| p.finishes.hundred.at.len()).collect();
            assert_eq!(ends, held, "hole {}", k + 1);
            assert_eq!(svg.matches("<use ").count(), held[0]);
            // The second turn has another club: its balls are others.
            let same = between(svg, "data-same=\"", "\"");
            assert_eq!(same.len(), held.len());
            for (case, turn) in turns.iter().enumerate() {
                let is = turn.choice.shot.is_same_swing(&plan.choice.shot);
                assert_eq!(same.as_bytes()[case + 1] == b'1', is, "hole {}", k + 1);
            }
        }
    }
}

#[test]
fn the_same_page_gives_the_same_bytes() {
    assert!(phone::write(&demo().book()) == phone::write(&demo().book()));
}

#[test]
fn hostile_names_are_text() {
    let plain = phone::write(&samples().book()).len();
    for (k, name) in hostile::names().iter().enumerate() {
        let mut course = samples();
        course.name.clone_from(name);
        for (plan, turns, _) in &mut course.holes {
            for plan in std::iter::once(plan).chain(turns) {
                hostile::put(plan, name);
                plan.words.unit.clone_from(name);
            }
        }
        let book = Book {
            date: Some(name),
            missing: vec![name.clone()],
            ..course.book()
        };
        let page = write(&format!("hostile-{k}"), &book);
        assert_well_formed(&page);
        assert_eq!(page.matches("<script>").count(), 1);
        assert!(!page.contains("<img"));
        assert!(
            page.len() < 2 * plain,
            "{} bytes, {plain} plain",
            page.len()
        );
        let control = |c: char| (c.is_control() && c != '\n') || c == '\u{202e}';
        assert!(!page.contains(control));
    }
}

/// Numbers that are no numbers, and no holes at all: a page all the same.
#[test]
fn broken_numbers_make_a_page() {
    for bad in [f64::NAN, f64::INFINITY, -1e308, 0.0] {
        let mut course = samples();
        for (plan, turns, _) in &mut course.holes {
            for plan in std::iter::once(plan).chain(turns) {
                plan.hole.pin.lat = bad;
                plan.hole.length_m = bad;
                plan.hole.line_of_play_deg = bad;
                plan.choice.shot.rest.lon = bad;
                plan.choice.shot.tee.lon = bad;
                plan.choice.shot.aim.bearing_deg = bad;
                plan.choice.shot.aim.distance_m = bad;
                plan.choice.shot.carry_m = bad;
                plan.choice.shot.expected_strokes = bad;
                plan.choice.two_way_miss.left = bad;
                plan.conditions.wind_from_deg = bad;
                plan.conditions.wind_m_s = bad;
                plan.alternatives.iter_mut().for_each(|a| a.costs = bad);
                plan.carries.iter_mut().for_each(|c| c.reach_m = bad);
            }
        }
        let page = phone::write(&course.book());
        assert_well_formed(&page);
        assert!(!page.contains("NaN") && !page.contains(">inf"));
    }
    let empty = Course {
        name: "Nothing".into(),
        holes: Vec::new(),
    };
    let page = write("empty", &empty.book());
    assert_well_formed(&page);
    assert!(page.contains("No hole was planned"));
}
