//! The local plane of a hole: metres east and north of a point near its middle.
//!
//! The plane is PROJ's transverse Mercator projection on the WGS 84 ellipsoid
//! with its origin at the hole, so that scale and direction are true at the
//! origin. 600 m away from it distances agree with Karney's geodesics to
//! better than 1 mm (`tests/reference_hole.rs`), because the scale error of a
//! transverse Mercator grows as x²/2R², 5e-9 at 600 m.

use geo::Coord;
use proj::Proj;

/// A transverse Mercator plane. Not `Sync`: PROJ's contexts belong to one
/// thread, so each thread builds its own.
pub struct Plane {
    origin_lon_lat: [f64; 2],
    proj: Proj,
}

impl std::fmt::Debug for Plane {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Plane")
            .field("origin_lon_lat", &self.origin_lon_lat)
            .finish()
    }
}

impl Plane {
    /// A plane that touches the earth at a longitude and latitude, degrees.
    ///
    /// An origin that is not a place on the earth is moved to the nearest one:
    /// latitude into −90..90, a longitude that is not finite to 0.
    #[must_use]
    pub fn new(origin_lon_lat: [f64; 2]) -> Self {
        let lon = if origin_lon_lat[0].is_finite() {
            wrap_deg(origin_lon_lat[0])
        } else {
            0.0
        };
        let lat = if origin_lon_lat[1].is_finite() {
            origin_lon_lat[1].clamp(-90.0, 90.0)
        } else {
            0.0
        };
        let definition =
            format!("+proj=tmerc +lat_0={lat:.12} +lon_0={lon:.12} +k=1 +ellps=WGS84 +units=m");
        let proj = Proj::new(&definition)
            .expect("PROJ accepts a transverse Mercator at any place on the earth");
        Self {
            origin_lon_lat: [lon, lat],
            proj,
        }
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
        if !(lon.is_finite() && lat.is_finite() && lat.abs() <= 90.0) {
            return Coord {
                x: f64::NAN,
                y: f64::NAN,
            };
        }
        match self
            .proj
            .project((lon.to_radians(), lat.to_radians()), false)
        {
            Ok((x, y)) => Coord { x, y },
            Err(_) => Coord {
                x: f64::NAN,
                y: f64::NAN,
            },
        }
    }

    /// Metres east and north to longitude and latitude, degrees.
    #[must_use]
    pub fn to_lon_lat(&self, at: Coord<f64>) -> [f64; 2] {
        match self.proj.project((at.x, at.y), true) {
            Ok((lon, lat)) => [wrap_deg(lon.to_degrees()), lat.to_degrees()],
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
