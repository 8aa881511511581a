//! Made-up players of three kinds that share nothing with the fit's own family, a multivariate t over
//! launches with spreads about its priors.
//!
//! | kind | what scatters | how |
//! | --- | --- | --- |
//! | [`Kind::Delivery`] | face, path, attack, loft, strike across and up the face, club speed, struck by [`strike`] | correlated normals; some swings of a player are two to three times as wild |
//! | [`Kind::StartAndBend`] | start line and curve; carry beside them | start and curve each a t of its own, carry a normal: tails are not shared |
//! | [`Kind::TwoWay`] | start, axis, speed, launch, spin | two normals: the stock shape, and a miss to the other side in 8 to 22 of 100 |
//!
//! Of all three so many are hit fat or thin as the level has it (1 in 300 to 1 in 17): they keep 40 to 75 %
//! of the carry, or of the club's speed, and go nowhere else.
//!
//! Spreads go with the level as published ranges of driving do (degrees offline: tour 3–4, shoots 80
//! 4–9, shoots 100 5–11) or as practice has club speed and strike; how they split, their correlations
//! and their tails are drawn for each player.

use bendline::flight::{ClubHead, Delivery, Launch, strike};
use bendline::player::club::{Club, Family};
use bendline::player::shotlog::{Shot, ShotLog};
use bendline::units::RPM_RAD_S;

use super::{Luck, Shown, land};

/// How a player's shots come about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Delivery,
    StartAndBend,
    TwoWay,
}

impl Kind {
    pub const ALL: [Self; 3] = [Self::Delivery, Self::StartAndBend, Self::TwoWay];
}

/// A ball: where it landed, how it left.
#[derive(Clone, Copy, Debug)]
pub struct Hit {
    pub carry_m: f64,
    pub side_m: f64,
    pub start_deg: f64,
    pub curve_m: f64,
    pub launch: Option<Launch>,
}

/// One player with one club.
#[derive(Clone, Debug)]
pub struct Made {
    pub club: &'static str,
    /// The Handicap Index that is told.
    pub handicap: f64,
    habit: Habit,
    /// Share of balls that are hit fat or thin.
    mishits: f64,
}

#[derive(Clone, Debug)]
enum Habit {
    Delivery(Swing),
    StartAndBend {
        carry: [f64; 2],
        start: [f64; 2],
        bend_deg: [f64; 2],
        dof: [f64; 2],
    },
    TwoWay {
        stock: [f64; 5],
        miss: [f64; 5],
        spread: [f64; 5],
        share: f64,
    },
}

/// Mean and standard deviation of club speed, attack, path, face to path, loft, strike across, strike
/// up; correlations of face with path and of loft with attack.
#[derive(Clone, Debug)]
struct Swing {
    head: ClubHead,
    means: [f64; 7],
    spread: [f64; 7],
    face_follows_path: f64,
    loft_follows_attack: f64,
    strike_follows_path: f64,
    wild: [f64; 2],
}

/// Between a and b.
fn within(luck: &mut Luck, a: f64, b: f64) -> f64 {
    a + (b - a) * luck.uniform()
}

/// Level 0 of a tour player to 1 of one who shoots 100.
fn by_level(level: f64, tour: f64, bogey: f64) -> f64 {
    tour + (bogey - tour) * level
}

/// A player of this kind.
pub fn made(luck: &mut Luck, kind: Kind) -> Made {
    let level = luck.uniform();
    let handicap = (-4.0 + 30.0 * level + 3.0 * luck.normal()).clamp(-5.0, 36.0);
    let (club, carry_m) = [
        ("driver", 225.0),
        ("5w", 190.0),
        ("7i", 142.0),
        ("9i", 122.0),
    ][(luck.uniform() * 4.0) as usize];
    let carry_m = carry_m * by_level(level, 1.12, 0.85) * within(luck, 0.95, 1.05);
    let share = match Club::of(club).family {
        Family::Driver => 1.0,
        Family::Wood => 0.95,
        _ => 0.8,
    };
    let offline_deg = share * within(luck, by_level(level, 3.0, 5.0), by_level(level, 4.0, 11.0));
    let habit = match kind {
        Kind::Delivery => Habit::Delivery(swing(luck, club, level)),
        Kind::StartAndBend => {
            // Which part of the variance the start line has.
            let of_start = within(luck, 0.2, 0.75);
            Habit::StartAndBend {
                carry: [
                    carry_m,
                    carry_m
                        * within(
                            luck,
                            by_level(level, 0.02, 0.04),
                            by_level(level, 0.04, 0.075),
                        ),
                ],
                start: [2.5 * luck.normal(), offline_deg * of_start.sqrt()],
                bend_deg: [2.5 * luck.normal(), offline_deg * (1.0 - of_start).sqrt()],
                dof: [within(luck, 3.0, 8.0), within(luck, 3.0, 8.0)],
            }
        }
        Kind::TwoWay => two_way(luck, club, carry_m, offline_deg, level),
    };
    Made {
        club,
        handicap,
        habit,
        mishits: by_level(level, 0.003, 0.06) * (0.4 * luck.normal()).exp(),
    }
}

fn swing(luck: &mut Luck, club: &str, level: f64) -> Swing {
    // Head, club speed of a scratch player, attack, dynamic loft.
    let (head, speed, attack, loft) = match club {
        "driver" => (ClubHead::driver(), 46.0, -1.0, 13.5),
        "5w" => (ClubHead::fairway_wood(), 43.0, -2.5, 15.5),
        "7i" => (ClubHead::iron(), 37.5, -3.5, 23.0),
        _ => (ClubHead::iron(), 35.0, -4.0, 30.0),
    };
    let own = |luck: &mut Luck| (0.2 * luck.normal()).exp();
    let means = [
        speed * by_level(level, 1.06, 0.84) * within(luck, 0.96, 1.04),
        attack + 1.0 * luck.normal(),
        3.0 * luck.normal(),
        1.5 * luck.normal(),
        loft + 1.2 * luck.normal(),
        3.0 * luck.normal(),
        2.0 * luck.normal(),
    ];
    let spread = [
        means[0] * by_level(level, 0.009, 0.026) * own(luck),
        by_level(level, 0.7, 1.5) * own(luck),
        by_level(level, 1.0, 2.2) * own(luck),
        by_level(level, 1.0, 2.2) * own(luck),
        by_level(level, 0.6, 1.4) * own(luck),
        by_level(level, 3.5, 8.0) * own(luck),
        by_level(level, 2.5, 5.0) * own(luck),
    ];
    Swing {
        head,
        means,
        spread,
        face_follows_path: within(luck, 0.2, 0.8),
        loft_follows_attack: within(luck, 0.0, 0.7),
        strike_follows_path: within(luck, -0.4, 0.2),
        wild: [within(luck, 0.03, 0.12), within(luck, 2.0, 3.0)],
    }
}

fn two_way(luck: &mut Luck, club: &str, carry_m: f64, offline_deg: f64, level: f64) -> Habit {
    let (angle, spin) = Club::of(club).usual_launch(carry_m);
    let speed = 66.0 * (carry_m / if club == "driver" { 230.0 } else { 218.0 }).powf(1.0 / 1.6);
    let hand = if luck.uniform() < 0.5 { -1.0 } else { 1.0 };
    let axis = hand * within(luck, 2.0, 8.0);
    let stock = [
        speed,
        angle + luck.normal(),
        -0.4 * axis + luck.normal(),
        spin * (0.08 * luck.normal()).exp(),
        axis,
    ];
    // The stock shape is tighter than the whole.
    let of_start = within(luck, 0.3, 0.7);
    let tight = 0.75 * offline_deg;
    let spread = [
        speed * by_level(level, 0.015, 0.035) * (0.2 * luck.normal()).exp(),
        by_level(level, 1.0, 2.4) * (0.2 * luck.normal()).exp(),
        tight * of_start.sqrt(),
        spin * by_level(level, 0.07, 0.15) * (0.2 * luck.normal()).exp(),
        tight * (1.0 - of_start).sqrt() / 0.5,
    ];
    // The other way: the face is late or early, start and bend go wrong together.
    let out = -hand * within(luck, 1.0, 2.2) * offline_deg;
    let mut miss = stock;
    miss[0] *= within(luck, 0.93, 1.0);
    miss[2] += 0.4 * out;
    miss[4] += 0.6 * out / 0.5;
    Habit::TwoWay {
        stock,
        miss,
        spread,
        share: within(luck, 0.08, 0.22),
    }
}

/// A t variate with standard deviation 1: a normal over the root of a χ², made of normals.
fn heavy(luck: &mut Luck, dof: f64) -> f64 {
    // χ² of a fractional number of degrees, as a gamma by Marsaglia and Tsang.
    let shape = 0.5 * dof;
    let d = shape - 1.0 / 3.0;
    let c = 1.0 / (9.0 * d).sqrt();
    let gamma = loop {
        let x = luck.normal();
        let v = (1.0 + c * x).powi(3);
        if v > 0.0 && luck.uniform().ln() < 0.5 * x * x + d * (1.0 - v + v.ln()) {
            break d * v;
        }
    };
    luck.normal() * (0.5 * dof / gamma).sqrt() * ((dof - 2.0) / dof).sqrt()
}

impl Made {
    /// So many balls.
    pub fn hits(&self, luck: &mut Luck, count: usize) -> Vec<Hit> {
        if let Habit::StartAndBend {
            carry,
            start,
            bend_deg,
            dof,
        } = &self.habit
        {
            return (0..count)
                .map(|_| {
                    let sound_m = carry[0] + carry[1] * luck.normal();
                    let carry_m = sound_m * self.kept(luck);
                    let start_deg = start[0] + start[1] * heavy(luck, dof[0]);
                    let bend = bend_deg[0] + bend_deg[1] * heavy(luck, dof[1]);
                    let [start_deg, bend] = [start_deg, bend].map(|deg| deg.clamp(-40.0, 40.0));
                    Hit {
                        carry_m,
                        side_m: carry_m * (start_deg + bend).to_radians().sin(),
                        start_deg,
                        curve_m: carry_m * bend.to_radians().sin(),
                        launch: None,
                    }
                })
                .collect();
        }
        let launches: Vec<Launch> = (0..count).map(|_| self.launch(luck)).collect();
        let landed = land(&launches);
        let pairs = launches.into_iter().zip(landed);
        pairs
            .map(|(launch, [carry_m, side_m])| {
                let direction = (side_m / carry_m).clamp(-1.0, 1.0).asin().to_degrees();
                Hit {
                    carry_m,
                    side_m,
                    start_deg: launch.start_deg,
                    curve_m: carry_m * (direction - launch.start_deg).to_radians().sin(),
                    launch: Some(launch),
                }
            })
            .collect()
    }

    /// What a ball keeps of its carry or of its club's speed.
    fn kept(&self, luck: &mut Luck) -> f64 {
        let kept = within(luck, 0.4, 0.75);
        if luck.uniform() < self.mishits {
            kept
        } else {
            1.0
        }
    }

    fn launch(&self, luck: &mut Luck) -> Launch {
        let kept = self.kept(luck);
        match &self.habit {
            Habit::Delivery(swing) => swing.launch(luck, kept),
            Habit::TwoWay {
                stock,
                miss,
                spread,
                share,
            } => {
                let about = if luck.uniform() < *share { miss } else { stock };
                let five: [f64; 5] = std::array::from_fn(|k| about[k] + spread[k] * luck.normal());
                Launch {
                    ball_speed_m_s: (kept * five[0]).max(5.0),
                    launch_deg: five[1].max(1.0),
                    start_deg: five[2],
                    spin_rad_s: five[3].max(500.0) * RPM_RAD_S,
                    axis_deg: five[4].clamp(-60.0, 60.0),
                }
            }
            Habit::StartAndBend { .. } => unreachable!("it has no launches"),
        }
    }
}

impl Swing {
    fn launch(&self, luck: &mut Luck, kept: f64) -> Launch {
        let wild = if luck.uniform() < self.wild[0] {
            self.wild[1]
        } else {
            1.0
        };
        let z: [f64; 7] = std::array::from_fn(|_| wild * luck.normal());
        let mixed = |with: f64, a: f64, b: f64| with * a + (1.0 - with * with).sqrt() * b;
        let at = |k: usize, z: f64| self.means[k] + self.spread[k] * z;
        let path_deg = at(2, z[2]);
        // A face that follows the path varies less against it.
        let face_to_path = at(3, mixed(self.face_follows_path - 0.5, z[2], z[3]));
        strike(
            &Delivery {
                club_speed_m_s: kept * at(0, z[0]).max(10.0),
                attack_deg: at(1, z[1]),
                path_deg,
                face_deg: path_deg + face_to_path,
                dynamic_loft_deg: at(4, mixed(self.loft_follows_attack, z[1], z[4])).max(2.0),
                strike_right_mm: at(5, mixed(self.strike_follows_path, z[2], z[5]))
                    .clamp(-28.0, 28.0),
                strike_high_mm: at(6, z[6]).clamp(-16.0, 16.0),
            },
            &self.head,
        )
    }
}

/// The log of these balls.
pub fn log_of_hits(club: &str, hits: &[Hit], shown: Shown) -> ShotLog {
    let shots = hits.iter().enumerate().map(|(i, hit)| {
        let mut shot = Shot {
            line: i + 2,
            club: club.to_owned(),
            carry_m: hit.carry_m,
            ..Shot::default()
        };
        match (shown, hit.launch) {
            (Shown::CarrySide, _) => shot.side_m = Some(hit.side_m),
            (Shown::Everything, Some(launch)) => {
                shot.side_m = Some(hit.side_m);
                shot.start_deg = Some(launch.start_deg);
                shot.ball_speed_m_s = Some(launch.ball_speed_m_s);
                shot.launch_deg = Some(launch.launch_deg);
                shot.spin_rpm = Some(launch.spin_rad_s / RPM_RAD_S);
                shot.axis_deg = Some(launch.axis_deg);
            }
            _ => {
                shot.start_deg = Some(hit.start_deg);
                shot.curve_m = Some(hit.curve_m);
            }
        }
        shot
    });
    ShotLog {
        file: "log.csv".to_owned(),
        shots: shots.collect(),
        ..ShotLog::default()
    }
}
