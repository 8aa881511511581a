//! Draws holes in metres and writes them as GeoJSON.

use std::cell::RefCell;

use bendline::hole::plane::Plane;
use bendline::hole::{Coord, Course, Hole, Surface, read_course};
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::Rng;
use serde_json::{Value, json};

/// Draws features in metres around a place.
pub struct Draw {
    pub plane: Plane,
    pub features: Vec<Value>,
    pub mirrored: bool,
    /// The plane of the hole last asked about: making one takes milliseconds.
    pub of_hole: RefCell<Option<Plane>>,
}

pub type Point2 = [f64; 2];

impl Draw {
    pub fn at(lon: f64, lat: f64) -> Self {
        Self {
            plane: Plane::new([lon, lat]),
            features: Vec::new(),
            mirrored: false,
            of_hole: RefCell::new(None),
        }
    }

    /// A hole of 320 m to the north with a tee, a green and a pin.
    pub fn hole() -> Self {
        let mut draw = Self::at(-3.2, 55.9);
        draw.line(
            &[[0.0, -160.0], [0.0, 160.0]],
            json!({"golf": "hole", "ref": "1", "par": "4"}),
        );
        draw.area(&[&boxed(-5.0, -170.0, 5.0, -150.0)], json!({"golf": "tee"}));
        draw.area(
            &[&boxed(-12.0, 148.0, 12.0, 172.0)],
            json!({"golf": "green"}),
        );
        draw.point([0.0, 160.0], json!({"golf": "pin"}));
        draw
    }

    pub fn lon_lat(&self, at: Point2) -> Value {
        let x = if self.mirrored { -at[0] } else { at[0] };
        let [lon, lat] = self.plane.to_lon_lat(Coord { x, y: at[1] });
        json!([lon, lat])
    }

    pub fn add(&mut self, kind: &str, coordinates: Value, tags: Value) {
        self.features.push(json!({
            "type": "Feature",
            "properties": tags,
            "geometry": {"type": kind, "coordinates": coordinates},
        }));
    }

    pub fn point(&mut self, at: Point2, tags: Value) {
        let position = self.lon_lat(at);
        self.add("Point", position, tags);
    }

    pub fn line(&mut self, line: &[Point2], tags: Value) {
        let positions: Vec<Value> = line.iter().map(|&at| self.lon_lat(at)).collect();
        self.add("LineString", json!(positions), tags);
    }

    /// An area from rings that are not yet closed.
    pub fn area(&mut self, rings: &[&[Point2]], tags: Value) {
        let rings: Vec<Vec<Value>> = rings
            .iter()
            .map(|ring| {
                ring.iter()
                    .chain(ring.first())
                    .map(|&at| self.lon_lat(at))
                    .collect()
            })
            .collect();
        self.add("Polygon", json!(rings), tags);
    }

    pub fn text(&self) -> Vec<u8> {
        json!({"type": "FeatureCollection", "features": self.features})
            .to_string()
            .into_bytes()
    }

    pub fn course(&self) -> Course {
        read_course("drawn.geojson", &self.text(), None)
            .unwrap_or_else(|problems| panic!("{problems}"))
    }

    pub fn only(&self) -> Hole {
        let mut course = self.course();
        assert!(course.broken.is_empty(), "{:?}", course.broken);
        assert_eq!(course.holes.len(), 1);
        course.holes.remove(0)
    }

    /// A drawn point on the hole's own plane.
    pub fn on(&self, hole: &Hole, at: Point2) -> Coord<f64> {
        let position = self.lon_lat(at);
        let [lon, lat] = [position[0].as_f64().unwrap(), position[1].as_f64().unwrap()];
        let mut of_hole = self.of_hole.borrow_mut();
        match of_hole.as_ref() {
            Some(plane) if plane.origin_lon_lat() == hole.origin_lon_lat => {
                plane.to_plane(lon, lat)
            }
            _ => of_hole
                .insert(Plane::new(hole.origin_lon_lat))
                .to_plane(lon, lat),
        }
    }

    pub fn surface(&self, hole: &Hole, at: Point2) -> Surface {
        hole.surface_at(self.on(hole, at))
    }
}

pub fn boxed(w: f64, s: f64, e: f64, n: f64) -> [Point2; 4] {
    [[w, s], [e, s], [e, n], [w, n]]
}

/// A star-shaped outline around a point.
pub fn blob(
    random: &mut impl FnMut() -> f64,
    centre: Point2,
    radius: f64,
    corners: usize,
) -> Vec<Point2> {
    (0..corners)
        .map(|corner| {
            let angle = corner as f64 / corners as f64 * std::f64::consts::TAU;
            let r = radius * (0.55 + 0.45 * random());
            [centre[0] + r * angle.cos(), centre[1] + r * angle.sin()]
        })
        .collect()
}

pub fn uniform(seed: u64) -> impl FnMut() -> f64 {
    let mut random = Pcg64Mcg::new(u128::from(seed) | 1);
    move || (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

pub fn close(a: Coord<f64>, b: Coord<f64>, within: f64) -> bool {
    (a.x - b.x).hypot(a.y - b.y) < within
}
