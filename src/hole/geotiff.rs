//! A GeoTIFF's heights, and where they lie.
//!
//! OGC GeoTIFF 1.1 (19-008r4): the image by the `tiff` crate; place and
//! coordinate system by the tags ModelPixelScale, ModelTiepoint or
//! ModelTransformation and the keys of the GeoKeyDirectory.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::io::{Cursor, ErrorKind};

use tiff::TiffError;
use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;

use super::raster::{Findings, Grid, MOST_CELLS, too_many};
use crate::diagnostic::{Place, printable};
use crate::units::FOOT_M;

/// Keys of the directory (OGC 19-008r4, annex B).
const RASTER_TYPE: u16 = 1025;
const GEODETIC_CRS: u16 = 2048;
const PROJECTED_CRS: u16 = 3072;
const VERTICAL_UNITS: u16 = 4099;
/// The coordinate is that of the cell's middle, not of its corner.
const PIXEL_IS_POINT: u16 = 2;
/// "Defined by other keys".
const USER_DEFINED: u16 = 32_767;
/// EPSG units: metre, foot, US survey foot.
const UNITS_M: [(u16, f64); 3] = [(9001, 1.0), (9002, FOOT_M), (9003, 1200.0 / 3937.0)];

/// The grid, and the code of its coordinate system where the file names one.
pub(super) fn read(out: &mut Findings<'_>, bytes: &[u8]) -> (Option<Grid>, Option<String>) {
    match read_image(out, bytes) {
        Ok(found) => found,
        Err(error) => {
            out.add(
                Place::File,
                "a GeoTIFF with one height a cell, uncompressed or with LZW or Deflate",
                match &error {
                    TiffError::IoError(cut) if cut.kind() == ErrorKind::UnexpectedEof => {
                        "a file that ends too early".to_owned()
                    }
                    _ => printable(&error.to_string()),
                },
                "export it again in this form, or as an ESRI ASCII grid",
            );
            (None, None)
        }
    }
}

type Found = (Option<Grid>, Option<String>);

fn read_image(out: &mut Findings<'_>, bytes: &[u8]) -> Result<Found, TiffError> {
    let mut limits = Limits::default();
    let most = usize::try_from(MOST_CELLS).unwrap_or(usize::MAX);
    limits.decoding_buffer_size = most.saturating_mul(8);
    let mut image = Decoder::new(Cursor::new(bytes))?.with_limits(limits);
    if !is_raster_of_heights(out, &mut image)? {
        return Ok((None, None));
    }
    let keys = Keys::of(&mut image)?;
    let unit_m = keys.unit_m(out);
    let placed = placed(out, &mut image)?;
    let crs = keys.crs();
    let nothing = nothing(&mut image)?;
    let numbers = numbers(image.read_image()?);
    let (Some((corner, step)), true) = (placed, out.problems.is_empty()) else {
        return Ok((None, crs));
    };
    let (columns, rows) = image.dimensions()?;
    let (columns, rows) = (columns as usize, rows as usize);
    if numbers.len() != columns * rows || numbers.is_empty() {
        out.add(
            Place::File,
            &format!("{columns} × {rows} heights"),
            format!("{}", numbers.len()),
            "the file may be cut off: export it again",
        );
        return Ok((None, crs));
    }
    let half = keys.middle_off();
    let grid = Grid {
        columns,
        rows,
        first: [corner[0] + half * step[0], corner[1] - half * step[1]],
        step,
        heights_m: heights_m(numbers, nothing, unit_m),
    };
    Ok((Some(grid), crs))
}

type Image<'a> = Decoder<Cursor<&'a [u8]>>;

/// Whether the image is not too large and has one number a cell; a problem where not.
fn is_raster_of_heights(out: &mut Findings<'_>, image: &mut Image<'_>) -> Result<bool, TiffError> {
    let (columns, rows) = image.dimensions()?;
    if u64::from(columns) * u64::from(rows) > MOST_CELLS {
        too_many(out, u64::from(columns), u64::from(rows));
        return Ok(false);
    }
    let (across, _) = image.chunk_dimensions();
    if u64::from(across) * u64::from(rows) > MOST_CELLS {
        out.add(
            Place::Key("TileWidth".into()),
            &format!("tiles of at most {} cells", MOST_CELLS / u64::from(rows)),
            format!("{across} cells"),
            "export it again with tiles of 256 cells, or in strips",
        );
        return Ok(false);
    }
    let samples = image.find_tag_unsigned::<u16>(Tag::SamplesPerPixel)?;
    if let Some(samples) = samples.filter(|n| *n != 1) {
        out.add(
            Place::Key("SamplesPerPixel".into()),
            "one number a cell, its height",
            format!("{samples}"),
            "this looks like a picture: take the raster of heights",
        );
        return Ok(false);
    }
    Ok(true)
}

/// The keys of the GeoKeyDirectory: four numbers an entry, the first of which is the directory's
/// own head.
struct Keys(Vec<u16>);

impl Keys {
    fn of(image: &mut Image<'_>) -> Result<Self, TiffError> {
        let keys = image.find_tag_unsigned_vec::<u16>(Tag::GeoKeyDirectoryTag)?;
        Ok(Self(keys.unwrap_or_default()))
    }

    fn get(&self, id: u16) -> Option<u16> {
        self.0
            .as_chunks::<4>()
            .0
            .iter()
            .skip(1)
            .find(|entry| entry[0] == id && entry[1] == 0)
            .map(|entry| entry[3])
    }

    /// The unit of the heights, m; metres where the file names none.
    fn unit_m(&self, out: &mut Findings<'_>) -> f64 {
        let Some(code) = self.get(VERTICAL_UNITS) else {
            return 1.0;
        };
        if let Some(unit) = UNITS_M.iter().find(|unit| unit.0 == code) {
            return unit.1;
        }
        out.add(
            Place::Key("VerticalUnitsGeoKey".into()),
            "metres (9001), feet (9002) or US survey feet (9003)",
            format!("{code}"),
            "convert the heights to metres",
        );
        1.0
    }

    /// The code of the coordinate system.
    fn crs(&self) -> Option<String> {
        [PROJECTED_CRS, GEODETIC_CRS]
            .into_iter()
            .find_map(|id| self.get(id))
            .filter(|code| *code != USER_DEFINED && *code != 0)
            .map(|code| format!("EPSG:{code}"))
    }

    /// How far the middle of a cell lies off its place, in cells.
    fn middle_off(&self) -> f64 {
        if self.get(RASTER_TYPE) == Some(PIXEL_IS_POINT) {
            0.0
        } else {
            0.5
        }
    }
}

/// The place of the image by its tags; none with a problem where they do not say.
fn placed(out: &mut Findings<'_>, image: &mut Image<'_>) -> Result<Option<Placed>, TiffError> {
    let mut doubles = |tag: Tag| -> Result<Vec<f64>, TiffError> {
        match image.find_tag(tag)? {
            Some(value) => value.into_f64_vec(),
            None => Ok(Vec::new()),
        }
    };
    let scale = doubles(Tag::ModelPixelScaleTag)?;
    let tie = doubles(Tag::ModelTiepointTag)?;
    let matrix = doubles(Tag::ModelTransformationTag)?;
    let placed = place(&scale, &tie, &matrix);
    if placed.is_none() {
        out.add(
            Place::File,
            "a place on the earth: ModelPixelScale with one ModelTiepoint, or a \
             ModelTransformation without a turn",
            format!(
                "{} and {} numbers in the first two, {} in the third",
                scale.len(),
                tie.len(),
                matrix.len()
            ),
            "export it north up with its georeference, or as an ESRI ASCII grid",
        );
    }
    Ok(placed)
}

/// The value that stands for a missing height.
fn nothing(image: &mut Image<'_>) -> Result<Option<f64>, TiffError> {
    Ok(image
        .find_tag(Tag::GdalNodata)?
        .and_then(|value| value.into_string().ok())
        .and_then(|text| text.trim_end_matches('\0').trim().parse::<f64>().ok()))
}

/// The heights in metres, NaN where they are missing.
fn heights_m(numbers: Vec<f64>, nothing: Option<f64>, unit_m: f64) -> Vec<f64> {
    // The value is written in decimals and stored, in cells of four bytes, to the nearest.
    #[allow(clippy::cast_possible_truncation)]
    let nearest = |nothing: f64| f64::from(nothing as f32);
    numbers
        .into_iter()
        .map(|value| match nothing {
            Some(nothing) if value == nothing || value == nearest(nothing) => f64::NAN,
            _ => value * unit_m,
        })
        .collect()
}

/// The north-western corner and the size of a cell.
type Placed = ([f64; 2], [f64; 2]);

fn place(scale: &[f64], tie: &[f64], matrix: &[f64]) -> Option<Placed> {
    let sound = |corner: [f64; 2], step: [f64; 2]| {
        let finite = corner.iter().chain(&step).all(|x| x.is_finite());
        (finite && step[0] > 0.0 && step[1] > 0.0).then_some((corner, step))
    };
    match (scale, tie, matrix) {
        ([dx, dy, ..], [i, j, _, x, y, _], _) => sound([x - i * dx, y + j * dy], [*dx, *dy]),
        (_, _, [a, b, _, d, e, f, _, h, ..]) if *b == 0.0 && *e == 0.0 => sound([*d, *h], [*a, -f]),
        _ => None,
    }
}

fn numbers(read: DecodingResult) -> Vec<f64> {
    fn all<T: Into<f64>>(list: Vec<T>) -> Vec<f64> {
        list.into_iter().map(Into::into).collect()
    }
    match read {
        DecodingResult::U8(list) => all(list),
        DecodingResult::U16(list) => all(list),
        DecodingResult::U32(list) => all(list),
        DecodingResult::U64(list) => list.into_iter().map(|v| v as f64).collect(),
        DecodingResult::I8(list) => all(list),
        DecodingResult::I16(list) => all(list),
        DecodingResult::I32(list) => all(list),
        DecodingResult::I64(list) => list.into_iter().map(|v| v as f64).collect(),
        DecodingResult::F16(list) => list.into_iter().map(|v| f64::from(v.to_f32())).collect(),
        DecodingResult::F32(list) => all(list),
        DecodingResult::F64(list) => list,
    }
}
