//! Balls that are hit, from their flight to their rest and what lies there.

use super::crossing::last_crossing;
use super::level::{Begun, Landed, Level, Turn};
use super::{Ground, Rest, is_penalty};
use crate::flight::rest::{Frame, Grounded, Luck, come_down, come_to_rest_in, run_out_together};
use crate::flight::trajectory::FlightView;
use crate::flight::{Firmness, Resting};
use crate::hole::{Coord, Hole, Surface};
use crate::vectors::widest;

/// A ball that is hit.
pub(crate) struct Struck<'a> {
    /// Its flight in its own frame.
    pub flight: FlightView<'a>,
    /// What is known of it in calm air over level ground, and its number there.
    pub known: Option<(&'a Level, usize)>,
    /// Where from.
    pub from: Coord<f64>,
    /// How its frame lies on the plane.
    pub turn: Turn,
    /// A uniform in (0, 1), high is lucky.
    pub tree_luck: f64,
    /// Its start direction, degrees right of the aim.
    pub start_deg: f64,
}

impl Struck<'_> {
    fn frame(&self, hole: &Hole) -> Frame {
        let height_m = hole.ground().height_m(self.from.x, self.from.y);
        self.turn.frame(self.from, height_m)
    }
}

/// What bringing balls to rest needs for itself.
#[derive(Default)]
pub(crate) struct Settling {
    track: Vec<[f64; 2]>,
    /// Those on the ground, and their numbers.
    grounded: Vec<Grounded>,
    numbers: Vec<usize>,
    /// Those of which it is not found yet how they run out, and their numbers.
    landed: Vec<(usize, Landed)>,
}

/// What is known of so many balls is read before the first of them is followed, so that
/// they wait for the memory together: nine holes took 0.978 of the processor time for it
/// (three pairs, shots of up to 64 balls, incremental builds).
const FETCHED: usize = 32;

/// So many balls to rest, in order, and what lies there. `struck` may be asked more than
/// once for one.
pub(crate) fn settle<'a>(
    hole: &Hole,
    firmness: Firmness,
    count: usize,
    struck: impl Fn(usize) -> Struck<'a>,
    scratch: &mut Settling,
    rests: &mut Vec<Rest>,
) {
    rests.clear();
    scratch.grounded.clear();
    scratch.numbers.clear();
    scratch.landed.clear();
    widest(
        #[inline(always)]
        || begun(hole, count, &struck, scratch, rests, firmness),
    );
    if !scratch.landed.is_empty() {
        let landed = scratch.landed.iter();
        Level::find(landed.filter_map(|(number, landed)| {
            let (level, at) = struck(*number).known?;
            Some((level, at, landed))
        }));
        widest(
            #[inline(always)]
            || run_on(hole, &struck, scratch, rests, firmness),
        );
    }
    run_out_together(&Ground(hole), firmness, &mut scratch.grounded);
    for (&number, grounded) in scratch.numbers.iter().zip(&scratch.grounded) {
        let rest = &mut rests[number];
        *rest = lying(hole, &grounded.resting(), rest.start_deg);
        if is_penalty(rest.surface) {
            // Where it crossed the edge, its whole way tells.
            *rest = settle_alone(hole, firmness, &struck(number), &mut scratch.track);
        }
    }
}

/// Balls to rest as far as they need not be followed over the ground; those that do are
/// left in `scratch`, and those of which it has to be found first how they run out.
#[inline(always)]
fn begun<'a>(
    hole: &Hole,
    count: usize,
    struck: impl Fn(usize) -> Struck<'a>,
    scratch: &mut Settling,
    rests: &mut Vec<Rest>,
    firmness: Firmness,
) {
    let ground = Ground(hole);
    for number in 0..count {
        if number % FETCHED == 0 {
            let soon = number..(number + FETCHED).min(count);
            let known = soon.filter_map(|number| struck(number).known);
            std::hint::black_box(known.map(|(level, at)| level.fetch(at)).sum::<f32>());
        }
        let ball = struck(number);
        let begun = match ball.known {
            Some((level, at)) => match level.land(at, hole, &ball, &mut scratch.track) {
                Ok(landed) if level.is_found(at, &landed) => level.run_on(at, &landed, hole, &ball),
                Ok(landed) => {
                    scratch.landed.push((number, landed));
                    rests.push(not_yet(&ball));
                    continue;
                }
                Err(begun) => begun,
            },
            None => {
                let luck = Luck::of(ball.tree_luck);
                let (frame, track) = (ball.frame(hole), &mut scratch.track);
                Some(
                    match come_down(&ground, ball.flight, &frame, &luck, track) {
                        Ok(grounded) => Begun::Runs(grounded),
                        Err(fallen) => Begun::Rests(lying(hole, &fallen, ball.start_deg)),
                    },
                )
            }
        };
        rests.push(scratch.rest_of(begun, (number, &ball), hole, firmness));
    }
}

/// Goes on with the balls of which it has been found how they run out.
#[inline(always)]
fn run_on<'a>(
    hole: &Hole,
    struck: impl Fn(usize) -> Struck<'a>,
    scratch: &mut Settling,
    rests: &mut [Rest],
    firmness: Firmness,
) {
    for at in 0..scratch.landed.len() {
        let (number, landed) = scratch.landed[at];
        let ball = struck(number);
        let known = ball.known;
        let begun = known.and_then(|(level, at)| level.run_on(at, &landed, hole, &ball));
        rests[number] = scratch.rest_of(begun, (number, &ball), hole, firmness);
    }
}

/// What holds the place of a ball that has not come to rest.
fn not_yet(ball: &Struck<'_>) -> Rest {
    Rest {
        at: ball.from,
        surface: Surface::Rough,
        crossed: None,
        landed: ball.from,
        start_deg: ball.start_deg,
        is_sound: true,
    }
}

impl Settling {
    /// The rest of a ball that is known so far, or what holds its place until it has run out.
    #[inline(always)]
    fn rest_of(
        &mut self,
        begun: Option<Begun>,
        (number, ball): (usize, &Struck<'_>),
        hole: &Hole,
        firmness: Firmness,
    ) -> Rest {
        match begun {
            Some(Begun::Rests(rest)) if !is_penalty(rest.surface) => rest,
            Some(Begun::Runs(grounded)) => {
                self.grounded.push(grounded);
                self.numbers.push(number);
                not_yet(ball)
            }
            _ => settle_alone(hole, firmness, ball, &mut self.track),
        }
    }
}

/// What lies where a ball rests.
fn lying(hole: &Hole, resting: &Resting, start_deg: f64) -> Rest {
    let [at, landed] =
        [resting.at, [resting.landed[0], resting.landed[1]]].map(|[x, y]| Coord { x, y });
    Rest {
        at,
        surface: hole.surface_at(at),
        crossed: None,
        landed,
        start_deg,
        is_sound: !resting.hit_tree,
    }
}

/// One ball, followed from where it was hit, and where it crossed into a penalty area.
fn settle_alone(
    hole: &Hole,
    firmness: Firmness,
    ball: &Struck<'_>,
    track: &mut Vec<[f64; 2]>,
) -> Rest {
    let (flight, frame) = (ball.flight, &ball.frame(hole));
    let resting = come_to_rest_in(
        &Ground(hole),
        flight,
        frame,
        ball.tree_luck,
        firmness,
        track,
    );
    let mut rest = lying(hole, &resting, ball.start_deg);
    if is_penalty(rest.surface) {
        let airborne = flight.knots.iter().map(|knot| {
            let [x, y, _] = frame.place(knot.position_m);
            Coord { x, y }
        });
        rest.crossed = Some(last_crossing(hole, airborne, rest.landed, track, rest.at));
    }
    rest
}
