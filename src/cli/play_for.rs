//! What the player wants, and by what a tee shot is judged.

use bendline::units::own_shot::{self, OwnShotText};
use bendline::units::{parse::Misread, scores};
use clap::{Args, ValueEnum};

/// What the player wants, and by what a tee shot is judged: what `plan` and `book` share.
#[derive(Args, Debug, Clone)]
#[command(next_help_heading = "What for")]
pub struct PlayFor {
    /// What the player wants of each hole: fewest strokes, the best chance of par or better, of no
    /// double bogey, most Stableford points, or winning it against --opponent
    #[arg(long = "for", value_enum, value_name = "AIM", default_value_t = Aim::Strokes, conflicts_with = "round")]
    pub aim: Aim,

    /// With --for match, how often the opponent makes which score, as weights; a halved hole counts
    /// as half a hole won
    ///
    /// [default: birdie:10,par:50,bogey:30,double:10]
    #[arg(long, value_name = "LIST", value_parser = opponent, conflicts_with = "round", default_value_if("aim", "match", "birdie:10,par:50,bogey:30,double:10"))]
    pub opponent: Option<scores::ScoreList>,

    /// Handicap strokes received over the round (the Playing Handicap; in a match the difference),
    /// by the stroke index of every hole: points are then net, and so is the match; below 0 for a
    /// player who gives them back
    #[arg(long, value_name = "N", conflicts_with = "round", allow_hyphen_values = true, value_parser = clap::value_parser!(i32).range(-18..=72))]
    pub receives: Option<i32>,

    /// What a ball is worth where it lies: what this player's own next shots make of it (game), or
    /// what the published table says for the level (table; quicker)
    #[arg(long, value_enum, value_name = "BY", default_value_t = Worth::Game)]
    pub worth: Worth,

    /// Take your shots on the course to be as they were logged; else they scatter more, by your handicap
    /// and the log
    #[arg(long)]
    pub as_on_the_range: bool,

    /// A tee shot of your own, priced beside the plan on the same balls and drawn on a page of its
    /// own: a club with its shape, an aim, a peg, such as "3-wood draw, aim 10yd left, peg right";
    /// what you leave out is the best for the rest. Aims: "10yd left" or "3deg right" (of the plan),
    /// "5yd right of middle", "middle", "at far bunker", "5yd left of far bunker", "at LONGITUDE
    /// LATITUDE"; pegs: "left",
    /// "middle", "2yd from right". With "7:" in front for hole 7 only; at most 20
    #[arg(long, value_name = "SHOT", value_parser = own_shot)]
    pub instead: Vec<OwnShotText>,
}

/// `strokes`, `par`, `no-double`, `points` or `match`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Aim {
    #[default]
    Strokes,
    Par,
    NoDouble,
    Points,
    Match,
}

/// `game` or `table`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Worth {
    #[default]
    Game,
    Table,
}

fn own_shot(text: &str) -> Result<OwnShotText, Misread> {
    own_shot::read(text)
}

fn opponent(text: &str) -> Result<scores::ScoreList, Misread> {
    scores::read(text)
}
