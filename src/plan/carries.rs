//! What lies in the way: to reach and to clear, from the peg.
//!
//! Distances run along the ball's own track over the ground, carried straight
//! on beyond where it stops. A hazard is measured where it lies in the
//! *corridor*: from the track out to where the outermost 5 % of balls on each
//! side finish, narrowing towards the peg in proportion. What the corridor
//! misses but a corridor 25 m wider meets is listed too; what neither meets is
//! listed when 1 ball in 200 finishes in it. Nothing is looked for further on
//! than 1.15 times the longest ball.
//!
//! Water and sand that the track crosses are measured on it, every crossing by itself; trees and out
//! of bounds that it crosses, in the corridor. What lies beside it is told by
//! its own extent along the track within reach, wherever it is at most 60 m off, so that
//! a wood has the same numbers for every club.
//!
//! Only the edges that a ball would meet count: where fairway is drawn over a
//! wood, the wood ends at the fairway.

use geo::Coord;

use super::corridor::{Band, Corridor, Part, Placed, Sides};
use super::scene::{Place, Scene, Track, along, bearing_deg, distance_m};
use super::things::{Kind, Thing};
use crate::hole::Surface;
use crate::outcome::Rest;

/// Hazards this far outside the corridor still matter, m.
const MARGIN_M: f64 = 25.0;
/// A hazard with this share of the balls matters wherever it lies.
const SHARE: f64 = 0.005;
/// What lies further off the track than this is not beside it, m.
const BESIDE_M: f64 = 60.0;
/// Land between two crossings of one hazard that is narrower than this is none, m.
const LAND_M: f64 = 5.0;
/// Halvings of a metre by which an edge on the track is found.
const HALVINGS: usize = 30;
/// Trees or out of bounds on one side, nearer together than this, are one, m.
const GAP_M: f64 = 15.0;

/// One hazard, on the plane.
#[derive(Clone, Debug)]
pub struct Hazard {
    /// In words, without an article.
    pub words: String,
    /// What it is.
    pub kind: Kind,
    /// To its near edge, m.
    pub reach_m: f64,
    /// To clear its far edge, m.
    pub clear_m: f64,
    /// True where it goes on beyond where hazards are looked for.
    pub goes_on: bool,
    /// The point reached.
    pub reach: Coord<f64>,
    /// The point cleared.
    pub clear: Coord<f64>,
    /// Its point nearest to where the track ends.
    pub nearest: Coord<f64>,
    /// Whether the track crosses it.
    pub is_crossed: bool,
    /// Nearest distance right of the track, m; 0 where the track crosses it.
    pub offset_m: f64,
    /// Share of balls that finish in it.
    pub share: f64,
    /// The same of those that finish left of the track.
    pub share_left: f64,
    /// The same of those that finish short of where the track ends.
    pub share_short: f64,
}

/// A short stretch of edge: its two ends, and the things on either side.
struct Edge {
    ends: [Placed; 2],
    between: [Option<usize>; 2],
}

/// The scene's things, and which of them is on top at a point.
struct Ground<'a> {
    scene: &'a Scene<'a>,
    things: &'a [Thing],
    of_patch: Vec<Option<usize>>,
}

impl<'a> Ground<'a> {
    fn of(scene: &'a Scene<'a>, things: &'a [Thing]) -> Self {
        let mut of_patch = vec![None; scene.patches.len()];
        for (i, thing) in things.iter().enumerate() {
            for patch in &thing.patches {
                of_patch[*patch] = Some(i);
            }
        }
        Self {
            scene,
            things,
            of_patch,
        }
    }

    /// The thing on top. Crowns hang over rough and woods only.
    fn thing_at(&self, at: Coord<f64>) -> Option<usize> {
        let patch = self.scene.patch_at(at);
        let surface = patch.map_or(Surface::Rough, |p| self.scene.patches[p].surface);
        if matches!(surface, Surface::Rough | Surface::Trees) {
            let tree = (0..self.things.len())
                .find(|i| self.things[*i].patches.is_empty() && self.things[*i].covers(at));
            if tree.is_some() {
                return tree;
            }
        }
        patch.and_then(|p| self.of_patch[p])
    }

    /// Every edge in the corridor with its margin, cut to 2 m.
    fn edges(&self, corridor: &Corridor) -> Vec<Edge> {
        let trees = self
            .things
            .iter()
            .filter(|t| t.patches.is_empty())
            .flat_map(|t| &t.outlines);
        let outlines = self.scene.patches.iter().map(|p| &p.outline).chain(trees);
        let mut edges = Vec::new();
        for outline in outlines {
            pieces(outline, &corridor.track, &mut |from, to| {
                let bands = [
                    Band::Corridor { margin_m: MARGIN_M },
                    Band::Beside(BESIDE_M),
                ];
                if !bands.iter().any(|band| corridor.meets(from.1, to.1, *band)) {
                    return;
                }
                let middle = Coord {
                    x: f64::midpoint(from.0.x, to.0.x),
                    y: f64::midpoint(from.0.y, to.0.y),
                };
                let square = bearing_deg(from.0, to.0) + 90.0;
                let between = [-0.02, 0.02].map(|m| self.thing_at(along(middle, square, m)));
                if between[0] != between[1] {
                    edges.push(Edge {
                        ends: [from, to],
                        between,
                    });
                }
            });
        }
        edges
    }
}

/// Cuts the edges of an outline to at most 2 m.
fn pieces(outline: &geo::Polygon<f64>, track: &Track, visit: &mut dyn FnMut(Placed, Placed)) {
    let rings = std::iter::once(outline.exterior()).chain(outline.interiors());
    for line in rings.flat_map(geo::LineString::lines) {
        let length = distance_m(line.start, line.end);
        let bearing = bearing_deg(line.start, line.end);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let count = (length / 2.0).ceil().clamp(1.0, 5_000.0) as u32;
        let mut from = (line.start, track.place(line.start));
        for k in 1..=count {
            let at = if k == count {
                line.end
            } else {
                along(
                    line.start,
                    bearing,
                    length * f64::from(k) / f64::from(count),
                )
            };
            let to = (at, track.place(at));
            visit(from, to);
            from = to;
        }
    }
}

/// Hazards along the way, nearest first. `flight` is the typical flight over
/// the ground; `rests` are all balls.
#[must_use]
pub fn hazards(
    scene: &Scene<'_>,
    things: &[Thing],
    peg: Coord<f64>,
    flight: &[Coord<f64>],
    rests: &[Rest],
) -> Vec<Hazard> {
    if rests.is_empty() && flight.is_empty() {
        return Vec::new();
    }
    let ground = Ground::of(scene, things);
    let corridor = Corridor::of(peg, flight, rests);
    let end = corridor.track.at(corridor.track.length_m()).0;
    let search = Search {
        edges: ground.edges(&corridor),
        owners: owners(&ground, rests, &corridor.track),
        on_track: corridor
            .steps()
            .map(|s| (s, ground.thing_at(corridor.track.at(s).0)))
            .collect(),
        ground,
        corridor,
        rests,
        end,
    };
    let relevant = (0..things.len()).filter(|i| things[*i].kind != Kind::Green);
    let mut found: Vec<Hazard> = relevant.flat_map(|i| search.hazards_of(i)).collect();
    order(&mut found);
    merge(found, end)
}

/// What hazards are looked for with.
struct Search<'a> {
    ground: Ground<'a>,
    corridor: Corridor,
    edges: Vec<Edge>,
    owners: Vec<Option<(usize, bool)>>,
    rests: &'a [Rest],
    /// The thing on top, every metre along the track.
    on_track: Vec<(f64, Option<usize>)>,
    /// Where the track ends.
    end: Coord<f64>,
}

impl Search<'_> {
    fn hazards_of(&self, thing: usize) -> Vec<Hazard> {
        let kind = self.ground.things[thing].kind;
        let has_sides = matches!(kind, Kind::Trees | Kind::OutOfBounds);
        // A wood into which the track runs on behind the ball lies beside the shot.
        let crossed_to_m = if has_sides {
            self.corridor.track.length_m()
        } else {
            self.corridor.limit_m
        };
        let mut crossed = self.on_track.iter().filter(|(s, _)| *s <= crossed_to_m);
        let crosses = crossed.any(|(_, on)| *on == Some(thing));
        let own: Vec<&Edge> = self
            .edges
            .iter()
            .filter(|e| e.between.contains(&Some(thing)))
            .collect();
        if crosses && !has_sides {
            return self.crossed(thing, &own);
        }
        let sides: &[Sides] = if has_sides && !crosses {
            &[Sides::Left, Sides::Right]
        } else {
            &[Sides::Both]
        };
        let found = sides
            .iter()
            .filter_map(|side| self.beside(thing, *side, &own, crosses));
        found.collect()
    }

    /// A thing on one side of the track, or trees and out of bounds that it crosses.
    fn beside(&self, thing: usize, side: Sides, own: &[&Edge], crosses: bool) -> Option<Hazard> {
        let corridor = &self.corridor;
        let balls = self.balls(side, thing, &|_| true);
        let at_ends = [self.on_track.first(), self.on_track.last()];
        let inside = at_ends.into_iter().flatten();
        let inside = inside.filter(|(_, on)| *on == Some(thing)).map(|(s, _)| *s);
        let inside: Vec<f64> = inside.collect();
        let mut part = nearest_part(corridor, side, own, &inside);
        if part.is_none() && balls.share >= SHARE {
            for outline in &self.ground.things[thing].outlines {
                pieces(outline, &corridor.track, &mut |from, to| {
                    corridor.clip(side, Band::Beside(1.0e6), [from, to], &mut part);
                });
            }
        }
        let mut part = part?;
        if crosses {
            part.offset_m = 0.0;
        } else {
            grow(&mut part, own, corridor);
        }
        if let Some(middle) = balls.middle_half.filter(|_| balls.share >= SHARE) {
            part.join(&middle);
        }
        Some(self.hazard(thing, side, own, crosses, (part, balls)))
    }

    /// What the track crosses, every crossing by itself: an island's water is reached and cleared
    /// before the island and again behind it. A ball counts for the nearest crossing.
    fn crossed(&self, thing: usize, own: &[&Edge]) -> Vec<Hazard> {
        let parts = self.crossings(thing);
        let nearest = |along_m: f64| {
            let away = |part: &Part| (part.near.0 - along_m).max(along_m - part.far.0).max(0.0);
            let all = parts.iter().enumerate();
            let least = all.min_by(|a, b| away(a.1).total_cmp(&away(b.1)));
            least.map(|(number, _)| number)
        };
        let hazard = |(number, part): (usize, &Part)| {
            let is_here = |place: &Place| nearest(place.along_m) == Some(number);
            let balls = self.balls(Sides::Both, thing, &is_here);
            self.hazard(thing, Sides::Both, own, true, (*part, balls))
        };
        parts.iter().enumerate().map(hazard).collect()
    }

    /// Where the track enters and leaves a thing; land narrower than [`LAND_M`] between is none.
    fn crossings(&self, thing: usize) -> Vec<Part> {
        let track = &self.corridor.track;
        let is_on = |along_m: f64| self.ground.thing_at(track.at(along_m).0) == Some(thing);
        // The edge between a place off the thing and one on it.
        let edge = |mut off: f64, mut on: f64| {
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(off, on);
                if is_on(middle) {
                    on = middle;
                } else {
                    off = middle;
                }
            }
            on
        };
        let mut parts: Vec<Part> = Vec::new();
        let mut before: Option<(f64, bool)> = None;
        for (along_m, on) in &self.on_track {
            let (along_m, on) = (*along_m, *on == Some(thing));
            let mut reach = |at: f64, begins: bool| {
                let here = (at, track.at(at).0);
                match parts.last_mut() {
                    Some(last) if !begins || at - last.far.0 < LAND_M => last.far = here,
                    _ => parts.push(Part {
                        near: here,
                        far: here,
                        offset_m: 0.0,
                    }),
                }
            };
            match before {
                None if on => reach(along_m, true),
                Some((off, false)) if on => {
                    reach(edge(off, along_m), true);
                    reach(along_m, false);
                }
                Some((last, true)) if !on => reach(edge(along_m, last), false),
                Some((_, true)) => reach(along_m, false),
                _ => {}
            }
            before = Some((along_m, on));
        }
        parts
    }

    fn balls(&self, side: Sides, thing: usize, is_here: &dyn Fn(&Place) -> bool) -> Balls {
        Balls::of(
            side,
            thing,
            &self.owners,
            (self.rests, &self.corridor.track),
            is_here,
        )
    }

    fn hazard(
        &self,
        thing: usize,
        side: Sides,
        own: &[&Edge],
        is_crossed: bool,
        (part, balls): (Part, Balls),
    ) -> Hazard {
        let thing = &self.ground.things[thing];
        let near_end = own
            .iter()
            .flat_map(|edge| edge.ends)
            .filter(|(_, place)| side.has(place.right_m))
            .map(|(at, _)| at)
            .min_by(|a, b| distance_m(*a, self.end).total_cmp(&distance_m(*b, self.end)));
        Hazard {
            words: words(thing, part.offset_m, is_crossed),
            kind: if thing.kind == Kind::LoneTree {
                Kind::Trees
            } else {
                thing.kind
            },
            reach_m: part.near.0,
            clear_m: part.far.0,
            goes_on: part.far.0 > self.corridor.limit_m - 0.01,
            reach: part.near.1,
            clear: part.far.1,
            nearest: near_end.unwrap_or(part.near.1),
            is_crossed,
            offset_m: part.offset_m,
            share: balls.share,
            share_left: balls.share_left,
            share_short: balls.share_short,
        }
    }
}

/// The part of a hazard in the corridor, else in the corridor with its margin: its edges
/// there, and the ends of the track that lie in it.
fn nearest_part(corridor: &Corridor, side: Sides, own: &[&Edge], inside: &[f64]) -> Option<Part> {
    let within = |margin_m: f64| {
        let mut part: Option<Part> = None;
        for edge in own {
            corridor.clip(side, Band::Corridor { margin_m }, edge.ends, &mut part);
        }
        for &along_m in inside {
            let place = Place {
                along_m,
                right_m: 0.0,
            };
            Part::add(&mut part, corridor.track.at(along_m).0, place);
        }
        part
    };
    within(0.0).or_else(|| within(MARGIN_M))
}

/// The balls that finish in a hazard.
struct Balls {
    share: f64,
    share_left: f64,
    share_short: f64,
    /// Where the middle half of them lie along the track.
    middle_half: Option<Part>,
}

impl Balls {
    fn of(
        side: Sides,
        thing: usize,
        owners: &[Option<(usize, bool)>],
        (rests, track): (&[Rest], &Track),
        is_here: &dyn Fn(&Place) -> bool,
    ) -> Self {
        let own = owners
            .iter()
            .zip(rests)
            .filter(|(owner, _)| side.takes(**owner, thing));
        let mut places: Vec<Placed> = own
            .map(|(_, rest)| (rest.at, track.place(rest.at)))
            .filter(|(_, place)| is_here(place))
            .collect();
        places.sort_by(|a, b| a.1.along_m.total_cmp(&b.1.along_m));
        #[allow(clippy::cast_precision_loss)]
        let share_of = |count: usize| count as f64 / rests.len().max(1) as f64;
        let count = |is: &dyn Fn(&Place) -> bool| {
            share_of(places.iter().filter(|(_, place)| is(place)).count())
        };
        let mut middle_half = None;
        if let (Some(low), Some(high)) = (
            places.get(places.len() / 4),
            places.get((3 * places.len() / 4).min(places.len().saturating_sub(1))),
        ) {
            for (at, place) in [low, high] {
                Part::add(&mut middle_half, *at, *place);
            }
        }
        Self {
            share: share_of(places.len()),
            share_left: count(&|place| place.right_m < 0.0),
            share_short: count(&|place| place.along_m < track.length_m()),
            middle_half,
        }
    }
}

/// Grows the part of a hazard beside the track to the hazard's own extent on that side:
/// the corridor is narrow near the peg, and what runs beside it enters it late. What
/// stands apart from the part is no part of it.
fn grow(part: &mut Part, own: &[&Edge], corridor: &Corridor) {
    let side = if part.offset_m < 0.0 {
        Sides::Left
    } else {
        Sides::Right
    };
    let mut stretches: Vec<Part> = Vec::new();
    for edge in own {
        let mut stretch = None;
        corridor.clip(side, Band::Beside(BESIDE_M), edge.ends, &mut stretch);
        stretches.extend(stretch);
    }
    stretches.sort_by(|a, b| a.near.0.total_cmp(&b.near.0));
    let mut runs: Vec<Part> = Vec::new();
    for stretch in stretches {
        match runs.last_mut() {
            Some(run) if stretch.near.0 - run.far.0 < GAP_M => run.join(&stretch),
            _ => runs.push(stretch),
        }
    }
    let (near, far) = (part.near.0, part.far.0);
    for run in runs {
        if run.near.0 - far < GAP_M && near - run.far.0 < GAP_M {
            part.join(&run);
        }
    }
}

fn words(thing: &Thing, offset_m: f64, crosses: bool) -> String {
    let noun = match thing.kind {
        Kind::Trees => "trees",
        Kind::OutOfBounds => "out of bounds",
        _ => return thing.words.clone(),
    };
    if thing.named {
        thing.words.clone()
    } else if crosses {
        noun.into()
    } else {
        format!(
            "{noun} on the {}",
            if offset_m < 0.0 { "left" } else { "right" }
        )
    }
}

fn order(hazards: &mut [Hazard]) {
    hazards.sort_by(|a, b| {
        a.reach_m
            .total_cmp(&b.reach_m)
            .then(a.clear_m.total_cmp(&b.clear_m))
            .then_with(|| a.words.cmp(&b.words))
    });
}

/// Joins trees, and out of bounds, that follow one another on one side.
fn merge(hazards: Vec<Hazard>, end: Coord<f64>) -> Vec<Hazard> {
    let mut merged: Vec<Hazard> = Vec::new();
    for next in hazards {
        let joined = merged.iter_mut().find(|last| {
            last.words == next.words
                && matches!(next.kind, Kind::Trees | Kind::OutOfBounds)
                && next.reach_m - last.clear_m < GAP_M
        });
        match joined {
            Some(last) => {
                if next.clear_m > last.clear_m {
                    (last.clear_m, last.clear) = (next.clear_m, next.clear);
                }
                if next.offset_m.abs() < last.offset_m.abs() {
                    last.offset_m = next.offset_m;
                }
                if distance_m(next.nearest, end) < distance_m(last.nearest, end) {
                    last.nearest = next.nearest;
                }
                last.is_crossed |= next.is_crossed;
                last.goes_on |= next.goes_on;
                last.share += next.share;
                last.share_left += next.share_left;
                last.share_short += next.share_short;
            }
            None => merged.push(next),
        }
    }
    order(&mut merged);
    merged
}

/// For every ball, the hazard it finished in and whether that is left of the
/// track: of its own kind, the one on top there, else the nearest (a lost ball
/// lies on the edge it crossed).
fn owners(ground: &Ground<'_>, rests: &[Rest], track: &Track) -> Vec<Option<(usize, bool)>> {
    rests
        .iter()
        .map(|rest| {
            let kind = Kind::of(rest.surface).filter(|k| *k != Kind::Green)?;
            let same = |i: usize| {
                let other = ground.things[i].kind;
                other == kind || (kind == Kind::Trees && other == Kind::LoneTree)
            };
            let left = track.place(rest.at).right_m < 0.0;
            if let Some(on) = ground.thing_at(rest.at).filter(|i| same(*i)) {
                return Some((on, left));
            }
            let mut best: Option<(f64, usize)> = None;
            for i in (0..ground.things.len()).filter(|i| same(*i)) {
                let away = ground.things[i].distance_m(rest.at);
                if best.is_none_or(|(least, _)| away < least) {
                    best = Some((away, i));
                }
            }
            best.map(|(_, i)| (i, left))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::scene::tests::{flat, mirrored, rectangle};
    use super::super::things::things;
    use super::*;
    use crate::hole::Patch;

    const STRAIGHT: [Coord<f64>; 2] = [Coord { x: 0.0, y: 0.0 }, Coord { x: 0.0, y: 400.0 }];

    fn rest(x: f64, y: f64, surface: Surface) -> Rest {
        let at = Coord { x, y };
        Rest {
            at,
            surface,
            crossed: None,
            landed: at,
            start_deg: 0.0,
            is_sound: true,
        }
    }

    /// 101 balls at 230 m, from 20 m left to 20 m right.
    fn fan(scene_patches: &[Patch]) -> Vec<Rest> {
        let scene = flat(4, &STRAIGHT, scene_patches, &[]);
        (0..=100)
            .map(|k| {
                let at = Coord {
                    x: f64::from(k) * 0.4 - 20.0,
                    y: 230.0,
                };
                rest(at.x, at.y, scene.surface_at(at))
            })
            .collect()
    }

    fn ahead(patches: &[Patch]) -> Vec<Hazard> {
        let scene = flat(4, &STRAIGHT, patches, &[]);
        let flight: Vec<Coord<f64>> = (0..=46)
            .map(|k| Coord {
                x: 0.0,
                y: f64::from(k) * 5.0,
            })
            .collect();
        hazards(
            &scene,
            &things(&scene),
            Coord { x: 0.0, y: 0.0 },
            &flight,
            &fan(patches),
        )
    }

    /// A square bunker straight ahead from 200 to 220 m: reach 200, clear 220.
    #[test]
    fn square_bunker() {
        let patches = [rectangle(
            Surface::Bunker,
            "s",
            [-10.0, 10.0],
            [200.0, 220.0],
        )];
        let found = ahead(&patches);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].words, "bunker");
        assert!((found[0].reach_m - 200.0).abs() < 1e-6);
        assert!((found[0].clear_m - 220.0).abs() < 1e-6);
        assert!(found[0].offset_m.abs() < 1e-9 && found[0].share.abs() < 1e-12);
        assert!(!found[0].goes_on);
    }

    /// The share is the balls that finish in it: of 101 balls 0.4 m apart, 51
    /// lie from the middle to 20 m right.
    #[test]
    fn share_and_offset() {
        let patches = [rectangle(
            Surface::Bunker,
            "s",
            [-0.1, 30.0],
            [225.0, 240.0],
        )];
        let found = ahead(&patches);
        assert!((found[0].share - 51.0 / 101.0).abs() < 1e-12);
        assert!(found[0].share_short.abs() < 1e-12);
        assert!(found[0].share_left.abs() < 1e-12);
        let patches = [rectangle(Surface::Bunker, "s", [6.0, 30.0], [225.0, 240.0])];
        let found = ahead(&patches);
        assert!((found[0].offset_m - 6.0).abs() < 1e-9);
        let mirror: Vec<Patch> = patches.iter().map(mirrored).collect();
        assert!((ahead(&mirror)[0].offset_m + 6.0).abs() < 1e-9);
    }

    /// What lies beside the track has its own extent, to 60 m off it: the edge
    /// x = y − 200 is there at 260 m.
    #[test]
    fn diagonal_edge() {
        let mut patch = rectangle(Surface::PenaltyRed, "w", [0.0, 1.0], [0.0, 1.0]);
        patch.outline = geo::Polygon::new(
            [(1.0, 201.0), (100.0, 300.0), (100.0, 201.0)]
                .into_iter()
                .collect(),
            vec![],
        );
        let found = ahead(&[patch]);
        assert!((found[0].reach_m - 201.0).abs() < 1e-6);
        let want = 260.0;
        assert!(
            (found[0].clear_m - want).abs() < 0.02,
            "{} for {want}",
            found[0].clear_m
        );
    }

    /// Out of bounds all down the right goes on from the peg, though the corridor is
    /// narrower there.
    #[test]
    fn out_of_bounds_down_the_right() {
        let patches = [rectangle(
            Surface::OutOfBounds,
            "o",
            [12.0, 90.0],
            [-50.0, 600.0],
        )];
        let found = ahead(&patches);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].words, "out of bounds on the right");
        assert!(found[0].goes_on);
        assert!(found[0].reach_m.abs() < 1e-9, "along the whole hole");
        assert!(!found[0].is_crossed);
        let nearest = found[0].nearest;
        assert!((nearest.x - 12.0).abs() < 1e-9 && (nearest.y - 230.0).abs() < 2.0);
        assert!((found[0].offset_m - 12.0).abs() < 1e-9);
        let mirror: Vec<Patch> = patches.iter().map(mirrored).collect();
        assert_eq!(ahead(&mirror)[0].words, "out of bounds on the left");
    }

    /// What begins at 120 m beside the hole is told from there, though the corridor
    /// meets it later; what turns away from the hole is no part of it.
    #[test]
    fn what_runs_along_begins_where_it_begins() {
        let side = [12.0, 90.0];
        let found = ahead(&[rectangle(Surface::OutOfBounds, "o", side, [120.0, 600.0])]);
        assert!((found[0].reach_m - 120.0).abs() < 1e-6);
        let apart = [
            rectangle(Surface::Trees, "far", side, [210.0, 600.0]),
            rectangle(Surface::Trees, "near", side, [20.0, 60.0]),
        ];
        let found = ahead(&apart);
        let far = found.iter().find(|h| h.goes_on).expect("the far wood");
        assert!((far.reach_m - 210.0).abs() < 1e-6, "{}", far.reach_m);
        // Beyond 60 m off the line it is not beside it.
        let wide = [70.0, 90.0];
        let mut patch = rectangle(Surface::OutOfBounds, "o", wide, [0.0, 600.0]);
        patch.outline = geo::Polygon::new(
            [
                (70.0, 0.0),
                (70.0, 180.0),
                (12.0, 180.0),
                (12.0, 600.0),
                (90.0, 600.0),
                (90.0, 0.0),
            ]
            .into_iter()
            .collect(),
            vec![],
        );
        assert!((ahead(&[patch])[0].reach_m - 180.0).abs() < 1e-6);
    }

    /// An island in water: to reach and to clear before it and behind it, on the track; a lake whose
    /// edge runs across it has the numbers of the track, not of the corridor.
    #[test]
    fn water_that_is_crossed() {
        let mut moat = rectangle(Surface::PenaltyRed, "m", [-40.0, 40.0], [100.0, 280.0]);
        moat.outline = geo::Polygon::new(
            moat.outline.exterior().clone(),
            vec![
                [(-15.0, 180.0), (15.0, 180.0), (15.0, 240.0), (-15.0, 240.0)]
                    .into_iter()
                    .collect(),
            ],
        );
        let found = ahead(&[moat]);
        let numbers: Vec<[f64; 2]> = found.iter().map(|h| [h.reach_m, h.clear_m]).collect();
        assert_eq!(numbers.len(), 2, "{found:?}");
        for (numbers, expected) in numbers.iter().zip([[100.0, 180.0], [240.0, 264.5]]) {
            assert!((numbers[0] - expected[0]).abs() < 1e-6, "{numbers:?}");
            assert!((numbers[1] - expected[1]).abs() < 1e-6, "{numbers:?}");
        }
        assert!(!found[0].goes_on && found[1].goes_on);
        // Balls beside the island, at 230 m, are nearer to the water behind it.
        assert!(found[0].share.abs() < 1e-12 && found[1].share > 0.2);
        let mut lake = rectangle(Surface::PenaltyYellow, "l", [-60.0, 60.0], [80.0, 160.0]);
        lake.outline = geo::Polygon::new(
            [(-60.0, 80.0), (60.0, 80.0), (60.0, 130.0), (-60.0, 190.0)]
                .into_iter()
                .collect(),
            vec![],
        );
        let found = ahead(&[lake]);
        assert_eq!(found.len(), 1);
        assert!((found[0].reach_m - 80.0).abs() < 1e-6);
        assert!(
            (found[0].clear_m - 160.0).abs() < 1e-6,
            "{}",
            found[0].clear_m
        );
    }

    /// Too far off the line, or too far on, and with no ball in it: left out.
    #[test]
    fn what_cannot_matter() {
        let far = [
            rectangle(Surface::Bunker, "right", [46.0, 60.0], [200.0, 220.0]),
            rectangle(Surface::Bunker, "on", [-5.0, 5.0], [290.0, 300.0]),
            rectangle(Surface::Green, "green", [-5.0, 5.0], [215.0, 225.0]),
        ];
        assert!(ahead(&far).is_empty());
        let near = [rectangle(
            Surface::Bunker,
            "right",
            [40.0, 60.0],
            [220.0, 230.0],
        )];
        assert_eq!(ahead(&near).len(), 1);
    }

    /// A wood beside the shot, into which the track runs on behind the ball, is told by
    /// its own extent and holds its balls.
    #[test]
    fn a_wood_behind_the_ball() {
        let mut wood = rectangle(Surface::Trees, "w", [8.0, 60.0], [150.0, 300.0]);
        wood.outline = geo::Polygon::new(
            [
                (8.0, 150.0),
                (8.0, 240.0),
                (-30.0, 240.0),
                (-30.0, 300.0),
                (60.0, 300.0),
                (60.0, 150.0),
            ]
            .into_iter()
            .collect(),
            vec![],
        );
        wood.name = Some("West Wood".into());
        let found = ahead(&[wood]);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            (found[0].reach_m - 150.0).abs() < 1e-6,
            "{}",
            found[0].reach_m
        );
        assert!(found[0].share > 0.29 && !found[0].is_crossed);
    }

    /// Woods one after the other on one side are one; the other side is its own.
    #[test]
    fn woods_each_side() {
        let patches = [
            rectangle(Surface::Trees, "a", [15.0, 40.0], [200.0, 220.0]),
            rectangle(Surface::Trees, "b", [15.0, 40.0], [225.0, 245.0]),
            rectangle(Surface::Trees, "c", [-40.0, -16.0], [210.0, 240.0]),
        ];
        let found = ahead(&patches);
        let words: Vec<&str> = found.iter().map(|h| h.words.as_str()).collect();
        assert_eq!(words, ["trees on the right", "trees on the left"]);
        assert!((found[0].clear_m - 245.0).abs() < 1e-6);
        assert!((found[0].reach_m - 200.0).abs() < 1e-6);
        let both: f64 = found.iter().map(|h| h.share).sum();
        #[allow(clippy::cast_precision_loss)]
        let all = fan(&patches)
            .iter()
            .filter(|r| r.surface == Surface::Trees)
            .count() as f64
            / 101.0;
        assert!((both - all).abs() < 1e-12);
    }

    /// A forest drawn over the whole hole with a fairway on top: the trees on
    /// each side begin at the edge of the fairway, 12.2 m off, all the way.
    #[test]
    fn forest_under_the_fairway() {
        let patches = [
            rectangle(Surface::Trees, "w", [-300.0, 300.0], [-100.0, 700.0]),
            rectangle(Surface::Fairway, "f", [-12.2, 12.2], [-10.0, 600.0]),
        ];
        let found = ahead(&patches);
        let words: Vec<&str> = found.iter().map(|h| h.words.as_str()).collect();
        assert_eq!(words, ["trees on the left", "trees on the right"]);
        for h in &found {
            assert!((h.offset_m.abs() - 12.2).abs() < 1e-9, "{}", h.offset_m);
            assert!(h.reach_m.abs() < 1e-9 && h.goes_on);
            assert!((h.share - 20.0 / 101.0).abs() < 1e-12, "{}", h.share);
        }
    }

    #[test]
    fn nothing_at_all() {
        assert!(
            hazards(
                &flat(4, &STRAIGHT, &[], &[]),
                &[],
                Coord { x: 0.0, y: 0.0 },
                &[],
                &[]
            )
            .is_empty()
        );
    }
}
