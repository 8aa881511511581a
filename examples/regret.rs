//! What it costs to plan on a player known from a few shots: this crate's fit beside a plain normal
//! one.
//!
//! Made-up players of known truth log a few shots with each of three clubs. From the log come two
//! players: the fit's, and a plain normal (mean and covariance of the logged launches, every row
//! taken as it is). For each the search that `plan` uses finds peg, club and aim on every demo hole;
//! what the *true* player then loses, against the search's choice for the true player, on balls that
//! no search has seen, is the regret. With `lattice` club and aim are found on a lattice instead,
//! which is quicker.
//!
//! ```sh
//! cargo run --release --example regret -- [players] [shots] [lattice]
//! ```

#[path = "../tests/known_player_made_up/mod.rs"]
mod known_player_made_up;

use bendline::flight::{Air, Ball, Firmness, Launch, Wind};
use bendline::hole::{Hole, read_course};
use bendline::outcome::{Day, TeeShot, Volley, play};
use bendline::player::fit::fit;
use bendline::player::shotlog::ShotLog;
use bendline::player::{Basis, ClubShape, Handedness, LaunchModel, Player};
use bendline::sample::points;
use bendline::strategy::finish::StrokesToGo;
use bendline::strategy::rules::{Price, Rules, Worth};
use bendline::strategy::{Question, decide};
use bendline::units::RPM_RAD_S;
use known_player_made_up::{Luck, Shown, log_of, made_up_club, options, weather};
use rayon::prelude::*;

/// Balls for choosing, and other balls for judging, at each aim.
const BALLS: usize = 512;
const JUDGES: usize = 2048;
/// Sets of so many balls that judge a search's choice.
const JUDGE_SETS: u32 = 8;
/// Aims tried to either side of the hole's first line, degrees.
const REACH_DEG: i32 = 16;

/// How club and aim are found.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Search {
    /// As `plan` finds them.
    Plan,
    /// On a lattice of club and aim from the middle of the tee.
    #[allow(dead_code)] // not every program that takes this file uses both
    Lattice,
}

/// Strokes lost on the true player, hole by hole: by the fit's plan and by the plain normal's.
#[must_use]
pub fn losses(player: usize, shots: usize, holes: &[Hole], search: Search) -> Vec<[f64; 2]> {
    let mut luck = Luck(1_000_003 * (player as u64 + 1) + shots as u64);
    let handicap = 20.0 * luck.uniform();
    let common = (0.15 * luck.normal()).exp();
    let mut log = ShotLog {
        file: "log.csv".to_owned(),
        ..ShotLog::default()
    };
    let mut truth = Vec::new();
    let mut plain = Vec::new();
    for which in 0..3 {
        let (model, name) = made_up_club(&mut luck, which, handicap, common);
        let pattern = model.pattern();
        let launches: Vec<Launch> = (0..shots).map(|_| pattern.draw(&luck.point())).collect();
        log.shots
            .extend(log_of(name, None, &launches, Shown::Everything).shots);
        truth.push(club(name, model));
        plain.push(club(name, plain_normal(&launches)));
    }
    let fitted = fit(&log, &options(Handedness::Right, handicap)).expect("a good log");
    // In the truth's order, so that a club's number means the same club.
    let fitted: Vec<ClubShape> = truth
        .iter()
        .filter_map(|t| fitted.clubs.iter().find(|c| c.club == t.club).cloned())
        .collect();
    let players = [fitted, plain, truth].map(|clubs| Player {
        name: String::new(),
        handedness: Handedness::Right,
        handicap,
        club_length_m: 1.15,
        clubs,
        ball: Default::default(),
        notes: Vec::new(),
        course_play: None,
        log: None,
    });
    holes
        .iter()
        .map(|hole| {
            if search == Search::Plan {
                let [ours, normal, best] = [0, 1, 2].map(|i| {
                    let shot = chosen(hole, &players[i]);
                    judged(hole, &players[2], shot)
                });
                return [ours - best, normal - best];
            }
            let judged = strokes(hole, &players[2], 77, JUDGES);
            let best = judged.iter().copied().fold(f64::INFINITY, f64::min);
            [0, 1].map(|i| judged[lowest(&strokes(hole, &players[i], 5, BALLS))] - best)
        })
        .collect()
}

fn club(name: &str, launches: LaunchModel) -> ClubShape {
    ClubShape {
        club: name.to_owned(),
        shape: "usual".to_owned(),
        launches,
        shots: 0,
        basis: Basis::FullLaunch,
        carry_m: 200.0,
        set_up: Default::default(),
        part_share: None,
    }
}

/// Mean and covariance of the launches as they are: what a spreadsheet does.
fn plain_normal(launches: &[Launch]) -> LaunchModel {
    let fives: Vec<[f64; 5]> = launches
        .iter()
        .map(|l| {
            [
                l.ball_speed_m_s,
                l.launch_deg,
                l.start_deg,
                l.spin_rad_s / RPM_RAD_S,
                l.axis_deg,
            ]
        })
        .collect();
    let n = fives.len() as f64;
    let centre: [f64; 5] = std::array::from_fn(|k| fives.iter().map(|f| f[k]).sum::<f64>() / n);
    let moment = |i: usize, j: usize| {
        fives
            .iter()
            .map(|f| (f[i] - centre[i]) * (f[j] - centre[j]))
            .sum::<f64>()
            / (n - 1.0)
    };
    LaunchModel {
        centre,
        scale: std::array::from_fn(|i| std::array::from_fn(|j| moment(i, j))),
        dof: 1e5,
        mishit_share: 0.0,
        handedness: Handedness::Right,
    }
}

fn day() -> Day {
    Day {
        air: Air::of(&weather(), 0.03),
        wind: Wind {
            speed_m_s: 0.0,
            from_deg: 0.0,
            gust_share: 0.0,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    }
}

/// The search's choice for a player.
fn chosen(hole: &Hole, player: &Player) -> TeeShot {
    let question = Question {
        hole,
        tee: hole.tee(None).expect("a tee"),
        player,
        day: &day(),
        seed: 5,
    };
    decide(&question, &|_| {})
        .expect("balls in play")
        .choice
        .shot
}

/// What a shot costs a player, on balls that no search has seen.
fn judged(hole: &Hole, player: &Player, shot: TeeShot) -> f64 {
    let tee = hole.tee(None).expect("a tee");
    let to_go = StrokesToGo::for_handicap(player.handicap);
    let rules = Rules::new(hole, &to_go, player.club_length_m);
    let peg = tee.peg(shot.from_left_m, shot.behind_front_m);
    let worths: Vec<Worth> = (0..JUDGE_SETS)
        .into_par_iter()
        .flat_map_iter(|set| {
            let balls = points(7700 + set, JUDGES);
            let club = &player.clubs[shot.club];
            let volley = Volley::fly(club, &balls, &day(), [shot.aim_deg; 2], -30.0);
            let rests = play(hole, &volley.toward(shot.aim_deg), peg);
            rests.iter().map(|r| rules.worth(r)).collect::<Vec<_>>()
        })
        .collect();
    Price::of(&worths).strokes
}

/// Expected strokes over a lattice of club and aim, from the middle of the tee.
fn strokes(hole: &Hole, player: &Player, seed: u32, balls: usize) -> Vec<f64> {
    let tee = hole.tee(None).expect("a tee");
    let to_go = StrokesToGo::for_handicap(player.handicap);
    let rules = Rules::new(hole, &to_go, player.club_length_m);
    let day = day();
    let peg = tee.peg(tee.width_m() / 2.0, 0.1);
    let forward = tee.forward();
    let ahead_deg = forward[0].atan2(forward[1]).to_degrees();
    let balls = points(seed, balls);
    let mut out = Vec::new();
    for club in &player.clubs {
        let reach = f64::from(REACH_DEG);
        let volley = Volley::fly(
            club,
            &balls,
            &day,
            [ahead_deg - reach, ahead_deg + reach],
            -30.0,
        );
        let prices: Vec<f64> = (-REACH_DEG..=REACH_DEG)
            .into_par_iter()
            .map(|step| {
                let shot = TeeShot {
                    club: 0,
                    from_left_m: tee.width_m() / 2.0,
                    behind_front_m: 0.1,
                    aim_deg: ahead_deg + f64::from(step),
                };
                let rests = play(hole, &volley.toward(shot.aim_deg), peg);
                let worths: Vec<Worth> = rests.iter().map(|r| rules.worth(r)).collect();
                Price::of(&worths).strokes
            })
            .collect();
        out.extend(prices);
    }
    out
}

fn lowest(strokes: &[f64]) -> usize {
    (0..strokes.len())
        .min_by(|a, b| strokes[*a].total_cmp(&strokes[*b]))
        .expect("a lattice has points")
}

/// The demo holes.
#[must_use]
pub fn holes() -> Vec<Hole> {
    let json = include_bytes!("../holes/course.geojson");
    read_course("course.geojson", json, None)
        .expect("good holes")
        .holes
}

/// Mean and standard error.
#[must_use]
pub fn mean_and_error(values: &[f64]) -> [f64; 2] {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0);
    [mean, (variance / n).sqrt()]
}

#[allow(dead_code)] // not where a test takes this file as a module
fn main() {
    let argument = |k: usize, usual: usize| {
        std::env::args()
            .nth(k)
            .and_then(|text| text.parse().ok())
            .unwrap_or(usual)
    };
    let (players, shots) = (argument(1, 24), argument(2, 15));
    let holes = holes();
    let search = match std::env::args().nth(3).as_deref() {
        Some("lattice") => Search::Lattice,
        _ => Search::Plan,
    };
    let lost: Vec<Vec<[f64; 2]>> = (0..players)
        .map(|p| losses(p, shots, &holes, search))
        .collect();
    let say = |name: &str, of: &dyn Fn(&[[f64; 2]]) -> f64| {
        let by_player: Vec<f64> = lost.iter().map(|holes| of(holes)).collect();
        let [mean, error] = mean_and_error(&by_player);
        println!(
            "{name:<28} {mean:.4} strokes a hole (90 %: {:.4} to {:.4})",
            mean - 1.645 * error,
            mean + 1.645 * error
        );
    };
    println!(
        "{players} players, {shots} shots a club, {} holes",
        holes.len()
    );
    let mean =
        |holes: &[[f64; 2]], i: usize| holes.iter().map(|h| h[i]).sum::<f64>() / holes.len() as f64;
    say("this fit loses", &|holes| mean(holes, 0));
    say("a plain normal loses", &|holes| mean(holes, 1));
    say("the plain normal loses more by", &|holes| {
        mean(holes, 1) - mean(holes, 0)
    });
}
