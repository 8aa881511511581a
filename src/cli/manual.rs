//! `bendline manual`.

use std::path::PathBuf;

use clap::{ArgGroup, Args};
use clap_complete::Shell;

/// Print completions for a shell, or write the manual as man pages.
///
/// Both are made from the same definitions as --help.
#[derive(Args, Debug)]
#[command(group = ArgGroup::new("form").required(true).args(["completions", "pages"]))]
#[command(after_help = "\
Examples:
  bendline manual --completions bash > ~/.local/share/bash-completion/completions/bendline
      the Tab key then completes commands, options and their values, in new terminals
  bendline manual --completions fish > ~/.config/fish/completions/bendline.fish
  bendline manual --pages ~/.local/share/man/man1
      then: man bendline, man bendline-plan")]
pub struct Manual {
    /// Print the completions for this shell on the standard output
    #[arg(long, value_name = "SHELL")]
    pub completions: Option<Shell>,

    /// Write a man page for every command into this folder
    #[arg(long, value_name = "DIR")]
    pub pages: Option<PathBuf>,
}
