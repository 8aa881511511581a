//! The local plane of a hole: metres east and north of a point near its middle.
//!
//! The plane is a transverse Mercator projection of the WGS 84 ellipsoid
//! with its origin at the hole, so that scale and direction are true at the
//! origin. 600 m away from it distances agree with Karney's geodesics to
//! better than 1 mm (`tests/reference_hole.rs`), because the scale error of a
//! transverse Mercator grows as x²/2R², 5e-9 at 600 m.

use std::sync::LazyLock;

use geo::Coord;
use proj_core::{CrsDef, Transform};
use proj_wkt::parse_crs;

/// One projection for every plane: a transverse Mercator about another place differs only by a turn
/// of the globe about its axis and a shift to the north. To the plane, and back.
static MERCATOR: LazyLock<[Transform; 2]> = LazyLock::new(|| {
    let system = |text: &str| -> CrsDef { parse_crs(text).expect("a system that is known") };
    let degrees = system("+proj=longlat +datum=WGS84 +no_defs");
    let plane = system("+proj=tmerc +lat_0=0 +lon_0=0 +k=1 +x_0=0 +y_0=0 +datum=WGS84 +units=m");
    [[&degrees, &plane], [&plane, &degrees]]
        .map(|[from, to]| Transform::from_crs_defs(from, to).expect("a projection of one datum"))
});

/// A transverse Mercator plane.
pub struct Plane {
    origin_lon_lat: [f64; 2],
    /// Northing of the origin from the equator, m.
    northing_m: f64,
}

impl std::fmt::Debug for Plane {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Plane")
            .field("origin_lon_lat", &self.origin_lon_lat)
            .finish_non_exhaustive()
    }
}

impl Plane {
    /// A plane that touches the earth at a longitude and latitude, degrees.
    ///
    /// An origin that is not a place on the earth is moved to the nearest one:
    /// latitude into −90..90, a longitude that is not finite to 0.
    #[must_use]
    pub fn new(origin_lon_lat: [f64; 2]) -> Self {
        let finite = origin_lon_lat.map(|angle| if angle.is_finite() { angle } else { 0.0 });
        let (lon, lat) = (wrap_deg(finite[0]), finite[1].clamp(-90.0, 90.0));
        let mut plane = Self {
            origin_lon_lat: [lon, lat],
            northing_m: 0.0,
        };
        plane.northing_m = plane.to_plane(lon, lat).y;
        plane
    }

    /// Where the plane touches the earth: longitude and latitude, degrees.
    #[must_use]
    pub fn origin_lon_lat(&self) -> [f64; 2] {
        self.origin_lon_lat
    }

    /// Longitude and latitude in degrees to metres east and north. Not a
    /// number where the projection has no answer (a quarter of the earth away).
    #[must_use]
    pub fn to_plane(&self, lon: f64, lat: f64) -> Coord<f64> {
        let nowhere = Coord {
            x: f64::NAN,
            y: f64::NAN,
        };
        if !(lon.is_finite() && lat.is_finite() && lat.abs() <= 90.0) {
            return nowhere;
        }
        let turned = wrap_deg(lon - self.origin_lon_lat[0]);
        match MERCATOR[0].convert((turned, lat)) {
            Ok((x, y)) => Coord {
                x,
                y: y - self.northing_m,
            },
            Err(_) => nowhere,
        }
    }

    /// Metres east and north to longitude and latitude, degrees.
    #[must_use]
    pub fn to_lon_lat(&self, at: Coord<f64>) -> [f64; 2] {
        if !(at.x.is_finite() && at.y.is_finite()) {
            return [f64::NAN, f64::NAN];
        }
        match MERCATOR[1].convert((at.x, at.y + self.northing_m)) {
            Ok((lon, lat)) => [wrap_deg(lon + self.origin_lon_lat[0]), lat],
            Err(_) => [f64::NAN, f64::NAN],
        }
    }
}

/// An angle in degrees brought into −180..180.
#[must_use]
pub fn wrap_deg(angle_deg: f64) -> f64 {
    if (-180.0..=180.0).contains(&angle_deg) {
        angle_deg
    } else {
        (angle_deg + 180.0).rem_euclid(360.0) - 180.0
    }
}
