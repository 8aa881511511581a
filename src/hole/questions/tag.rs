//! Tags that are not known and may mean a surface.
//!
//! A hazard under a misspelt value would be left out of the plan. A feature that nothing is read
//! of is looked at by its tags: a value that is a known one but for letter case and signs, one a
//! letter or two off ([`strsim::osa_distance`]), one of the names in [`MEANINGS`], or any unknown
//! `golf` value on a line or an area. What has a use of its own in OpenStreetMap (memory of its
//! wiki's pages on `golf`, `natural`, `landuse`, `leisure`, `water` and `waterway`) is let alone.

use super::super::geojson::Feature;
use super::super::positions::Shape;
use super::super::tags::{What, is_closed_line};
use super::ask;
use crate::diagnostic::{Question, Topic};

const WATER: &str = "golf=lateral_water_hazard (red) or golf=water_hazard (yellow)";
const SAND: &str = "golf=bunker";
const OUT: &str = "golf=out_of_bounds";
const WOOD: &str = "natural=wood";
const STREAM: &str = "waterway=stream (or river, canal, ditch, drain)";
/// Values of `waterway` that are read, or that lie under the ground: see `tags::what`.
const WATERWAYS: [&str; 8] = [
    "river",
    "stream",
    "tidal_channel",
    "canal",
    "ditch",
    "drain",
    "riverbank",
    "dock",
];

/// What golfers and mappers write, and the known tag for it. Names as [`squashed`] makes them.
const MEANINGS: &[(&str, &[&str])] = &[
    (
        WATER,
        &[
            "water",
            "waterhazard",
            "lateralwaterhazard",
            "pond",
            "lake",
            "loch",
            "lough",
            "reservoir",
            "lagoon",
            "creek",
            "stream",
            "brook",
            "burn",
            "river",
            "ditch",
            "canal",
            "basin",
            "fishpond",
            "waterbody",
            "waterfeature",
            "waterarea",
            "watertrap",
            "hazard",
            "penalty",
            "penaltyarea",
            "redpenaltyarea",
            "yellowpenaltyarea",
            "redstake",
            "yellowstake",
            "lateral",
            "lateralhazard",
            "lateralwater",
            "swamp",
            "marsh",
            "sea",
            "ocean",
        ],
    ),
    (
        SAND,
        &[
            "bunker",
            "sand",
            "sandtrap",
            "trap",
            "sandbunker",
            "fairwaybunker",
            "greensidebunker",
            "potbunker",
        ],
    ),
    (
        "golf=bunker or golf=rough",
        &["wastearea", "waste", "wastebunker"],
    ),
    (OUT, &["outofbound", "oob", "ob", "whitestake", "offcourse"]),
    (
        WOOD,
        &[
            "wood",
            "woodland",
            "forest",
            "tree",
            "treegroup",
            "copse",
            "grove",
        ],
    ),
    ("natural=tree_row", &["treerow", "treeline", "rowoftree"]),
    (
        "natural=scrub",
        &["scrub", "bush", "bushe", "gorse", "shrub", "thicket"],
    ),
    ("golf=fairway", &["fairway", "fwy"]),
    ("golf=green", &["green", "puttingsurface"]),
    (
        "golf=rough",
        &[
            "rough",
            "semirough",
            "firstcut",
            "lightrough",
            "heavyrough",
            "deeprough",
            "fescue",
            "nativearea",
        ],
    ),
    (
        "golf=tee",
        &[
            "tee",
            "teebox",
            "teeboxe",
            "teearea",
            "teeingarea",
            "teeingground",
        ],
    ),
    (
        "golf=pin",
        &["pin", "flag", "flagstick", "flagpole", "holelocation"],
    ),
    ("golf=hole", &["hole", "lineofplay", "holeline"]),
    ("bendline=tee_marker", &["teemarker"]),
    ("natural=coastline", &["coastline", "shoreline"]),
];

/// Keys that say what a feature is.
const MAIN: [&str; 7] = [
    "golf",
    "natural",
    "landuse",
    "leisure",
    "water",
    "waterway",
    "landcover",
];

/// Values of those with a use of their own that is no surface of play, as [`squashed`] makes them.
const LET_ALONE: &[(&str, &[&str])] = &[
    (
        "golf",
        &[
            "path",
            "cartpath",
            "buggypath",
            "footpath",
            "footway",
            "track",
            "bridge",
            "clubhouse",
            "proshop",
            "drivingrange",
            "range",
            "practice",
            "practicearea",
            "practiceground",
            "practicegreen",
            "practicetee",
            "puttinggreen",
            "puttingarea",
            "puttingcourse",
            "chippinggreen",
            "chippingarea",
            "pitchinggreen",
            "shortgamearea",
            "teachingarea",
            "practicebunker",
            "shelter",
            "bench",
            "toilet",
            "restroom",
            "ballwasher",
            "ballcleaner",
            "drinkingwater",
            "waterfountain",
            "waterstation",
            "watercooler",
            "halfwayhouse",
            "snackbar",
            "restarea",
            "bell",
            "sign",
            "teesign",
            "marker",
            "yardagemarker",
            "distancemarker",
            "bagdrop",
            "parking",
            "cartparking",
            "nursery",
            "turfnursery",
            "maintenance",
            "course",
            "golfcourse",
            "ye",
            "no",
        ],
    ),
    (
        "natural",
        &[
            "gras",
            "grassland",
            "heath",
            "moor",
            "meadow",
            "barerock",
            "rock",
            "stone",
            "scree",
            "shingle",
            "cliff",
            "ridge",
            "arete",
            "peak",
            "valley",
            "saddle",
            "hill",
            "spring",
            "hotspring",
            "geyser",
            "cave",
            "caveentrance",
            "beach",
            "mud",
            "land",
            "earthbank",
            "shrubbery",
            "fell",
            "tundra",
            "glacier",
            "desert",
            "dune",
            "isthmu",
            "peninsula",
            "cape",
            "volcano",
            "sinkhole",
            "reef",
            "shoal",
            "hedge",
            "plant",
            "treestump",
            "flowerbed",
            "garden",
            "gully",
            "soil",
            "wetland",
        ],
    ),
    (
        "landuse",
        &[
            "gras",
            "meadow",
            "residential",
            "farmland",
            "farmyard",
            "farm",
            "field",
            "recreationground",
            "villagegreen",
            "greenfield",
            "brownfield",
            "basin",
            "orchard",
            "vineyard",
            "plantnursery",
        ],
    ),
    (
        "leisure",
        &[
            "golfcourse",
            "pitch",
            "park",
            "garden",
            "track",
            "swimmingpool",
            "swimmingarea",
            "marina",
            "fishing",
            "common",
            "miniaturegolf",
        ],
    ),
    ("water", &["no", "none"]),
    (
        "waterway",
        &[
            "dam",
            "weir",
            "lockgate",
            "lock",
            "waterfall",
            "boatyard",
            "fuel",
            "sluicegate",
            "turningpoint",
            "waterpoint",
            "sanitarydumpstation",
            "pressurised",
            "soakhole",
            "spillway",
            "fairway",
            "fishpas",
            "link",
            "pipeline",
        ],
    ),
    ("landcover", &["gras", "flower", "gravel"]),
];

/// Keys that make a feature something else: its other tags are not guessed at.
const OTHER_THINGS: [&str; 17] = [
    "highway",
    "building",
    "building:part",
    "barrier",
    "power",
    "railway",
    "amenity",
    "man_made",
    "boundary",
    "place",
    "tourism",
    "shop",
    "office",
    "aeroway",
    "historic",
    "route",
    "public_transport",
];

/// Keys whose values describe.
const DESCRIPTIVE: [&str; 27] = [
    "name",
    "alt_name",
    "old_name",
    "loc_name",
    "official_name",
    "short_name",
    "note",
    "description",
    "comment",
    "fixme",
    "title",
    "label",
    "source",
    "operator",
    "surface",
    "ref",
    "id",
    "@id",
    "fill",
    "stroke",
    "material",
    "tee",
    "leaf_type",
    "species",
    "genus",
    "taxon",
    "sport",
];

/// A tag that may mean a surface.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Suspicion {
    key: String,
    value: String,
    /// The known tag that is nearest, where one is near.
    meaning: Option<&'static str>,
}

/// A question about one tag, with the features that have it.
#[derive(Clone, Debug)]
pub(in super::super) struct Suspect {
    /// Indices of the features.
    pub features: Vec<usize>,
    pub question: Question,
}

/// Every tag of a file that may mean a surface and is not read.
pub(in super::super) fn suspects(file: &str, features: &[Feature], what: &[What]) -> Vec<Suspect> {
    let mut found: Vec<(Suspicion, Vec<usize>)> = Vec::new();
    for (at, feature) in features.iter().enumerate() {
        if !matches!(what[at], What::Aside | What::Unknown) || matches!(feature.shape, Shape::None)
        {
            continue;
        }
        let Some(suspicion) = suspicion(feature) else {
            continue;
        };
        match found.iter_mut().find(|each| each.0 == suspicion) {
            Some(each) => each.1.push(at),
            None => found.push((suspicion, vec![at])),
        }
    }
    found
        .into_iter()
        .map(|(tag, at)| Suspect {
            question: question(file, features, &tag, &at),
            features: at,
        })
        .collect()
}

fn question(file: &str, features: &[Feature], tag: &Suspicion, at: &[usize]) -> Question {
    const SHOWN: usize = 3;
    let ids: Vec<&str> = at.iter().map(|&at| features[at].id.as_str()).collect();
    let more = match ids.len().saturating_sub(SHOWN) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let features_words = if at.len() == 1 { "feature" } else { "features" };
    let (expected, remedy) = match tag.meaning {
        Some(meaning) => (
            format!("a tag that is known; the nearest is {meaning}"),
            format!("write {meaning} on it, or take the tag off"),
        ),
        None => (
            "a golf value that is known: fairway, green, bunker, rough, tee, water_hazard, \
             lateral_water_hazard or out_of_bounds on a line or an area"
                .to_string(),
            "write one of these on it, or take the tag off".to_string(),
        ),
    };
    ask(
        Topic::MapTag,
        file,
        &features[at[0]].place,
        &expected,
        format!(
            "{}={} on {} {features_words} ({}{more}), within reach of a ball and not read",
            tag.key,
            tag.value,
            at.len(),
            ids[..ids.len().min(SHOWN)].join(", "),
        ),
        &remedy,
    )
}

/// Letters and digits in lower case, without the last plural.
fn squashed(text: &str) -> String {
    let mut plain: String = text
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect();
    if plain.len() > 2 && plain.ends_with('s') {
        plain.pop();
    }
    plain
}

/// The known tag that a name stands for.
fn meaning(squashed: &str) -> Option<&'static str> {
    MEANINGS
        .iter()
        .find(|(_, names)| names.contains(&squashed))
        .map(|(tag, _)| *tag)
}

/// The known tag whose name is a letter or two off.
fn nearly(squashed: &str) -> Option<&'static str> {
    let length = squashed.chars().count();
    let allowed = match length {
        0..=3 => return None,
        4..=6 => 1,
        _ => 2,
    };
    MEANINGS
        .iter()
        .flat_map(|(tag, names)| names.iter().map(move |name| (*tag, *name)))
        .filter(|(_, name)| name.len() > 3 && name.len().abs_diff(squashed.len()) <= allowed)
        .map(|(tag, name)| (strsim::osa_distance(name, squashed), tag))
        .filter(|(off, _)| *off <= allowed)
        .min_by_key(|(off, _)| *off)
        .map(|(_, tag)| tag)
}

/// The known tag that a word in a longer value stands for: "front_bunker", "pond 2".
fn by_word(value: &str) -> Option<&'static str> {
    value
        .split(|c: char| !c.is_alphanumeric())
        .map(|word| squashed(word.trim_end_matches(|c: char| c.is_ascii_digit())))
        .find_map(|word| meaning(&word))
}

fn let_alone(key: &str, squashed: &str) -> bool {
    LET_ALONE
        .iter()
        .any(|(of, values)| *of == key && values.contains(&squashed))
}

/// A waterway as it is read, or one under the ground, however it is spelt.
fn is_waterway(feature: &Feature, value: &str) -> bool {
    let tunnel = feature.tag("tunnel").is_some_and(|value| value != "no");
    tunnel || feature.tag("location") == Some("underground") || WATERWAYS.contains(&value)
}

fn nearly_waterway(plain: &str) -> Option<&'static str> {
    WATERWAYS.into_iter().find(|known| {
        let known = squashed(known);
        known == plain || (known.len() > 3 && strsim::osa_distance(&known, plain) <= 1)
    })
}

fn suspicion(feature: &Feature) -> Option<Suspicion> {
    let found = |key: &str, value: &str, meaning| Suspicion {
        key: key.to_string(),
        value: value.to_string(),
        meaning: match (meaning, &feature.shape) {
            (Some(WOOD), Shape::Points(_)) => Some("natural=tree"),
            (Some(WOOD), Shape::Lines(_)) if !is_closed_line(&feature.shape) => {
                Some("natural=tree_row")
            }
            (meaning, _) => meaning,
        },
    };
    let drawn = matches!(feature.shape, Shape::Lines(_) | Shape::Areas(_));
    let open_line = matches!(feature.shape, Shape::Lines(_)) && !is_closed_line(&feature.shape);
    let other = OTHER_THINGS
        .iter()
        .any(|key| feature.tag(key).is_some_and(|value| value != "no"))
        || feature.tag("leisure").is_some();
    for main in MAIN {
        for (key, value) in &feature.tags {
            if !key.trim().eq_ignore_ascii_case(main) {
                continue;
            }
            let plain = squashed(value);
            if let_alone(main, &plain) || (key == "waterway" && is_waterway(feature, value)) {
                continue;
            }
            let near = meaning(&plain).or_else(|| nearly(&plain));
            let near = match main {
                "golf" | "natural" => near.or_else(|| by_word(value)),
                // The sub-tag of natural=water, alone.
                "water" if other => None,
                "water" if drawn => Some(WATER),
                "waterway" if open_line => near.or_else(|| nearly_waterway(&plain)).map(|_| STREAM),
                _ => near,
            };
            if near.is_some() || (main == "golf" && drawn) {
                return Some(found(key, value, near));
            }
        }
    }
    if other {
        return None;
    }
    for (key, value) in &feature.tags {
        let known = MAIN
            .iter()
            .any(|main| key.trim().eq_ignore_ascii_case(main));
        let base = key.split(':').next().unwrap_or(key);
        let colour = base.contains("color") || base.contains("colour");
        if known || colour || key.starts_with('@') || DESCRIPTIVE.contains(&base) {
            continue;
        }
        let affirmed = ["yes", "true", "1"].contains(&value.as_str());
        let meant = if affirmed {
            meaning(&squashed(key))
        } else {
            meaning(&squashed(value))
        };
        if meant.is_some() {
            return Some(found(key, value, meant));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Place;
    use crate::hole::positions::LonLatHeight;

    fn meant(tags: &[(&str, &str)]) -> Option<Option<&'static str>> {
        meant_of(tags, |at| Shape::Areas(vec![vec![vec![at; 4]]]))
    }

    fn meant_of(
        tags: &[(&str, &str)],
        shape: impl Fn(LonLatHeight) -> Shape,
    ) -> Option<Option<&'static str>> {
        let at = LonLatHeight {
            lon: 0.0,
            lat: 0.0,
            height_m: None,
        };
        let feature = Feature {
            place: Place::File,
            id: "a".into(),
            tags: tags
                .iter()
                .map(|(k, v)| ((*k).to_string(), (*v).to_string()))
                .collect(),
            shape: shape(at),
        };
        suspicion(&feature).map(|found| found.meaning)
    }

    #[test]
    fn names_that_golfers_and_mappers_write() {
        for (key, value, tag) in [
            ("golf", "water", WATER),
            ("golf", "Pond", WATER),
            ("natural", "lake", WATER),
            ("natural", "Water", WATER),
            ("natural", "reservoir", WATER),
            ("landuse", "pond", WATER),
            ("water", "lake", WATER),
            ("waterway", "brook", WATER),
            ("golf", "lateral-water-hazard", WATER),
            ("golf", "lateral_water_hazzard", WATER),
            ("golf", "waterhazard", WATER),
            ("golf", "pond 2", WATER),
            ("golf", "penalty area", WATER),
            ("golf", "Bunker", SAND),
            ("golf", "bunkers", SAND),
            ("golf", "buncker", SAND),
            ("golf", "sand_trap", SAND),
            ("Golf", "bunker", SAND),
            ("type", "bunker", SAND),
            ("bunker", "yes", SAND),
            ("golf", "OB", OUT),
            ("golf", "out of bounds", OUT),
            ("golf", "O.B.", OUT),
            ("golf", "trees", WOOD),
            ("natural", "woods", WOOD),
            ("landuse", "Forest", WOOD),
            ("landcover", "trees", WOOD),
            ("golf", "fairways", "golf=fairway"),
            ("golf", "teebox", "golf=tee"),
        ] {
            assert_eq!(meant(&[(key, value)]), Some(Some(tag)), "{key}={value}");
        }
        assert_eq!(meant(&[("golf", "xyzzy")]), Some(None));
    }

    #[test]
    fn a_line_of_water_is_offered_a_waterway() {
        let line = |value: &str| {
            meant_of(&[("waterway", value)], |at| {
                let east = LonLatHeight { lon: 1.0, ..at };
                Shape::Lines(vec![vec![at, east]])
            })
        };
        for value in [
            "Stream", "STREAM", "brook", "creek", "Ditch", "streem", "burn", "River",
        ] {
            assert_eq!(line(value), Some(Some(STREAM)), "{value}");
        }
        for value in ["stream", "river", "tidal_channel", "weir", "dam"] {
            assert_eq!(line(value), None, "{value}");
        }
    }

    #[test]
    fn what_has_a_use_of_its_own_is_let_alone() {
        for (key, value) in [
            ("golf", "cartpath"),
            ("golf", "drinking_water"),
            ("golf", "practice_green"),
            ("highway", "path"),
            ("building", "yes"),
            ("natural", "grassland"),
            ("natural", "bare_rock"),
            ("natural", "wetland"),
            ("landuse", "grass"),
            ("landuse", "village_green"),
            ("leisure", "swimming_pool"),
            ("waterway", "dam"),
            ("barrier", "ditch"),
            ("man_made", "water_tower"),
            ("name", "Pond"),
            ("surface", "sand"),
            ("amenity", "bench"),
        ] {
            assert_eq!(meant(&[(key, value)]), None, "{key}={value}");
        }
        assert_eq!(meant(&[("highway", "track"), ("kind", "water")]), None);
        assert_eq!(
            meant(&[("leisure", "swimming_pool"), ("water", "basin")]),
            None
        );
    }
}
