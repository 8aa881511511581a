//! How a shot log is written, for every command that reads one.

use bendline::player::shotlog;
use clap::{Args, ValueEnum};

/// How the log is written.
#[derive(Args, Clone, Copy, Debug, Default)]
#[command(next_help_heading = "The log, where it cannot be told from the file")]
pub struct Written {
    /// What separates the cells of the log [default: told from its headings]
    #[arg(long, value_enum, value_name = "SIGN")]
    pub delimiter: Option<Delimiter>,

    /// The decimal sign of the log [default: told from its numbers]
    #[arg(long, value_enum, value_name = "SIGN")]
    pub decimal: Option<Decimal>,
}

impl Written {
    /// The options as they were given.
    pub fn given(self) -> Vec<String> {
        let delimiter = self.delimiter.and_then(|d| d.to_possible_value());
        let decimal = self.decimal.and_then(|d| d.to_possible_value());
        [("--delimiter", delimiter), ("--decimal", decimal)]
            .into_iter()
            .filter_map(|(option, sign)| Some(format!("{option} {}", sign?.get_name())))
            .collect()
    }
}

impl From<Written> for shotlog::Dialect {
    fn from(written: Written) -> Self {
        Self {
            delimiter: written.delimiter.map(Into::into),
            decimal: written.decimal.map(Into::into),
        }
    }
}

/// `comma`, `semicolon` or `tab`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Delimiter {
    Comma,
    Semicolon,
    Tab,
}

impl From<Delimiter> for shotlog::Delimiter {
    fn from(delimiter: Delimiter) -> Self {
        match delimiter {
            Delimiter::Comma => Self::Comma,
            Delimiter::Semicolon => Self::Semicolon,
            Delimiter::Tab => Self::Tab,
        }
    }
}

/// `point` or `comma`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Decimal {
    Point,
    Comma,
}

impl From<Decimal> for shotlog::Decimal {
    fn from(decimal: Decimal) -> Self {
        match decimal {
            Decimal::Point => Self::Point,
            Decimal::Comma => Self::Comma,
        }
    }
}
