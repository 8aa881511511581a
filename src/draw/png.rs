//! SVG to PNG, by resvg, with the book's fonts: no font of the machine is asked for.

use super::pdf::{BOLD, REGULAR};
use resvg::{tiny_skia, usvg};

/// A picture could not be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the picture could not be made: {0}")]
pub struct NoPicture(String);

/// A page's SVG as a PNG of a width in pixels.
///
/// # Errors
/// When the text is no SVG, or the picture would have no pixel or too many.
pub fn write(svg: &str, width_px: u32) -> Result<Vec<u8>, NoPicture> {
    let mut options = usvg::Options::default();
    for font in [REGULAR, BOLD] {
        options.fontdb_mut().load_font_data(font.to_vec());
    }
    let tree = usvg::Tree::from_str(svg, &options).map_err(|e| NoPicture(e.to_string()))?;
    let zoom = width_px as f32 / tree.size().width();
    let height_px = (tree.size().height() * zoom).ceil() as u32;
    let mut picture = tiny_skia::Pixmap::new(width_px, height_px)
        .ok_or_else(|| NoPicture(format!("{width_px} × {height_px} pixels")))?;
    let transform = tiny_skia::Transform::from_scale(zoom, zoom);
    resvg::render(&tree, transform, &mut picture.as_mut());
    picture
        .encode_png()
        .map_err(|error| NoPicture(error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::super::scene::{self, Anchor, Fill, Node, Text, palette};
    use super::super::svg;
    use super::*;

    /// A sheet of 100 × 50 mm: a square of 20 mm in one corner, sand in the
    /// other, a word between them.
    fn sheet() -> String {
        let nodes = [
            Node::Path {
                steps: scene::rectangle(0.0, 0.0, 1000.0, 500.0),
                fill: Some(Fill::of(palette::PAPER)),
                stroke: None,
            },
            Node::Path {
                steps: scene::rectangle(0.0, 0.0, 200.0, 200.0),
                fill: Some(Fill::of(palette::ACCENT)),
                stroke: None,
            },
            Node::Stipple {
                steps: scene::rectangle(800.0, 0.0, 200.0, 500.0),
                colour: palette::SAND_EDGE,
            },
            Node::Text(Text {
                at: [300.0, 300.0],
                words: "Driver".into(),
                size: 120.0,
                bold: true,
                colour: palette::INK,
                anchor: Anchor::Start,
                halo: false,
                tail: Vec::new(),
            }),
        ];
        svg::write([1000.0, 500.0], "A sheet", &nodes)
    }

    /// Read back by the PNG decoder: colours where they were drawn, letters
    /// without any font of the machine, dots of sand as dense as their tile.
    #[test]
    fn a_picture_shows_what_was_drawn() {
        let bytes = write(&sheet(), 1000).expect("a picture");
        assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"));
        let picture = tiny_skia::Pixmap::decode_png(&bytes).expect("a PNG");
        assert_eq!((picture.width(), picture.height()), (1000, 500));
        let at = |x: u32, y: u32| {
            let p = picture.pixel(x, y).expect("inside");
            [p.red(), p.green(), p.blue()]
        };
        assert_eq!(at(100, 100), palette::ACCENT.0);
        assert_eq!(at(100, 400), palette::PAPER.0);
        let share = |from: [u32; 2], to: [u32; 2]| {
            let pixels = (from[0]..to[0]).flat_map(|x| (from[1]..to[1]).map(move |y| (x, y)));
            let dark = |p: &(u32, u32)| u32::from(at(p.0, p.1)[1]) < 180;
            let all = (to[0] - from[0]) * (to[1] - from[1]);
            pixels.filter(dark).count() as f64 / f64::from(all)
        };
        // "Driver" at 120: about a third of its box is ink.
        let letters = share([300, 210], [690, 302]);
        assert!((0.2..0.5).contains(&letters), "{letters}");
        let tile = scene::TILE * scene::TILE;
        let dots = scene::stipple();
        let inside = |p: [f64; 2]| p.iter().all(|v| (0.0..scene::TILE).contains(v));
        let area: f64 = dots
            .iter()
            .filter(|dot| inside(dot.0))
            .map(|dot| std::f64::consts::PI * dot.1 * dot.1)
            .sum();
        let sand = share([800, 0], [1000, 500]);
        let wanted = area / tile;
        assert!((sand / wanted - 1.0).abs() < 0.4, "{sand}, {wanted}");
    }

    #[test]
    fn the_same_drawing_gives_the_same_bytes() {
        assert_eq!(write(&sheet(), 400), write(&sheet(), 400));
    }

    #[test]
    fn what_is_no_drawing_and_what_has_no_pixels_are_errors() {
        assert!(write("no picture", 100).is_err());
        assert!(write(&sheet(), 0).is_err());
    }
}
