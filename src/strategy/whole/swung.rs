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
use crate::flight::{Firmness, Knot, Launch};
use crate::outcome::{Day, Downs, Volley};
use crate::player::{ClubShape, Player};
use crate::strategy::known::Known;

/// Balls of a swing's set that are drawn and flown together: many sets are asked for
/// a few of theirs only.
pub(super) const FEW: usize = 16;

/// A few balls of a set.
pub(super) struct Few {
    pub launches: Vec<Launch>,
    /// How deep they are flown.
    floor_m: f64,
    shared: bool,
    /// Flown along north, in calm air.
    flown: OnceLock<Arc<Flights>>,
    downs: OnceLock<Arc<Downs>>,
}

impl Few {
    /// Flown down so far, for one hole or for several.
    pub fn of(launches: Vec<Launch>, floor_m: f64, shared: bool) -> Self {
        Self {
            launches,
            floor_m,
            shared,
            flown: OnceLock::new(),
            downs: OnceLock::new(),
        }
    }

    /// What is known of their flights over level ground: on a day with the same air, ball
    /// and turf whenever it is asked for.
    pub fn downs(&self, day: &Day) -> &Arc<Downs> {
        self.downs
            .get_or_init(|| Downs::of(day.firmness, self.launches.len()))
    }

    /// Their flights down to a floor that is no deeper: on a day with the same air and
    /// ball whenever they are asked for.
    pub fn down_to(&self, floor_m: f64, day: &Day) -> Cut {
        let fly = || {
            let flights = fly(&self.launches, &[], &day.air, &day.ball, self.floor_m);
            // A copy has no room to spare, which others' flights leave by the megabyte.
            Arc::new(if self.shared {
                flights.clone()
            } else {
                flights
            })
        };
        let flights = Arc::clone(self.flown.get_or_init(fly));
        if self.floor_m == floor_m {
            return Cut {
                flights,
                knots: None,
            };
        }
        Cut::at(flights, floor_m)
    }
}

/// Flights down to a hole's own floor, of flights that may go further down.
#[derive(Debug)]
pub(super) struct Cut {
    flights: Arc<Flights>,
    /// By ball, how many knots; none where it is all of them.
    knots: Option<[u8; FEW]>,
}

impl Cut {
    /// At most [`FEW`] flights.
    fn at(flights: Arc<Flights>, floor_m: f64) -> Self {
        let floor = floor_m as f32;
        // As `fly` ends a flight.
        let ends = |k: &Knot| !(k.position_m[2] > floor || k.velocity_m_s[2] > 0.0);
        let mut knots = [0; FEW];
        for (ball, count) in knots.iter_mut().enumerate().take(flights.len()) {
            let all = flights.ball(ball).knots;
            let last = all[1..].iter().position(ends);
            *count = last.map_or(all.len(), |last| last + 2) as u8;
        }
        Self {
            flights,
            knots: Some(knots),
        }
    }

    pub fn ball(&self, ball: usize) -> FlightView<'_> {
        let flight = self.flights.ball(ball);
        match &self.knots {
            None => flight,
            Some(knots) => FlightView {
                knots: &flight.knots[..usize::from(knots[ball])],
                ..flight
            },
        }
    }
}

/// Of a swing and lie so many parts are shared. Further ones belong to swings that are
/// hit often, other ones on every hole: of the first 1024 balls three fifths of what
/// seven level holes asked for had been flown for another of them, of the others a sixth.
const SHARED_PARTS: usize = 64;
/// So many balls are kept in all. A flight has half a kilobyte on level ground, twice as
/// much where it goes on 30 m further down; what is known of one over level ground has half
/// a kilobyte more. With twice as many, nine holes took 45 MB more, and the same time within what the
/// machine's own speed moved by.
const MOST_BALLS: usize = 50_000;

/// One seed's balls of every swing and lie, flown down to the same floor.
pub(super) struct Set {
    floor_m: f64,
    /// `[swing · LIES + lie]`, [`FEW`] by [`FEW`].
    slots: Vec<OnceLock<Parts>>,
    /// How many balls are kept, in all sets.
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
        if place.get().is_none() && self.kept.load(Relaxed) >= MOST_BALLS {
            return None;
        }
        let few = place.get_or_init(|| {
            self.kept.fetch_add(FEW, Relaxed);
            Arc::new(Few::of(draw(), self.floor_m, true))
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
    /// Balls that are kept.
    kept: Arc<AtomicUsize>,
    sets: Mutex<BTreeMap<Which, Arc<Set>>>,
    teed: OnceLock<Teed>,
    /// Off level tees in calm air, by seed, club and balls.
    volleys: Known<(u32, usize, usize), Volley>,
}

/// What launches and calm flights depend on, and how they come down.
struct Played {
    swings: Vec<Swing>,
    air: Air,
    ball: Ball,
    firmness: Firmness,
}

/// What volleys off a level tee in calm air depend on.
struct Teed {
    clubs: Vec<ClubShape>,
    air: Air,
    ball: Ball,
    firmness: Firmness,
}

impl Swung {
    /// A volley in calm air off a level tee; its own where it is played otherwise than by
    /// the first who asked.
    pub(in crate::strategy) fn volley(
        &self,
        player: &Player,
        day: &Day,
        key: (u32, usize, usize),
        fly: impl FnOnce() -> Volley,
    ) -> Volley {
        let Day {
            air,
            ball,
            firmness,
            ..
        } = *day;
        let teed = self.0.teed.get_or_init(|| Teed {
            clubs: player.full_clubs().to_vec(),
            air,
            ball,
            firmness,
        });
        // Part swings are a tee's own.
        let same = key.1 < teed.clubs.len()
            && teed.clubs == player.full_clubs()
            && (teed.air, teed.ball, teed.firmness) == (air, ball, firmness);
        let is_kept = || self.0.volleys.find(&key).is_some();
        if !same || self.0.kept.load(Relaxed) >= MOST_BALLS && !is_kept() {
            return fly();
        }
        let volley = self.0.volleys.of(key, || {
            self.0.kept.fetch_add(key.2, Relaxed);
            fly()
        });
        volley.elsewhere()
    }

    /// A set; none where it is played otherwise than by the first who asked.
    pub(super) fn set(&self, problem: &Problem, day: &Day, which: Which) -> Option<Arc<Set>> {
        let played = self.0.played.get_or_init(|| Played {
            swings: problem.swings.clone(),
            air: day.air,
            ball: day.ball,
            firmness: day.firmness,
        });
        let same = (played.air, played.ball, played.firmness) == (day.air, day.ball, day.firmness);
        if !same || played.swings != problem.swings {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flight::air::{Weather, Wind};
    use crate::sample::points;
    use crate::units::RPM_RAD_S;

    fn day() -> Day {
        Day {
            air: Air::of(&Weather::at_altitude(0.0), 0.03),
            wind: Wind {
                speed_m_s: 0.0,
                from_deg: 0.0,
                gust_share: 0.0,
            },
            ball: Ball::modern(),
            firmness: Firmness::Medium,
        }
    }

    /// From topped chips to drives, and one that hardly leaves the ground.
    fn launches() -> Vec<Launch> {
        (0..FEW)
            .map(|k| Launch {
                ball_speed_m_s: 6.0 + 4.2 * k as f64,
                launch_deg: [0.3, 9.0, 21.0, 48.0][k % 4],
                start_deg: k as f64 - 8.0,
                spin_rad_s: (1200.0 + 600.0 * k as f64) * RPM_RAD_S,
                axis_deg: 3.0 * (k as f64 - 8.0),
            })
            .collect()
    }

    /// Knot by knot what is flown down to the floor itself.
    #[test]
    fn a_flight_that_is_cut_is_that_of_the_floor() {
        let day = day();
        let deep = Few::of(launches(), -64.0, true);
        let mut cut_off = 0;
        for floor_m in [-2.0, -2.01, -7.5, -24.54, -63.9, -64.0] {
            let own = fly(&launches(), &[], &day.air, &day.ball, floor_m);
            let cut = deep.down_to(floor_m, &day);
            assert_eq!(cut.flights.len(), own.len());
            for ball in 0..own.len() {
                assert_eq!(cut.ball(ball), own.ball(ball), "{ball} to {floor_m} m");
                cut_off += cut.flights.ball(ball).knots.len() - own.ball(ball).knots.len();
            }
        }
        assert!(cut_off > 100, "{cut_off}");
    }

    /// A hole that asks for more balls has those of one that asks for fewer, and then more.
    #[test]
    fn fewer_points_are_the_first_of_more() {
        for seed in [1, 0x00F2_E5B1] {
            let most = points(seed, 1000);
            for count in [1, 16, 100, 256] {
                assert_eq!(points(seed, count), most[..count]);
            }
        }
    }

    #[test]
    fn a_set_goes_down_to_the_floor_and_not_twice_as_far() {
        let set_m = |floor_m| Which::down_to(floor_m, 1, false).floor_m();
        for floor_m in [-2.0, -2.000_001, -2.5, -9.38, -24.54, -300.0] {
            assert!(set_m(floor_m) <= floor_m && set_m(floor_m) > 2.02 * floor_m);
        }
        assert_eq!(set_m(-2.0), set_m(-2.000_01));
    }

    /// A part is drawn once, as long as there is room; the others are nobody's.
    #[test]
    fn parts_are_kept_once_and_not_without_end() {
        let kept = Arc::new(AtomicUsize::new(0));
        let set = Set {
            floor_m: -2.01,
            slots: vec![OnceLock::new(), OnceLock::new()],
            kept: Arc::clone(&kept),
        };
        let first = set.few((1, 63), launches).expect("a part");
        let again = set.few((1, 63), || panic!("drawn twice"));
        assert!(again.is_some_and(|again| Arc::ptr_eq(&first, &again)));
        assert_eq!(kept.load(Relaxed), FEW);
        assert!(set.few((1, SHARED_PARTS), launches).is_none());
        kept.store(MOST_BALLS, Relaxed);
        assert!(set.few((0, 0), launches).is_none());
        assert!(set.few((1, 63), launches).is_some());
    }
}
