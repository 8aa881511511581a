//! Ground heights from a raster: an ESRI ASCII grid, or a GeoTIFF.
//!
//! A raster may lie in longitude and latitude (WGS 84) or in any coordinate
//! system that `--heights-crs` names. It is read bilinearly between the middles of its
//! cells and sampled to the hole's own ground.
//!
//! Rasters mostly count heights from the sea, the third coordinates of a
//! GeoJSON file from the ellipsoid (RFC 7946, section 4): tens of metres apart.
//! On one hole only differences matter, and over a kilometre the two levels
//! run alike to some centimetres; but the two must not be mixed within one
//! hole. So a raster takes the place of the map's heights, and a note says so;
//! the altitude of the air is given apart from both.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

use std::ops::Range;

use geo::Coord;

use super::ascii_grid;
use super::crs::{self, Conversion};
use super::doubtful;
use super::geotiff;
use super::grid::Cells;
use super::ground::filled;
use super::plane::Plane;
use super::positions::{HEIGHT_BAND_M, shown};
use super::{Assumption, Ground, Hole, line};
use crate::diagnostic::{Note, Place, Problem, Problems, Question, Topic, printable};

/// Spacing at which a raster is sampled, m.
const SPACING_M: f64 = 2.0;
/// Most cells read: 5.6 × 5.6 km at 1 m. With the file itself they take less than a gigabyte.
pub(super) const MOST_CELLS: u64 = 32_000_000;

/// Rows of heights from the north, cells about their middles; a cell without
/// a height is NaN.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Grid {
    pub columns: usize,
    pub rows: usize,
    /// Middle of the north-western cell.
    pub first: [f64; 2],
    /// Width and height of a cell, both positive.
    pub step: [f64; 2],
    pub heights_m: Vec<f64>,
}

impl Grid {
    /// Middle of the south-eastern cell.
    fn last(&self) -> [f64; 2] {
        let [x, y] = self.first;
        let steps = [(self.columns - 1) as f64, (self.rows - 1) as f64];
        [x + self.step[0] * steps[0], y - self.step[1] * steps[1]]
    }

    /// Middle of the raster.
    fn middle(&self) -> [f64; 2] {
        let (first, last) = (self.first, self.last());
        [0, 1].map(|axis| f64::midpoint(first[axis], last[axis]))
    }

    /// The height at a place of the raster's own system; none beyond its
    /// cells and next to a cell without height.
    fn at(&self, x: f64, y: f64) -> Option<f64> {
        let column = (x - self.first[0]) / self.step[0];
        let row = (self.first[1] - y) / self.step[1];
        let inside = |at: f64, count: usize| at >= -0.5 && at <= count as f64 - 0.5;
        if !(inside(column, self.columns) && inside(row, self.rows)) {
            return None;
        }
        // The outer half of an edge cell has the height of its middle.
        let split = |at: f64, count: usize| {
            let at = at.clamp(0.0, (count - 1) as f64);
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to count
            let low = (at as usize).min(count.saturating_sub(2));
            (low, (low + 1).min(count - 1), at - low as f64)
        };
        let (west, east, u) = split(column, self.columns);
        let (north, south, v) = split(row, self.rows);
        let cell = |row: usize, column: usize| self.heights_m[row * self.columns + column];
        let mix = |a: f64, b: f64, share: f64| if share == 0.0 { a } else { a + (b - a) * share };
        let height = mix(
            mix(cell(north, west), cell(north, east), u),
            mix(cell(south, west), cell(south, east), u),
            v,
        );
        height.is_finite().then_some(height)
    }
}

/// Heights of the ground from a file.
#[derive(Clone, Debug)]
pub struct Heights {
    file: String,
    grid: Grid,
    /// The system of its coordinates, by name; longitude and latitude where none.
    system: Option<(String, Box<Conversion>)>,
}

/// Reads a raster: a GeoTIFF by its first bytes, an ESRI ASCII grid otherwise.
///
/// `crs` names the system of its coordinates. Without it a GeoTIFF's own code
/// counts; without that too, coordinates are longitude and latitude.
///
/// # Errors
/// Every problem of the file.
pub fn read_heights(file: &str, bytes: &[u8], crs: Option<&str>) -> Result<Heights, Problems> {
    read_heights_beside(file, bytes, crs, None)
}

/// The same beside a map that is in the system `map_crs`: it counts for a raster
/// of which neither `crs` nor the file itself names another.
///
/// # Errors
/// Every problem of the file.
pub fn read_heights_beside(
    file: &str,
    bytes: &[u8],
    crs: Option<&str>,
    map_crs: Option<&str>,
) -> Result<Heights, Problems> {
    let mut out = Findings::new(file);
    let (grid, own_crs) = if is_geotiff(bytes) {
        geotiff::read(&mut out, bytes)
    } else {
        (ascii_grid::read(&mut out, bytes), None)
    };
    let option = if crs.is_none() && own_crs.is_none() {
        "--crs"
    } else {
        "--heights-crs"
    };
    let crs = crs.map(str::to_owned).or(own_crs);
    let crs = crs.or_else(|| map_crs.map(str::to_owned));
    let mut system = None;
    if let Some(grid) = &grid {
        check_heights(&mut out, grid);
        match &crs {
            Some(crs) => match Conversion::of(crs, grid.middle()) {
                Ok(known) => system = Some((crs.clone(), Box::new(known))),
                Err(found) => out.add(
                    Place::Argument(format!("{option} {crs}")),
                    crs::EXPECTED,
                    found,
                    crs::REMEDY,
                ),
            },
            None => check_degrees(&mut out, grid),
        }
    }
    match (grid, out.problems.is_empty()) {
        (Some(grid), true) => Ok(Heights {
            file: file.to_owned(),
            grid,
            system,
        }),
        _ => Err(Problems(out.problems)),
    }
}

fn is_geotiff(bytes: &[u8]) -> bool {
    let marks = [&b"II*\0"[..], b"MM\0*", b"II+\0", b"MM\0+"];
    marks.iter().any(|mark| bytes.starts_with(mark))
}

/// Whether a file is meant as a raster of heights, by its first bytes: a TIFF, or
/// a line with a key of the ESRI ASCII grid's header and a number.
#[must_use]
pub fn looks_like_heights(bytes: &[u8]) -> bool {
    if is_geotiff(bytes) {
        return true;
    }
    let start = &bytes[..bytes.len().min(200)];
    let start = String::from_utf8_lossy(start.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(start));
    ascii_grid::starts_header(&start)
}

impl Heights {
    /// What of the raster can be read and cannot well be so.
    #[must_use]
    pub fn asked(&self) -> (Vec<Question>, Vec<Note>) {
        let grid = &self.grid;
        self.asked_within(0..grid.columns, 0..grid.rows)
    }

    fn asked_within(
        &self,
        columns: Range<usize>,
        rows: Range<usize>,
    ) -> (Vec<Question>, Vec<Note>) {
        doubtful::of_raster(&self.file, &self.grid, self.cell_m(), columns, rows)
    }

    /// The size of a cell in the middle of the raster, m.
    fn cell_m(&self) -> [f64; 2] {
        let (middle, step) = (self.grid.middle(), self.grid.step);
        let lon_lat = |at: [f64; 2]| match &self.system {
            None => Some(at),
            Some((_, conversion)) => conversion.to_degrees(at),
        };
        let corners = [
            middle,
            [middle[0] + step[0], middle[1]],
            [middle[0], middle[1] + step[1]],
        ];
        let [Some(origin), Some(east), Some(north)] = corners.map(lon_lat) else {
            return step;
        };
        let plane = Plane::new(origin);
        [east, north].map(|at| {
            let at = plane.to_plane(at[0], at[1]);
            at.x.hypot(at.y)
        })
    }

    /// The columns and rows that a stretch of the raster's own system touches.
    fn touched(&self, [west, south]: [f64; 2], [east, north]: [f64; 2]) -> [Range<usize>; 2] {
        let grid = &self.grid;
        let range = |low: f64, high: f64, count: usize| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a cast saturates
            let [low, high] = [low.floor(), high.ceil() + 1.0].map(|at| (at as usize).min(count));
            low..high
        };
        [
            range(
                (west - grid.first[0]) / grid.step[0],
                (east - grid.first[0]) / grid.step[0],
                grid.columns,
            ),
            range(
                (grid.first[1] - north) / grid.step[1],
                (grid.first[1] - south) / grid.step[1],
                grid.rows,
            ),
        ]
    }

    /// What the raster holds, in a few lines for a terminal.
    #[must_use]
    pub fn summary_text(&self) -> String {
        let grid = &self.grid;
        let ([west, north], [east, south]) = (grid.first, grid.last());
        let known = || grid.heights_m.iter().copied().filter(|h| !h.is_nan());
        let (low, high) = known().fold((f64::MAX, f64::MIN), |(l, h), height| {
            (l.min(height), h.max(height))
        });
        let (cells, bare) = (grid.heights_m.len(), grid.heights_m.len() - known().count());
        format!(
            "{}: heights of the ground, {} x {} cells of {} x {}\n  \
             coordinates {}: {} to {} across, {} to {} up\n  \
             heights {low:.1} to {high:.1} m; without a height: {bare} of {cells} cells",
            printable(&self.file),
            grid.columns,
            grid.rows,
            shown(grid.step[0]),
            shown(grid.step[1]),
            printable(
                self.system
                    .as_ref()
                    .map_or("longitude and latitude (WGS 84)", |(name, _)| name)
            ),
            shown(west),
            shown(east),
            shown(south),
            shown(north)
        )
    }
}

/// Collects the problems of one file.
pub(super) struct Findings<'a> {
    file: &'a str,
    pub problems: Vec<Problem>,
}

impl<'a> Findings<'a> {
    fn new(file: &'a str) -> Self {
        Self {
            file,
            problems: Vec::new(),
        }
    }

    pub fn add(&mut self, place: Place, expected: &str, found: String, remedy: &str) {
        self.problems.push(Problem {
            file: self.file.to_owned(),
            place,
            expected: expected.to_owned(),
            found,
            remedy: remedy.to_owned(),
        });
    }
}

fn check_heights(out: &mut Findings<'_>, grid: &Grid) {
    let astray = |height: &&f64| {
        !height.is_nan() && !(HEIGHT_BAND_M[0]..=HEIGHT_BAND_M[1]).contains(*height)
    };
    let wrong = grid.heights_m.iter().filter(astray).count();
    if let Some(first) = grid.heights_m.iter().find(astray) {
        out.add(
            Place::File,
            "ground heights in metres, between -600 and 9000",
            format!("cells outside: {wrong}, the first {}", shown(*first)),
            "if these cells have no height, name their value in the file (NODATA_value, or the \
             GDAL_NODATA tag of a GeoTIFF)",
        );
    }
    if grid.heights_m.iter().all(|height| height.is_nan()) {
        out.add(
            Place::File,
            "at least one cell with a height",
            "none".to_owned(),
            "take another cut of the raster",
        );
    }
}

fn check_degrees(out: &mut Findings<'_>, grid: &Grid) {
    let ([x, y], last) = (grid.first, grid.last());
    let like = |x: f64, y: f64| x.abs() <= 180.0 && y.abs() <= 90.0;
    if !(like(x, y) && like(last[0], last[1])) {
        out.add(
            Place::File,
            "a raster in longitude and latitude",
            format!("coordinates such as {}, {}", shown(x), shown(y)),
            "name the raster's coordinate system with --heights-crs, such as EPSG:27700",
        );
    }
}

/// The problem of a raster with more cells than are read.
pub(super) fn too_many(out: &mut Findings<'_>, columns: u64, rows: u64) {
    out.add(
        Place::File,
        &format!("at most {} million cells", MOST_CELLS / 1_000_000),
        format!("{columns} × {rows}"),
        "cut the course out of the larger raster",
    );
}

/// Reads heights at places of a hole's plane.
struct Sampler<'a> {
    heights: &'a Heights,
    plane: Plane,
}

impl Sampler<'_> {
    fn at(&self, place: Coord<f64>) -> Option<f64> {
        let [x, y] = self.place(place)?;
        self.heights.grid.at(x, y)
    }

    /// A place of the hole's plane in the raster's own system.
    fn place(&self, place: Coord<f64>) -> Option<[f64; 2]> {
        let [lon, lat] = self.plane.to_lon_lat(place);
        match &self.heights.system {
            None => Some([lon, lat]),
            Some((_, conversion)) => conversion.to_system([lon, lat]),
        }
    }
}

impl Hole {
    /// Takes the ground's heights from a raster, in place of the map's.
    ///
    /// # Errors
    /// When it does not cover the line of play, the tees and the pin.
    #[allow(clippy::result_large_err)] // one call for a plan; a plain Problem reads better there
    pub fn set_heights(&mut self, heights: &Heights) -> Result<(), Problem> {
        let sampler = Sampler {
            heights,
            plane: Plane::new(self.origin_lon_lat),
        };
        let needed = line::sampled(&self.line_of_play, 10.0)
            .into_iter()
            .chain(self.tees.iter().flat_map(|tee| [tee.left, tee.right]))
            .chain([self.pin]);
        let bare = needed.filter(|at| sampler.at(*at).is_none()).count();
        if bare > 0 {
            return Err(self.uncovered(
                heights,
                &format!("no height at {bare} points of its line of play, tees and pin"),
                "take a larger cut of the raster, or check its coordinate system (--heights-crs)",
            ));
        }
        let cells = Cells::over(self.field.window, SPACING_M);
        let mut sampled = Vec::with_capacity((cells.columns + 1) * (cells.rows + 1));
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for row in 0..=cells.rows {
            for column in 0..=cells.columns {
                let place = sampler.place(Coord {
                    x: cells.west_m + column as f64 * cells.side_m,
                    y: cells.south_m + row as f64 * cells.side_m,
                });
                sampled.push(place.and_then(|[x, y]| heights.grid.at(x, y)));
                for axis in 0..2 {
                    let at = place.map_or(f64::NAN, |place| place[axis]);
                    (low[axis], high[axis]) = (low[axis].min(at), high[axis].max(at));
                }
            }
        }
        let [columns, rows] = heights.touched(low, high);
        self.questions
            .retain(|question| question.topic != Topic::GroundHeights);
        let (asked, first) = heights.asked_within(columns, rows);
        self.questions.extend(asked);
        let pairs: Vec<(f64, f64)> = self
            .field
            .heights
            .iter()
            .filter_map(|&(at, map_m)| Some((map_m, sampler.at(at)?)))
            .collect();
        self.questions
            .extend(doubtful::map_and_raster(&heights.file, &pairs));
        let covered = sampled.iter().flatten().count();
        let share = 100.0 * covered as f64 / sampled.len() as f64;
        let heights_m = filled(&sampled, cells.columns + 1);
        let mut text = format!(
            "ground heights are those of {}",
            printable(bare_name(&heights.file))
        );
        if covered < sampled.len() {
            text.push_str(&format!(
                ", which covers {share:.0} % of the hole's surroundings: elsewhere the nearest height is taken"
            ));
        }
        if !self.field.heights.is_empty() {
            text.push_str(
                "; the map's own heights are left out, for they may count from another level",
            );
        }
        self.notes.retain(|note| !is_about_heights(note));
        self.notes.extend(first);
        self.notes.push(Note {
            file: bare_name(&self.file).to_owned(),
            place: self.place.clone(),
            text,
            topic: None,
        });
        self.assumed.retain(|each| *each != Assumption::FlatGround);
        self.field.ground = Some(Ground::sampled(cells, heights_m));
        self.grids = std::sync::Arc::default();
        Ok(())
    }

    fn uncovered(&self, heights: &Heights, found: &str, remedy: &str) -> Problem {
        Problem {
            file: heights.file.clone(),
            place: Place::File,
            expected: format!("heights all over hole {}", printable(&self.reference)),
            found: found.to_owned(),
            remedy: remedy.to_owned(),
        }
    }
}

/// A plan names the file its notes are about, not the folder it was in.
fn bare_name(file: &str) -> &str {
    file.rsplit(['/', '\\']).next().unwrap_or(file)
}

fn is_about_heights(note: &Note) -> bool {
    note.topic == Some(Topic::GroundHeights)
        || note.text == super::collect::FLAT_NOTE
        || note.text == super::collect::STRAY_NOTE
        || note.text.ends_with(super::collect::PARTIAL_NOTE)
}
