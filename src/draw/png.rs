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
