//! The palette, on paper and on the phone, as it is seen with each kind of
//! colour blindness and in grey print.
//!
//! Simulation: Machado, Oliveira & Fernandes, "A physiologically-based model
//! for simulation of color vision deficiency", IEEE TVCG 15(6) (2009),
//! 1291–1298, the matrices for severity 1.0, on linear sRGB (memory; that each
//! row adds to 1, so that greys stay grey, is checked). Grey: relative
//! luminance, as a grey printer driver takes it. Contrast: WCAG 2.2, 1.4.3,
//! 1.4.6 and 1.4.11. Colour difference: CIE 1976 L*a*b*, D65 (CIE 15:2004).

use bendline::draw::phone;
use bendline::draw::scene::{Colour, palette};
use std::collections::BTreeMap;

type Matrix = [[f64; 3]; 3];

const LUMINANCE: [f64; 3] = [0.2126, 0.7152, 0.0722];

/// How the page may be seen.
const SIGHTS: [(&str, Matrix); 5] = [
    (
        "all colours",
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    ),
    (
        "protanopia",
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ],
    ),
    (
        "deuteranopia",
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ],
    ),
    (
        "tritanopia",
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ],
    ),
    ("grey print", [LUMINANCE; 3]),
];

fn dot(a: &[f64; 3], b: &[f64; 3]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Linear light of a colour, through a matrix.
fn seen(colour: Colour, sight: &Matrix) -> [f64; 3] {
    let linear = colour.0.map(|v| {
        let v = f64::from(v) / 255.0;
        if v <= 0.04045 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    });
    sight.map(|row| dot(&row, &linear).clamp(0.0, 1.0))
}

fn contrast(a: Colour, b: Colour, sight: &Matrix) -> f64 {
    let [a, b] = [a, b].map(|c| dot(&LUMINANCE, &seen(c, sight)));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn difference(a: Colour, b: Colour, sight: &Matrix) -> f64 {
    let lab = |colour| {
        let rgb = seen(colour, sight);
        let x = dot(&[0.4124564, 0.3575761, 0.1804375], &rgb) / 0.95047;
        let y = dot(&LUMINANCE, &rgb);
        let z = dot(&[0.0193339, 0.1191920, 0.9503041], &rgb) / 1.08883;
        let f = |t: f64| {
            if t > 216.0 / 24389.0 {
                t.cbrt()
            } else {
                (24389.0 / 27.0 * t + 16.0) / 116.0
            }
        };
        let (x, y, z) = (f(x), f(y), f(z));
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    };
    let (a, b) = (lab(a), lab(b));
    a.iter()
        .zip(b)
        .map(|(x, y)| (x - y).powi(2))
        .sum::<f64>()
        .sqrt()
}

/// A set of colours by the names of the phone's style.
type Set = BTreeMap<String, Colour>;

fn paper() -> Set {
    [
        ("paper", palette::PAPER),
        ("ink", palette::INK),
        ("stone", palette::STONE),
        ("mist", palette::MIST),
        ("accent", palette::ACCENT),
        ("fairway", palette::FAIRWAY),
        ("fairway-edge", palette::FAIRWAY_EDGE),
        ("green", palette::GREEN),
        ("sand", palette::SAND),
        ("sand-edge", palette::SAND_EDGE),
        ("wood", palette::WOOD),
        ("wood-edge", palette::WOOD_EDGE),
        ("water", palette::WATER),
        ("red", palette::RED),
        ("yellow", palette::YELLOW),
    ]
    .map(|(name, colour)| (name.to_owned(), colour))
    .into()
}

/// The sets of the phone's style in the order they stand there: light, dark
/// as the phone asks for it, dark as the button does.
fn phone_sets() -> Vec<Set> {
    let mut sets: Vec<Set> = Vec::new();
    for part in phone::STYLE.split("--").skip(1) {
        let Some((name, rest)) = part.split_once(": #") else {
            continue;
        };
        let hex = rest.split(';').next().expect("its end");
        let wide: String = if hex.len() == 3 {
            hex.chars().flat_map(|c| [c, c]).collect()
        } else {
            hex.to_owned()
        };
        let byte = |k: usize| u8::from_str_radix(&wide[2 * k..2 * k + 2], 16).expect("hex");
        let colour = Colour([byte(0), byte(1), byte(2)]);
        if name == "paper" {
            sets.push(Set::new());
        }
        let set = sets.last_mut().expect("paper comes first");
        set.insert(name.to_owned(), colour);
    }
    sets
}

const GROUNDS: [&str; 6] = ["paper", "fairway", "green", "sand", "wood", "water"];

/// What must be told apart can be, in every sight.
fn assert_told_apart(name: &str, set: &Set) {
    for (sight, matrix) in &SIGHTS {
        let least = |a: &str, b: &str, most: f64| {
            let got = contrast(set[a], set[b], matrix);
            assert!(
                got >= most,
                "{name}, {sight}: {a} on {b} has a contrast of {got:.2}, {most} is needed"
            );
        };
        // Words and numbers, with or without their rim; second-rank words
        // stand on paper alone.
        least("stone", "paper", 4.5);
        for ground in GROUNDS {
            least("ink", ground, 4.5);
            // The shot, and the edge of a red penalty area, cross anything.
            least("accent", ground, 3.0);
            least("red", ground, 3.0);
        }
        least("ink", "paper", 7.0);
        // What is shown by its marks and not by its fill: sand by dots,
        // woods by crowns, penalty areas by dashes.
        least("sand-edge", "sand", 3.0);
        least("wood-edge", "wood", 3.0);
        least("stone", "water", 4.5);
        // The other surfaces differ in their fill.
        for (k, a) in ["paper", "fairway", "green", "wood"].iter().enumerate() {
            for b in ["paper", "fairway", "green", "wood"].iter().skip(k + 1) {
                let got = difference(set[*a], set[*b], matrix);
                assert!(
                    got >= 6.0,
                    "{name}, {sight}: {a} and {b} differ by {got:.1}"
                );
            }
        }
        let got = difference(set["red"], set["yellow"], matrix);
        assert!(got >= 15.0, "{name}, {sight}: red and yellow by {got:.1}");
    }
}

#[test]
fn simulations_keep_greys_grey() {
    for (name, matrix) in &SIGHTS {
        for row in matrix {
            assert!((row.iter().sum::<f64>() - 1.0).abs() < 2e-6, "{name}");
        }
    }
    // A red and a green of one lightness are far apart, and near in
    // deuteranopia: the simulation does something.
    let (red, green) = (Colour([190, 80, 80]), Colour([80, 130, 60]));
    let full = difference(red, green, &SIGHTS[0].1);
    let weak = difference(red, green, &SIGHTS[2].1);
    assert!(full > 70.0 && weak < 30.0, "{full} {weak}");
}

#[test]
fn the_palette_is_told_apart_by_everybody_and_in_grey() {
    assert_told_apart("paper", &paper());
    // A yellow line is lost on white: it has a rim of ink.
    for (sight, matrix) in &SIGHTS {
        let got = contrast(palette::YELLOW, palette::INK, matrix);
        assert!(got >= 7.0, "{sight}: {got}");
    }
}

#[test]
fn so_is_the_phones_in_light_and_dark() {
    let sets = phone_sets();
    assert_eq!(sets.len(), 4);
    for set in &sets {
        assert_eq!(set.len(), 15);
    }
    let mut light = sets[0].clone();
    // Second-rank words are darker there, for the sun.
    assert!(
        contrast(light["stone"], light["paper"], &SIGHTS[0].1)
            > contrast(palette::STONE, palette::PAPER, &SIGHTS[0].1)
    );
    light.insert("stone".into(), palette::STONE);
    assert_eq!(light, paper(), "light is the page's palette");
    assert_eq!(sets[1], sets[2], "dark is dark whoever asks for it");
    assert_eq!(sets[3], sets[0], "printed as in the light");
    assert_told_apart("phone, light", &sets[0]);
    assert_told_apart("phone, dark", &sets[1]);
    for set in &sets {
        for words in ["ink", "stone", "accent"] {
            let got = contrast(set[words], set["paper"], &SIGHTS[0].1);
            assert!(got >= 7.0, "{words}: {got}");
        }
    }
}
