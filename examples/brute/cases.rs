//! Demo holes and players that the solver is checked on.

use std::fmt;

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::{Hole, read_course};
use bendline::outcome::Day;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, Player, file, shotlog};
use bendline::strategy::by_game::{EVALUATION_ERROR, Wants, solve_and_decide};
use bendline::strategy::finish::StrokesToGo;
use bendline::strategy::whole::held::Evaluated;
use bendline::strategy::whole::objective::Objective;
use bendline::strategy::whole::{Options, Whole};
use bendline::strategy::{Decision, Priced, Question, StrokesFrom, decide_by};

use super::lattice::Tee;

/// One of the invented players of the shot logs, as `examples/logs/README.md` gives them.
#[derive(Clone, Copy)]
struct Golfer {
    log: &'static str,
    handicap: f64,
    handedness: Handedness,
}

const STRONG_DRAW: Golfer = Golfer {
    log: "strong-draw",
    handicap: 6.0,
    handedness: Handedness::Right,
};
const TWO_WAY: Golfer = Golfer {
    log: "two-way",
    handicap: 18.0,
    handedness: Handedness::Right,
};
const LEFT_HANDER: Golfer = Golfer {
    log: "left-hander",
    handicap: 9.0,
    handedness: Handedness::Left,
};

/// A hole, a player and a wind.
pub struct Case {
    hole: &'static str,
    /// Colour of the tee; none for the usual one.
    tee: Option<&'static str>,
    golfer: Golfer,
    wind: Wind,
}

impl Case {
    const fn calm(hole: &'static str, golfer: Golfer) -> Self {
        Self {
            hole,
            tee: None,
            golfer,
            wind: Wind {
                speed_m_s: 0.0,
                from_deg: 0.0,
                gust_share: 0.0,
            },
        }
    }

    /// From another tee.
    const fn from(self, colour: &'static str) -> Self {
        Self {
            tee: Some(colour),
            ..self
        }
    }

    /// The wind at 10 m, where it blows from, and the standard deviation of its speed
    /// as a share of it.
    const fn windy(
        hole: &'static str,
        golfer: Golfer,
        speed_m_s: f64,
        from_deg: f64,
        gust_share: f64,
    ) -> Self {
        Self {
            hole,
            tee: None,
            golfer,
            wind: Wind {
                speed_m_s,
                from_deg,
                gust_share,
            },
        }
    }
}

/// Priced by the published table. The first three are one player on three holes:
/// trouble that a draw runs into, a lake to carry and out of bounds; calm, and in winds
/// from the side and ahead. The others: a player whose ball bends either way, and a
/// left-hander who has to carry yellow water to an island.
pub const CASES: [Case; 5] = [
    Case::calm("03-contrary", STRONG_DRAW),
    Case::windy("05-two-bites", STRONG_DRAW, 5.0, 240.0, 0.2),
    Case::windy("06-boundary", STRONG_DRAW, 4.0, 30.0, 0.2),
    Case::calm("06-boundary", TWO_WAY),
    Case::windy("07-millpond", LEFT_HANDER, 3.0, 300.0, 0.2),
];

/// Balls of the tee when a plan tells a hole (`src/commands/game.rs`).
const EVALUATION_TEE_BALLS: usize = 16_384;

/// Ten miles an hour, m/s, and its gusts as a plan has them (`src/commands/day.rs`).
const TEN_MPH: f64 = 10.0 * 0.447_04;
const GUSTS: f64 = 0.15;

/// Priced by the whole hole: every demo hole in calm air for one player, two of them in
/// ten miles an hour of wind, one of which slopes, and two for a left-hander, whose draw
/// bends right: out of bounds down that side in calm air, the island in wind. Then tees that
/// stand far along the line of play.
pub const BY_GAME: [Case; 16] = [
    Case::calm("01-sickle", STRONG_DRAW),
    Case::calm("02-kestrel", STRONG_DRAW),
    Case::calm("03-contrary", STRONG_DRAW),
    Case::calm("04-flue", STRONG_DRAW),
    Case::calm("05-two-bites", STRONG_DRAW),
    Case::calm("06-boundary", STRONG_DRAW),
    Case::calm("07-millpond", STRONG_DRAW),
    Case::calm("08-pepperpot", STRONG_DRAW),
    Case::calm("09-long-drop", STRONG_DRAW),
    Case::windy("05-two-bites", STRONG_DRAW, TEN_MPH, 240.0, GUSTS),
    Case::windy("09-long-drop", STRONG_DRAW, TEN_MPH, 30.0, GUSTS),
    Case::calm("06-boundary", LEFT_HANDER),
    Case::windy("07-millpond", LEFT_HANDER, TEN_MPH, 300.0, GUSTS),
    Case::calm("05-two-bites", STRONG_DRAW).from("red"),
    Case::calm("08-pepperpot", STRONG_DRAW).from("yellow"),
    Case::calm("09-long-drop", STRONG_DRAW).from("yellow"),
];

impl fmt::Display for Case {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} from the {} tee with {}, wind {:.1} m/s from {}°, gusts {} of it",
            self.hole,
            self.tee.unwrap_or("usual"),
            self.golfer.log,
            self.wind.speed_m_s,
            self.wind.from_deg,
            self.wind.gust_share
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
    tee: Option<&'static str>,
    by_game: Option<(Whole, Decision)>,
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
        let (file, bytes) = read(format!("examples/logs/{}.csv", case.golfer.log));
        let log = shotlog::read(&file, &bytes).unwrap_or_else(|e| panic!("{e}"));
        let options = FitOptions {
            handedness: case.golfer.handedness,
            handicap: Some(case.golfer.handicap),
            weather,
            firmness: Firmness::Medium,
        };
        Self {
            hole: course.holes.remove(0),
            player: fit(&log, &options).unwrap_or_else(|e| panic!("{e}")),
            to_go: StrokesToGo::for_handicap(case.golfer.handicap),
            tee: case.tee,
            by_game: None,
            day: Day {
                air: Air::of(&weather, 0.03),
                wind: case.wind,
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
            file::from_json(case.golfer.log, written.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
        setting.day.ball = setting.player.own_ball();
        let options = Options {
            evaluation_tee_balls: EVALUATION_TEE_BALLS,
            ..Options::default()
        };
        let wants = Wants {
            aim: &Objective::Strokes,
            beside: &[],
        };
        let (whole, found) = solve_and_decide(&setting.question(), &options, &wants, &|_| ())
            .expect("a ball stays in play");
        setting.by_game = Some((whole, found.decision));
        setting
    }

    /// What a ball is worth where it lies.
    fn worth(&self) -> Box<dyn StrokesFrom + '_> {
        match &self.by_game {
            Some((whole, _)) => Box::new(Evaluated(whole)),
            None => Box::new(self.to_go.clone()),
        }
    }

    /// Standard error of the solver's figure that the brute force does not share: both
    /// price balls by the same told values, whose own error is not in their difference.
    pub fn own_error(&self, priced: &Priced) -> f64 {
        let shared = if self.by_game.is_some() {
            EVALUATION_ERROR
        } else {
            0.0
        };
        (priced.standard_error.powi(2) - shared.powi(2))
            .max(0.0)
            .sqrt()
    }

    /// What the brute force is asked.
    pub fn tee(&self) -> Tee<'_> {
        let question = self.question();
        Tee {
            hole: question.hole,
            area: question.tee,
            player: question.player,
            day: question.day,
            worth: self.worth(),
        }
    }

    fn question(&self) -> Question<'_> {
        Question {
            hole: &self.hole,
            tee: self.hole.tee(self.tee).expect("a hole has its tees"),
            player: &self.player,
            day: &self.day,
            seed: 1,
        }
    }

    /// What the solver decides.
    pub fn decide(&self) -> Decision {
        self.by_game.as_ref().map_or_else(
            || decide_by(&self.question(), &self.to_go, &|_| ()).expect("a ball stays in play"),
            |(_, decision)| decision.clone(),
        )
    }
}
