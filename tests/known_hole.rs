//! Holes against what is known of them in closed form: drawn in metres on a
//! plane, written as GeoJSON, and read back.

#[path = "known_hole_parts/draw.rs"]
mod draw;
#[path = "known_hole_parts/ground.rs"]
mod ground;
#[path = "known_hole_parts/maps.rs"]
mod maps;
#[path = "known_hole_parts/offered.rs"]
mod offered;
#[path = "known_hole_parts/raster.rs"]
mod raster;
#[path = "known_hole_parts/surfaces.rs"]
mod surfaces;
