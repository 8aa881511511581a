//! Answers to the questions that an implausible input raises.

use bendline::diagnostic::{Answers, Topic};
use clap::Args;

/// The user's word that an implausible input is right.
#[derive(Args, Clone, Debug, Default)]
pub struct Confirmed {
    /// Take an input that looks wrong as it stands: the name is the one that the question ends
    /// with. Several: axis-sign,hand
    #[arg(
        help_heading = "Questions",
        long,
        value_name = "NAME",
        value_delimiter = ',',
        value_parser = topic
    )]
    pub it_is_so: Vec<Topic>,
}

fn topic(text: &str) -> Result<Topic, String> {
    text.parse()
}

impl Confirmed {
    /// The answers.
    pub fn answers(&self) -> Answers {
        Answers(self.it_is_so.clone())
    }
}
