//! Demo holes and players that the solver is checked on.

use std::fmt;

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::{Hole, read_course};
use bendline::outcome::Day;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, Player, file, shotlog};
use bendline::strategy::by_game::{Wants, decide_by_game};
use bendline::strategy::finish::StrokesToGo;
use bendline::strategy::whole::aims_of_play::AimOfPlay;
use bendline::strategy::whole::held::Told;
use bendline::strategy::whole::{Options, Whole};
use bendline::strategy::{Decision, Question, StrokesFrom, decide_by};

use super::lattice::Tee;

/// A hole, a player and a wind.
pub struct Case {
    hole: &'static str,
    log: &'static str,
    handicap: f64,
    handedness: Handedness,
    /// At 10 m, m/s.
    wind_m_s: f64,
    /// Where it blows from, degrees.
    from_deg: f64,
    /// Standard deviation of its speed as a share of it.
    gust_share: f64,
}

/// Handicaps and hands as `examples/logs/README.md` gives them. The first
/// three are one player on three holes: trouble that a draw runs into, a lake
/// to carry and out of bounds; calm, and in winds from the side and ahead. The
/// others: a player whose ball bends either way, and a left-hander who has to
/// carry yellow water to an island.
pub const CASES: [Case; 5] = [
    Case {
        hole: "03-contrary",
        log: "strong-draw",
        handicap: 6.0,
        handedness: Handedness::Right,
        wind_m_s: 0.0,
        from_deg: 0.0,
        gust_share: 0.0,
    },
    Case {
        hole: "05-two-bites",
        log: "strong-draw",
        handicap: 6.0,
        handedness: Handedness::Right,
        wind_m_s: 5.0,
        from_deg: 240.0,
        gust_share: 0.2,
    },
    Case {
        hole: "06-boundary",
        log: "strong-draw",
        handicap: 6.0,
        handedness: Handedness::Right,
        wind_m_s: 4.0,
        from_deg: 30.0,
        gust_share: 0.2,
    },
    Case {
        hole: "06-boundary",
        log: "two-way",
        handicap: 18.0,
        handedness: Handedness::Right,
        wind_m_s: 0.0,
        from_deg: 0.0,
        gust_share: 0.0,
    },
    Case {
        hole: "07-millpond",
        log: "left-hander",
        handicap: 9.0,
        handedness: Handedness::Left,
        wind_m_s: 3.0,
        from_deg: 300.0,
        gust_share: 0.2,
    },
];

/// Balls of the tee when a plan tells a hole (`src/commands/game.rs`).
const TOLD_TEE_BALLS: usize = 16_384;

/// Every demo hole in calm air, for one player: priced by the whole hole.
pub const BY_GAME: [Case; 9] = [
    calm("01-sickle"),
    calm("02-kestrel"),
    calm("03-contrary"),
    calm("04-flue"),
    calm("05-two-bites"),
    calm("06-boundary"),
    calm("07-millpond"),
    calm("08-pepperpot"),
    calm("09-long-drop"),
];

const fn calm(hole: &'static str) -> Case {
    Case {
        hole,
        log: "strong-draw",
        handicap: 6.0,
        handedness: Handedness::Right,
        wind_m_s: 0.0,
        from_deg: 0.0,
        gust_share: 0.0,
    }
}

impl fmt::Display for Case {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} with {}, wind {} m/s from {}°, gusts {} of it",
            self.hole, self.log, self.wind_m_s, self.from_deg, self.gust_share
        )
    }
}

/// A case, read and fitted.
pub struct Setting {
    hole: Hole,
    /// The player.
    pub player: Player,
    day: Day,
    to_go: StrokesToGo,
    whole: Option<Whole>,
}

impl Setting {
    /// Reads the hole and fits the player.
    ///
    /// # Panics
    /// When a demo file is missing or broken.
    pub fn of(case: &Case) -> Self {
        let read = |path: String| {
            let whole = format!("{}/{path}", env!("CARGO_MANIFEST_DIR"));
            let bytes = std::fs::read(&whole).unwrap_or_else(|e| panic!("{whole}: {e}"));
            (path, bytes)
        };
        let (file, bytes) = read(format!("holes/{}.geojson", case.hole));
        let mut course = read_course(&file, &bytes, None).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(course.holes.len(), 1, "{file} holds one hole");
        // The air in which the logs were made, and the day to be played in.
        let weather = Weather {
            temperature_c: 20.0,
            humidity: 0.5,
            ..Weather::at_altitude(0.0)
        };
        let (file, bytes) = read(format!("examples/logs/{}.csv", case.log));
        let log = shotlog::read(&file, &bytes).unwrap_or_else(|e| panic!("{e}"));
        let options = FitOptions {
            handedness: case.handedness,
            handicap: Some(case.handicap),
            weather,
            firmness: Firmness::Medium,
        };
        Self {
            hole: course.holes.remove(0),
            player: fit(&log, &options).unwrap_or_else(|e| panic!("{e}")),
            to_go: StrokesToGo::for_handicap(case.handicap),
            whole: None,
            day: Day {
                air: Air::of(&weather, 0.03),
                wind: Wind {
                    speed_m_s: case.wind_m_s,
                    from_deg: case.from_deg,
                    gust_share: case.gust_share,
                },
                ball: Ball::modern(),
                firmness: Firmness::Medium,
            },
        }
    }

    /// The same with the whole hole's own values, as they are told, in the table's place.
    pub fn by_game(case: &Case) -> Self {
        let mut setting = Self::of(case);
        // A plan has the player as the player file gives it back, and that player's ball.
        let written = file::to_json(&setting.player);
        setting.player =
            file::from_json(case.log, written.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
        setting.day.ball = setting.player.own_ball();
        let options = Options {
            told_tee_balls: TOLD_TEE_BALLS,
            ..Options::default()
        };
        let tee = setting.hole.tee(None).expect("a hole has a tee");
        let start = tee.peg(tee.width_m() / 2.0, 0.1);
        let whole = Whole::of(
            &setting.hole,
            &setting.player,
            &setting.day,
            start,
            &options,
            None,
        );
        setting.whole = Some(whole);
        setting
    }

    /// What a ball is worth where it lies.
    fn worth(&self) -> Box<dyn StrokesFrom + '_> {
        match &self.whole {
            Some(whole) => Box::new(Told(whole)),
            None => Box::new(self.to_go.clone()),
        }
    }

    /// What the brute force is asked.
    pub fn tee(&self) -> Tee<'_> {
        Tee {
            hole: &self.hole,
            area: self.hole.tee(None).expect("a hole has a tee"),
            player: &self.player,
            day: &self.day,
            worth: self.worth(),
        }
    }

    /// What the solver decides.
    pub fn decide(&self) -> Decision {
        let question = Question {
            hole: &self.hole,
            tee: self.hole.tee(None).expect("a hole has a tee"),
            player: &self.player,
            day: &self.day,
            seed: 1,
        };
        let Some(whole) = &self.whole else {
            return decide_by(&question, &self.to_go, &|_| ()).expect("a ball stays in play");
        };
        let wants = Wants {
            aim: &AimOfPlay::Strokes,
            beside: &[],
        };
        decide_by_game(&question, whole, &wants, &|_| ())
            .expect("a ball stays in play")
            .decision
    }
}
