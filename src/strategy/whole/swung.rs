//! Balls as they are struck: the launches of every swing and lie on fixed points,
//! and their flights in calm air.
//!
//! Nothing of the hole is in them but how far down a flight has to be followed. So
//! the holes that one player plays on one day can have them in common ([`Swung`]).

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::lie::LIES;
use super::problem::Problem;
use super::swing::Swing;
use crate::flight::air::Air;
use crate::flight::ball::Ball;
use crate::flight::trajectory::{FlightView, Flights, fly};
use crate::flight::{Knot, Launch};
use crate::outcome::Day;

/// Balls of a swing's set that are drawn and flown together: many sets are asked for
/// a few of theirs only.
pub(super) const FEW: usize = 16;

/// A few balls of a set.
pub(super) struct Few {
    pub launches: Vec<Launch>,
    /// How deep they are flown.
    floor_m: f64,
    /// Flown along north, in calm air.
    flown: OnceLock<Arc<Flights>>,
}

impl Few {
    pub fn of(launches: Vec<Launch>, floor_m: f64) -> Self {
        Self {
            launches,
            floor_m,
            flown: OnceLock::new(),
        }
    }

    /// Their flights: on a day with the same air and ball whenever they are asked for.
    pub fn flown(&self, day: &Day) -> Arc<Flights> {
        let fly = || {
            let flights = fly(&self.launches, &[], &day.air, &day.ball, self.floor_m);
            // A copy has no room to spare, which others' flights leave by the megabyte.
            Arc::new(flights.clone())
        };
        Arc::clone(self.flown.get_or_init(fly))
    }
}

/// Flights down to a hole's own floor, of flights that may go further down.
#[derive(Debug)]
pub(super) struct Cut {
    flights: Arc<Flights>,
    /// By ball, how many knots.
    knots: [u8; FEW],
}

impl Cut {
    /// At most [`FEW`] flights.
    pub fn at(flights: Arc<Flights>, floor_m: f64) -> Self {
        let floor = floor_m as f32;
        // As `fly` ends a flight.
        let ends = |k: &Knot| !(k.position_m[2] > floor || k.velocity_m_s[2] > 0.0);
        let mut knots = [0; FEW];
        for (ball, count) in knots.iter_mut().enumerate().take(flights.len()) {
            let all = flights.ball(ball).knots;
            let last = all[1..].iter().position(ends);
            *count = last.map_or(all.len(), |last| last + 2) as u8;
        }
        Self { flights, knots }
    }

    pub fn len(&self) -> usize {
        self.flights.len()
    }

    pub fn ball(&self, ball: usize) -> FlightView<'_> {
        let flight = self.flights.ball(ball);
        FlightView {
            knots: &flight.knots[..usize::from(self.knots[ball])],
            ..flight
        }
    }
}

/// Of a swing and lie so many parts are shared. Further ones belong to swings that are
/// hit often, other ones on every hole: on nine holes a quarter of them were asked for
/// twice, of the first 1024 balls three quarters.
const SHARED_PARTS: usize = 64;
/// So many parts are kept in all, a hundred kilobytes for a dozen.
const MOST_PARTS: usize = 16_384;

/// One seed's balls of every swing and lie, flown down to the same floor.
pub(super) struct Set {
    floor_m: f64,
    /// `[swing · LIES + lie]`, [`FEW`] by [`FEW`].
    slots: Vec<OnceLock<Parts>>,
    /// How many parts are kept, in all sets.
    kept: Arc<AtomicUsize>,
}

type Parts = Box<[OnceLock<Arc<Few>>; SHARED_PARTS]>;

impl Set {
    /// A part of a swing and lie, drawn where nobody has yet; none of those that are
    /// not shared.
    pub fn few(
        &self,
        (slot, part): (usize, usize),
        draw: impl FnOnce() -> Vec<Launch>,
    ) -> Option<Arc<Few>> {
        if part >= SHARED_PARTS {
            return None;
        }
        let none = || Box::new(std::array::from_fn(|_| OnceLock::new()));
        let place = &self.slots[slot].get_or_init(none)[part];
        if place.get().is_none() && self.kept.load(Relaxed) >= MOST_PARTS {
            return None;
        }
        let few = place.get_or_init(|| {
            self.kept.fetch_add(1, Relaxed);
            Arc::new(Few::of(draw(), self.floor_m))
        });
        Some(Arc::clone(few))
    }
}

/// Which balls: what a set depends on beside player, air and ball.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Which {
    seed: u32,
    /// Whether every swing and lie has points of its own.
    own: bool,
    /// How deep they are flown.
    storeys: u32,
}

/// Sets are flown down this far, or twice as far, and so on: not anew for every hole
/// whose ground lies a little lower, nor all for the deepest. A hole without heights has
/// its floor at 2 m; a level one there too, but for what its heights are rounded by.
const STOREY_M: f64 = 2.01;

impl Which {
    /// With a floor at `floor_m` or below.
    pub fn down_to(floor_m: f64, seed: u32, own: bool) -> Self {
        let mut which = Self {
            seed,
            own,
            storeys: 0,
        };
        while which.floor_m() > floor_m {
            which.storeys += 1;
        }
        which
    }

    fn floor_m(self) -> f64 {
        -STOREY_M * 2.0_f64.powi(self.storeys as i32)
    }
}

/// Launches and calm flights that holes have in common: to be made once for all that
/// one player plays on one day. Who plays otherwise, or in other air, is none the worse:
/// nothing is shared then.
#[derive(Clone, Default)]
pub struct Swung(Arc<Store>);

#[derive(Default)]
struct Store {
    played: OnceLock<Played>,
    /// Parts that are kept.
    kept: Arc<AtomicUsize>,
    sets: Mutex<BTreeMap<Which, Arc<Set>>>,
}

/// What launches and calm flights depend on.
struct Played {
    swings: Vec<Swing>,
    air: Air,
    ball: Ball,
}

impl Swung {
    /// A set; none where it is played otherwise than by the first who asked.
    pub(super) fn set(&self, problem: &Problem, day: &Day, which: Which) -> Option<Arc<Set>> {
        let played = self.0.played.get_or_init(|| Played {
            swings: problem.swings.clone(),
            air: day.air,
            ball: day.ball,
        });
        if played.swings != problem.swings || played.air != day.air || played.ball != day.ball {
            return None;
        }
        let mut sets = self.0.sets.lock().unwrap_or_else(PoisonError::into_inner);
        let set = sets.entry(which).or_insert_with(|| {
            let slots = problem.swings.len() * LIES;
            Arc::new(Set {
                floor_m: which.floor_m(),
                slots: std::iter::repeat_with(OnceLock::new).take(slots).collect(),
                kept: Arc::clone(&self.0.kept),
            })
        });
        Some(Arc::clone(set))
    }
}

impl PartialEq for Swung {
    /// Whether it is the same one.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl std::fmt::Debug for Swung {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Swung").finish_non_exhaustive()
    }
}
