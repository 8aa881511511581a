//! The arguments, and nothing else: a file for each command, and for what several share.

mod book;
mod check;
mod confirmed;
mod day;
mod flight;
mod game;
mod handicap;
mod log;
mod manual;
mod plan;
mod play_for;
mod practice;
mod review;
mod shape;

use std::path::{Path, PathBuf};

use bendline::player::Handedness;
use bendline::units::LengthUnit;
use clap::{Parser, Subcommand, ValueEnum};

pub use book::{Book, BookForm, Picture};
pub use check::Check;
pub use confirmed::Confirmed;
pub use day::{Day, Ground, Wind};
pub use flight::Flight;
pub use game::Game;
pub use handicap::Handicap;
pub use log::Written;
pub use manual::Manual;
pub use plan::{Form, Plan, WhatIf};
pub use play_for::{Aim, PlayFor, Worth};
pub use practice::Practice;
pub use review::Review;
pub use shape::Shape;

/// Plans tee shots for a player with a bend.
///
/// Reads a hole (GeoJSON) and a player's shots (CSV), and says where in the teeing area to peg the
/// ball, which club and shape to hit and what to aim at, so that the player's usual bend and usual
/// misses end where they cost least.
#[derive(Debug, Parser)]
#[command(
    name = "bendline",
    version,
    arg_required_else_help = true,
    max_term_width = 100,
    after_help = "\
Start here:
  bendline plan                                    plan a built-in hole for a built-in player
  bendline shape range.csv --out me.json           what bend do I have, and how safe is it?
  bendline check course.geojson range.csv          are my files sound?
  bendline plan course.geojson --hole 7 --player me.json --wind 12mph@240
  bendline book course.geojson --player me.json    the whole course, to print and carry
  bendline review course.geojson --played saturday.csv --player me.json

Exit code: 0 done, 1 something is wrong with an input, 2 the command line was not understood,
130 stopped by Ctrl-C: the holes that were done are written."
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// One command each; what it does is said where its arguments are.
#[derive(Debug, Subcommand)]
pub enum Command {
    Plan(Box<Plan>),
    Book(Box<Book>),
    Shape(Shape),
    Practice(Box<Practice>),
    Review(Box<Review>),
    Check(Check),
    Flight(Box<Flight>),
    Manual(Manual),
}

impl Command {
    /// The number of threads that is asked for.
    pub fn threads(&self) -> Option<u16> {
        match self {
            Self::Plan(arguments) => arguments.game.threads,
            Self::Book(arguments) => arguments.game.threads,
            Self::Practice(arguments) => arguments.game.threads,
            Self::Review(arguments) => arguments.game.threads,
            Self::Shape(_) | Self::Check(_) | Self::Flight(_) | Self::Manual(_) => None,
        }
    }

    /// Every file that the command reads.
    pub fn inputs(&self) -> Vec<&Path> {
        match self {
            Self::Plan(plan) => plan.game.inputs(),
            Self::Book(book) => book.game.inputs(),
            Self::Practice(practice) => practice.game.inputs(),
            Self::Review(review) => review.inputs(),
            Self::Shape(shape) => [Some(&shape.log), shape.against.as_ref()]
                .into_iter()
                .flatten()
                .map(PathBuf::as_path)
                .collect(),
            Self::Check(check) => check.files.iter().map(PathBuf::as_path).collect(),
            Self::Flight(_) | Self::Manual(_) => Vec::new(),
        }
    }
}

/// Reads a seed.
fn seed(text: &str) -> Result<u32, String> {
    let wrong = |_| "expected a whole number from 0 to 4294967295; write it like 7".to_owned();
    text.trim().parse().map_err(wrong)
}

/// `yd` or `m`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Units {
    Yd,
    M,
}

impl From<Units> for LengthUnit {
    fn from(units: Units) -> Self {
        match units {
            Units::Yd => Self::Yards,
            Units::M => Self::Metres,
        }
    }
}

/// `right` or `left`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Hand {
    Right,
    Left,
}

impl From<Hand> for Handedness {
    fn from(hand: Hand) -> Self {
        match hand {
            Hand::Right => Self::Right,
            Hand::Left => Self::Left,
        }
    }
}
