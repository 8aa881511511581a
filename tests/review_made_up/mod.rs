//! Rounds of invented players: the plans played with known course play, by the library's own rollouts.

#![allow(dead_code)]

use bendline::hole::{Course, Hole, Surface};
use bendline::outcome::{Rest, TeeShot, is_penalty};
use bendline::planner::Planner;
use bendline::planner::looked_back::LookedBack;
use bendline::player::{CoursePlay, Player};
use bendline::review::ended::{Ended, POSITION_M, View};
use bendline::review::evidence::Lattice;
use bendline::review::learn::{Estimate, Prior, learn};
use bendline::sample::{DIMENSIONS, Point, normal_quantile};
use bendline::strategy::whole::simulation::Start;
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

const COURSE: &str = include_str!("../../holes/course.geojson");
const LOG: &str = include_str!("../../examples/logs/strong-draw.csv");

/// The nine demo holes.
pub fn course() -> Course {
    Course::from_geojson(COURSE.as_bytes()).expect("the course")
}

/// The built-in player.
pub fn player() -> Player {
    Player::from_log(LOG.as_bytes(), 6.0).expect("the log")
}

/// A seeded source of points.
pub fn luck(seed: u64) -> Pcg64Mcg {
    Pcg64Mcg::seed_from_u64(seed)
}

/// A random point of the unit cube.
pub fn point(luck: &mut Pcg64Mcg) -> Point {
    std::array::from_fn::<f64, DIMENSIONS, _>(|_| {
        ((luck.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    })
}

/// So many tee shots with this course play.
pub fn tee_shots(
    planner: &Planner<'_>,
    play: &CoursePlay,
    shot: &TeeShot,
    (count, luck): (usize, &mut Pcg64Mcg),
) -> Vec<Rest> {
    let points: Vec<Point> = (0..count).map(|_| point(luck)).collect();
    planner
        .swung_with(play, shot, (None, &points))
        .expect("a tee")
}

/// A hole played on from the tee shot, by the plan's policy for the plan's player: the score.
pub fn score(
    planner: &Planner<'_>,
    tee: &LookedBack,
    (play, shot): (&CoursePlay, &TeeShot),
    (first, luck): (Rest, &mut Pcg64Mcg),
) -> usize {
    let hole = planner.hole();
    let (mut rest, mut strokes) = (first, 0);
    loop {
        if let Some((at, taken)) = tee.next(hole, &rest) {
            let start = Start {
                at,
                taken: strokes + taken,
                luck: luck.next_u64(),
            };
            return tee.played_on(hole, &[start], 1)[0].strokes;
        }
        strokes += 2;
        rest = tee_shots(planner, play, shot, (1, luck))[0];
    }
}

/// Where a ball lies, in a player's words.
pub fn words(hole: &Hole, rest: &Rest) -> &'static str {
    match hole.surface_at(rest.at) {
        Surface::Tee | Surface::Fairway => "fairway",
        Surface::Rough => "rough",
        Surface::Bunker => "bunker",
        Surface::Green => "green",
        Surface::Trees => "trees",
        surface if is_penalty(surface) => "penalty",
        _ => "out",
    }
}

/// How intervals hold what is true: of each unknown of course play the share of players whose 80 %
/// interval holds the truth, and the mean of the truth's place in the posterior's scale.
#[derive(Clone, Debug, Default)]
pub struct Holds {
    /// How many players.
    pub players: usize,
    /// By unknown, how many intervals hold the truth.
    pub held: [usize; 5],
    /// By unknown, the sum of log truth less log median, and of its square.
    pub off: [f64; 5],
    /// By unknown, the sum of log truth less log median before.
    pub drawn: [f64; 5],
    /// By unknown, the sum of the interval's width over that before.
    pub narrowed: [f64; 5],
}

/// Players whose true course play is drawn from what log and handicap make likely, each of whom plays so
/// many rounds of the course as planned; what is learnt from where their tee shots ended.
pub fn calibrate(players: usize, rounds: usize, seed: u64) -> Holds {
    let (course, player) = (course(), player());
    let prior = Prior::of(&player);
    // What is drawn once for all players: the plans, and their tee shots at every node.
    let planners: Vec<Planner<'_>> = course
        .holes
        .iter()
        .map(|hole| Planner::new(hole, &player))
        .collect();
    let tees: Vec<(TeeShot, Lattice)> = planners
        .iter()
        .map(|planner| {
            let tee = planner.look_back(&[], &|_| {}).expect("a plan");
            let shot = tee.choice.shot;
            let view = View {
                peg: tee.choice.peg,
                aim_deg: shot.aim_deg,
            };
            let is_driver = CoursePlay::is_drivers(&tee.player.clubs[shot.club]);
            let lattice = Lattice::of(planner, &prior, &shot, (view, is_driver)).expect("a tee");
            (shot, lattice)
        })
        .collect();
    let mut holds = Holds::default();
    for number in 0..players as u64 {
        let mut luck = luck(seed.wrapping_add(number).wrapping_mul(0x9E37_79B9));
        let truth = prior.draw(&point(&mut luck));
        let play = prior.play(&truth);
        let mut evidence = Vec::new();
        for (planner, (shot, lattice)) in planners.iter().zip(&tees) {
            for rest in tee_shots(planner, &play, shot, (rounds, &mut luck)) {
                // Positions are logged with an error.
                let at = lattice.view.of(rest.at);
                let error = point(&mut luck);
                let at = [0, 1].map(|k| at[k] + POSITION_M * normal_quantile(error[k]));
                evidence.push(lattice.evidence(&Ended::At(at), 1.0));
            }
        }
        let learnt = learn(&prior, &evidence);
        holds.players += 1;
        let estimates = learnt.before.all().into_iter().zip(learnt.after.all());
        for (k, (before, after)) in estimates.enumerate() {
            let [low, high] = after.interval_80.map(f64::ln);
            holds.held[k] += usize::from((low..=high).contains(&truth[k]));
            holds.off[k] += truth[k] - after.median.ln();
            holds.drawn[k] += truth[k] - before.median.ln();
            let width = |e: Estimate| (e.interval_80[1] / e.interval_80[0]).ln();
            holds.narrowed[k] += width(after) / width(before);
        }
    }
    holds
}
