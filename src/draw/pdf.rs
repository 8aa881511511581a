//! Scene to PDF.
//!
//! PDF 1.7 (ISO 32000-1:2008) by krilla: the same nodes as the SVG, the fonts
//! embedded and subset, texts written as texts so that they can be searched
//! and copied. No date and no random identifier goes in: the same sheets give
//! the same bytes.
//!
//! The fonts are Liberation Sans Regular and Bold 2.1.5 under the SIL Open
//! Font License 1.1 ([`FONT_LICENCE`]). They have the metrics of Helvetica, so
//! that a page has the same measure in both forms, and every letter is
//! narrower than its box (see [`super::text`]). A letter that they lack is
//! drawn as a hollow box; what it says can still be copied.

use super::scene::{self, Anchor, Colour, Fill, Node, Point, Run, Step, Stroke, Text};
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{self, FillRule, LineCap, LineJoin, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};
use skrifa::MetadataProvider;
use skrifa::instance::{LocationRef, Size};

/// The licence of the embedded fonts.
pub const FONT_LICENCE: &str = include_str!("fonts/OFL.txt");
pub(super) const REGULAR: &[u8] = include_bytes!("fonts/LiberationSans-Regular.ttf");
pub(super) const BOLD: &[u8] = include_bytes!("fonts/LiberationSans-Bold.ttf");

/// PDF points in a tenth of a millimetre.
const POINTS: f64 = 72.0 / 254.0;

/// One sheet of paper.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Width and height, tenths of a millimetre.
    pub size: Point,
    /// What is on it: where its origin lies, and its nodes.
    pub parts: Vec<(Point, Vec<Node>)>,
    /// Its name in the table of contents; none for a sheet that has none.
    pub name: Option<String>,
}

/// What a document says of itself.
#[derive(Clone, Debug)]
pub struct About {
    /// Its title.
    pub title: String,
    /// Who it is for; none where nobody is named.
    pub player: Option<String>,
}

/// A document could not be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the PDF could not be made: {0}")]
pub struct NoPdf(String);

/// A font, as krilla embeds it and as it is measured.
struct Face {
    font: Font,
    measured: skrifa::FontRef<'static>,
}

impl Face {
    fn read(bytes: &'static [u8]) -> Result<Self, NoPdf> {
        let broken = || NoPdf("an embedded font cannot be read".into());
        Ok(Self {
            font: Font::new(bytes.to_vec().into(), 0).ok_or_else(broken)?,
            measured: skrifa::FontRef::new(bytes).map_err(|_| broken())?,
        })
    }

    /// The glyphs of a line and their width, as a share of the font size.
    fn set(&self, words: &str) -> (Vec<KrillaGlyph>, f64) {
        let letters = self.measured.charmap();
        let metrics = self
            .measured
            .glyph_metrics(Size::unscaled(), LocationRef::default());
        let em = self.font.units_per_em();
        let mut width = 0.0;
        let glyphs = words
            .char_indices()
            .map(|(at, letter)| {
                let glyph = letters.map(letter).unwrap_or_default();
                let advance = metrics.advance_width(glyph).unwrap_or(0.0) / em;
                width += f64::from(advance);
                KrillaGlyph::new(
                    GlyphId::new(glyph.to_u32()),
                    advance,
                    0.0,
                    0.0,
                    0.0,
                    at..at + letter.len_utf8(),
                    None,
                )
            })
            .collect();
        (glyphs, width)
    }
}

struct Faces {
    regular: Face,
    bold: Face,
}

/// The letters among `words` that a font of the document lacks, each once, in
/// the order met: they are drawn as hollow boxes.
#[must_use]
pub fn boxed<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let faces: Vec<_> = [REGULAR, BOLD]
        .into_iter()
        .filter_map(|bytes| skrifa::FontRef::new(bytes).ok())
        .map(|face| face.charmap())
        .collect();
    let mut out = String::new();
    for letter in words.into_iter().flat_map(str::chars) {
        let lacks = faces.iter().any(|face| face.map(letter).is_none());
        if lacks && !out.contains(letter) {
            out.push(letter);
        }
    }
    out
}

/// The bytes of a document.
///
/// # Errors
/// When a sheet has no size, or the writer refuses what is on it.
pub fn write(about: &About, sheets: &[Sheet]) -> Result<Vec<u8>, NoPdf> {
    let faces = Faces {
        regular: Face::read(REGULAR)?,
        bold: Face::read(BOLD)?,
    };
    let mut document = Document::new_with(SerializeSettings {
        // Tags without a reading structure behind them would only mislead.
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    let mut metadata = Metadata::new()
        .title(about.title.clone())
        .creator("bendline".into())
        .language("en".into());
    if let Some(player) = &about.player {
        metadata = metadata.description(format!("Tee shots for {player}"));
    }
    document.set_metadata(metadata);
    let mut contents = Outline::new();
    for (index, sheet) in sheets.iter().enumerate() {
        let [width, height] = sheet.size.map(|side| (side * POINTS) as f32);
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| NoPdf(format!("sheet {} has no size", index + 1)))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for (origin, nodes) in &sheet.parts {
            let scale = POINTS as f32;
            surface.push_transform(&Transform::from_row(
                scale,
                0.0,
                0.0,
                scale,
                (origin[0] * POINTS) as f32,
                (origin[1] * POINTS) as f32,
            ));
            draw_all(&mut surface, nodes, &faces);
            surface.pop();
        }
        surface.finish();
        page.finish();
        if let Some(name) = &sheet.name {
            let top = XyzDestination::new(index, krilla::geom::Point::from_xy(0.0, 0.0));
            contents.push_child(OutlineNode::new(name.clone(), top));
        }
    }
    document.set_outline(contents);
    document
        .finish()
        .map_err(|error| NoPdf(format!("{error:?}")))
}

/// Draws nodes in order. Plain discs of one colour that follow one another become
/// one path.
fn draw_all(surface: &mut Surface<'_>, nodes: &[Node], faces: &Faces) {
    let mut rest = nodes;
    while let Some(first) = rest.first() {
        let alike = rest
            .iter()
            .take_while(|node| dot(node).is_some() && dot(node) == dot(first));
        let many = alike.count();
        if many < 2 {
            draw(surface, first, faces);
            rest = &rest[1..];
            continue;
        }
        let (dots, others) = rest.split_at(many);
        let steps: Vec<Step> = dots
            .iter()
            .flat_map(|node| match node {
                Node::Circle { at, radius, .. } => circle(*at, radius.max(0.0)),
                _ => Vec::new(),
            })
            .collect();
        if let (Some(colour), Some(path)) = (dot(first), path(&steps)) {
            // Two dots that touch are both full: not the even-odd rule.
            surface.set_fill(Some(filled(Fill::of(colour), FillRule::NonZero)));
            surface.set_stroke(None);
            surface.draw_path(&path);
        }
        rest = others;
    }
}

/// The colour of an opaque disc without an edge and without a name.
fn dot(node: &Node) -> Option<Colour> {
    match node {
        Node::Circle {
            id: None,
            fill: Some(fill),
            stroke: None,
            ..
        } if fill.opacity >= 1.0 => Some(fill.colour),
        _ => None,
    }
}

fn draw(surface: &mut Surface<'_>, node: &Node, faces: &Faces) {
    match node {
        Node::Path {
            steps,
            fill,
            stroke,
        } => shape(surface, steps, *fill, *stroke),
        Node::Circle {
            at,
            radius,
            fill,
            stroke,
            ..
        } => shape(surface, &circle(*at, radius.max(0.0)), *fill, *stroke),
        Node::Stipple { steps, colour } => strew(surface, steps, *colour),
        Node::Text(text) => words(surface, text, faces),
        Node::Group { clip, nodes, .. } => {
            let cut = clip.as_ref().map(|steps| path(steps));
            match cut {
                // Cut to nothing: nothing is seen.
                Some(None) => return,
                Some(Some(cut)) => surface.push_clip_path(&cut, &FillRule::NonZero),
                None => {}
            }
            draw_all(surface, nodes, faces);
            if clip.is_some() {
                surface.pop();
            }
        }
    }
}

/// A circle by four cubics: out of round by less than 0.03 % of the radius
/// (the usual constant, 4(√2 − 1)/3).
#[must_use]
pub fn circle(at: Point, radius: f64) -> Vec<Step> {
    let arm = radius * 4.0 * (2.0_f64.sqrt() - 1.0) / 3.0;
    let on = |x: f64, y: f64| [at[0] + x, at[1] + y];
    vec![
        Step::Move(on(radius, 0.0)),
        Step::Cubic(on(radius, arm), on(arm, radius), on(0.0, radius)),
        Step::Cubic(on(-arm, radius), on(-radius, arm), on(-radius, 0.0)),
        Step::Cubic(on(-radius, -arm), on(-arm, -radius), on(0.0, -radius)),
        Step::Cubic(on(arm, -radius), on(radius, -arm), on(radius, 0.0)),
        Step::Close,
    ]
}

/// A coordinate as a PDF takes it: what is not finite is 0, as in the SVG.
fn number(value: f64) -> f32 {
    if value.is_finite() {
        // Two decimals, as in the SVG: a thousandth of a millimetre.
        ((value * 100.0).round() / 100.0) as f32
    } else {
        0.0
    }
}

fn path(steps: &[Step]) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for step in steps {
        match step {
            Step::Move(p) => builder.move_to(number(p[0]), number(p[1])),
            Step::Line(p) => builder.line_to(number(p[0]), number(p[1])),
            Step::Cubic(a, b, c) => builder.cubic_to(
                number(a[0]),
                number(a[1]),
                number(b[0]),
                number(b[1]),
                number(c[0]),
                number(c[1]),
            ),
            Step::Close => builder.close(),
        }
    }
    builder.finish()
}

fn colour(colour: Colour) -> paint::Paint {
    let [red, green, blue] = colour.0;
    rgb::Color::new(red, green, blue).into()
}

fn share(value: f64) -> NormalizedF32 {
    NormalizedF32::new(value.clamp(0.0, 1.0) as f32).unwrap_or(NormalizedF32::ONE)
}

fn filled(fill: Fill, rule: FillRule) -> paint::Fill {
    paint::Fill {
        paint: colour(fill.colour),
        opacity: share(fill.opacity),
        rule,
    }
}

fn stroked(stroke: Stroke) -> paint::Stroke {
    paint::Stroke {
        paint: colour(stroke.colour),
        width: number(stroke.width),
        line_cap: LineCap::Round,
        line_join: LineJoin::Round,
        opacity: share(stroke.opacity),
        dash: stroke.dash.map(|dash| StrokeDash {
            array: dash.map(number).to_vec(),
            offset: 0.0,
        }),
        ..paint::Stroke::default()
    }
}

fn shape(surface: &mut Surface<'_>, steps: &[Step], fill: Option<Fill>, stroke: Option<Stroke>) {
    if fill.is_none() && stroke.is_none() {
        return;
    }
    let Some(path) = path(steps) else {
        return;
    };
    surface.set_fill(fill.map(|fill| filled(fill, FillRule::EvenOdd)));
    surface.set_stroke(stroke.map(stroked));
    surface.draw_path(&path);
}

/// Fills an area with the tile of dots, which a document holds once for a place
/// of its origin.
fn strew(surface: &mut Surface<'_>, steps: &[Step], dots: Colour) {
    let Some(outline) = path(steps) else {
        return;
    };
    let mut builder = surface.stream_builder();
    let mut tile = builder.surface();
    let discs: Vec<Step> = scene::stipple()
        .into_iter()
        .flat_map(|(at, radius)| circle(at, radius))
        .collect();
    if let Some(discs) = path(&discs) {
        tile.set_fill(Some(filled(Fill::of(dots), FillRule::NonZero)));
        tile.set_stroke(None);
        tile.draw_path(&discs);
    }
    tile.finish();
    let pattern = paint::Pattern {
        stream: builder.finish(),
        transform: Transform::identity(),
        width: scene::TILE as f32,
        height: scene::TILE as f32,
    };
    surface.set_fill(Some(paint::Fill {
        paint: pattern.into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::EvenOdd,
    }));
    surface.set_stroke(None);
    surface.draw_path(&outline);
}

fn words(surface: &mut Surface<'_>, text: &Text, faces: &Faces) {
    let first = Run {
        words: text.words.clone(),
        size: text.size,
        bold: text.bold,
        colour: text.colour,
    };
    let mut runs = Vec::with_capacity(1 + text.tail.len());
    let mut x = text.at[0];
    for (index, run) in std::iter::once(&first).chain(&text.tail).enumerate() {
        let face = if run.bold {
            &faces.bold
        } else {
            &faces.regular
        };
        let (glyphs, width) = face.set(&run.words);
        if index == 0 {
            x -= match text.anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => width * run.size / 2.0,
                Anchor::End => width * run.size,
            };
        } else {
            x += run.size * 0.5;
        }
        runs.push((run, face, glyphs, x));
        x += width * run.size;
    }
    // The rim goes below all of the line, and as outlines: a text that stands
    // twice would be copied twice.
    if text.halo {
        let rim = Stroke::of(super::scene::palette::PAPER, text.size * scene::RIM);
        surface.set_fill(None);
        for (run, face, glyphs, x) in &runs {
            surface.set_stroke(Some(stroked(rim)));
            let start = krilla::geom::Point::from_xy(number(*x), number(text.at[1]));
            let size = number(run.size);
            surface.draw_glyphs(start, glyphs, face.font.clone(), &run.words, size, true);
        }
    }
    surface.set_stroke(None);
    for (run, face, glyphs, x) in &runs {
        surface.set_fill(Some(filled(Fill::of(run.colour), FillRule::NonZero)));
        let start = krilla::geom::Point::from_xy(number(*x), number(text.at[1]));
        let size = number(run.size);
        surface.draw_glyphs(start, glyphs, face.font.clone(), &run.words, size, false);
    }
}

#[cfg(test)]
mod tests {
    use super::super::text;
    use super::*;

    #[test]
    fn every_letter_is_narrower_than_its_box() {
        let mut wider = Vec::new();
        for (bytes, bold) in [(REGULAR, false), (BOLD, true)] {
            let face = Face::read(bytes).unwrap();
            for letter in (' '..='~').chain("·–°±’…≈×−→éüÖñ½¼\u{a0}".chars())
            {
                let (_, width) = face.set(&letter.to_string());
                let room = text::width(&letter.to_string(), 1.0, bold);
                if width > room + 0.001 {
                    wider.push((letter, bold, width, room));
                }
            }
        }
        assert!(wider.is_empty(), "{wider:?}");
    }

    #[test]
    fn letters_without_a_glyph_are_named_once() {
        let plain = "Löwe, Ærø, Čáp, Αθήνα, Москва · 4–5° ± ½ ’…→";
        assert_eq!(boxed([plain]), "");
        assert_eq!(boxed(["第1番", "番ホール 🏌"]), "第番ホール🏌");
    }

    #[test]
    fn what_is_not_a_number_makes_no_panic() {
        let node = Node::Circle {
            id: None,
            at: [f64::NAN, f64::INFINITY],
            radius: f64::NAN,
            fill: None,
            stroke: Some(Stroke::of(super::super::scene::palette::INK, f64::NAN)),
        };
        let sheet = Sheet {
            size: [100.0, 100.0],
            parts: vec![([0.0, 0.0], vec![node])],
            name: None,
        };
        let about = About {
            title: String::new(),
            player: None,
        };
        assert!(write(&about, &[sheet]).is_ok());
        let none = Sheet {
            size: [0.0, 0.0],
            parts: Vec::new(),
            name: None,
        };
        assert!(write(&about, &[none]).is_err());
    }
}
