//! What goes to the terminal: results to the standard output, all else to the standard error.

use std::io::{self, ErrorKind, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use bendline::diagnostic::{Note, Place, Problem, Problems, printable, sentence};
use bendline::report::Look;
use indicatif::{ProgressBar, ProgressStyle};

use crate::files;

/// Widest the text is set, columns.
const WIDEST: usize = 120;
/// Width where there is no terminal to ask.
const USUAL: usize = 80;

/// Writes a result to the standard output, ending with one new line.
///
/// # Errors
/// When it cannot be written, as on a full disk. A reader that has gone, such as `head`, is no
/// error: there is nobody left to tell.
pub fn say(text: &str) -> Result<(), Problems> {
    let mut out = io::stdout().lock();
    let ended = if text.ends_with('\n') { "" } else { "\n" };
    let written = out
        .write_all(text.as_bytes())
        .and_then(|()| out.write_all(ended.as_bytes()))
        .and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Problem {
            file: "standard output".into(),
            place: Place::File,
            expected: "a place that takes the result".into(),
            found: error.to_string(),
            remedy: "write it elsewhere; files that were asked for are written".into(),
        }
        .into()),
        _ => Ok(()),
    }
}

/// Writes a message to the standard error, a line or several, with nothing in it that a terminal
/// would obey.
pub fn aside(message: &str) {
    let lines: Vec<String> = message.split('\n').map(sentence).collect();
    let mut text = lines.join("\n");
    if io::stderr().is_terminal() {
        text = folded(&text, columns(&io::stderr()));
    }
    // With the standard error closed there is nowhere to say so.
    let _ = writeln!(io::stderr().lock(), "{text}");
}

/// Says where a file was written.
pub fn wrote(path: &Path) -> String {
    format!("wrote {}", sentence(&path.display().to_string()))
}

/// Says which letters a PDF's fonts lack; nothing where they have them all.
pub fn boxed(letters: &str) {
    if !letters.is_empty() {
        let shown: String = letters.chars().take(20).collect();
        let more = if shown.len() < letters.len() {
            " and others"
        } else {
            ""
        };
        aside(&format!(
            "note: the PDF's fonts lack {shown}{more}, drawn as boxes; they can still be copied"
        ));
    }
}

/// Shows notes, a line each: first those on inputs that look wrong and may be right.
pub fn notes(notes: &[Note]) {
    for note in notes.iter().filter(|note| note.topic.is_some()) {
        aside(&format!("check first: {note}"));
    }
    for note in notes.iter().filter(|note| note.topic.is_none()) {
        aside(&format!("note: {note}"));
    }
}

/// Says which files of an earlier run are in `folder` beside those just `written`, if any.
pub fn older(folder: &Path, written: &[PathBuf], stem: Option<&str>) {
    if let Some(line) = files::older(folder, written, stem) {
        aside(&format!("note: {line}"));
    }
}

/// Shows every problem, and how many there are when there are several.
pub fn problems(problems: &Problems) {
    for problem in &problems.0 {
        aside(&format!("error: {problem}"));
    }
    if problems.0.len() > 1 {
        aside(&format!("{} problems", problems.0.len()));
    }
}

/// Lines broken between words where they are wider than `width`, for a terminal, which would
/// break them anywhere. What follows a broken line stands under the text beside its label, or a
/// little in; a word that no line has room for stays whole.
pub fn folded(text: &str, width: usize) -> String {
    let lines: Vec<String> = text.split('\n').map(|line| fold(line, width)).collect();
    lines.join("\n")
}

/// Text for the standard output, set in its width: what follows a broken line of plain words
/// stands under its beginning.
pub fn paragraphs(text: &str) -> String {
    let set = |line: &str| {
        if line.starts_with(' ') {
            fold(line, width())
        } else {
            set(line, width())
        }
    };
    let lines: Vec<String> = text.split('\n').map(set).collect();
    lines.join("\n")
}

/// A line broken between words; a no-break space is shown as a plain one.
pub fn set(words: &str, width: usize) -> String {
    let mut lines: Vec<String> = vec![String::new()];
    let mut used = 0;
    for word in words.split(' ') {
        let long = word.chars().count();
        if used > 0 && used + 1 + long > width {
            lines.push(String::new());
            used = 0;
        }
        let Some(line) = lines.last_mut() else {
            break;
        };
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        line.push_str(&word.replace('\u{a0}', " "));
        used += long;
    }
    lines.join("\n")
}

fn fold(line: &str, width: usize) -> String {
    if line.chars().count() <= width {
        return line.to_owned();
    }
    let words = line.trim_start_matches(' ');
    let lead = line.len() - words.len();
    // A label is what stands before the first wide gap.
    let label = words.find("  ").filter(|at| *at < width / 3);
    let text = label.map_or(words, |at| words[at..].trim_start_matches(' '));
    let beside = line[..line.len() - text.len()].chars().count();
    let indent = if label.is_some() { beside } else { lead + 2 };
    let indent = " ".repeat(indent.min(width / 2));
    let mut out = line[..line.len() - text.len()].to_owned();
    let mut used = beside;
    let mut first = true;
    for word in text.split(' ') {
        let long = word.chars().count();
        let fits = used + usize::from(!first) + long <= width;
        if !fits && (!first || label.is_some()) {
            out.truncate(out.trim_end_matches(' ').len());
            out.push('\n');
            out.push_str(&indent);
            used = indent.len();
        } else if !first {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += long;
        first = false;
    }
    out
}

/// A table's lines without the padding at either end.
pub fn flush_left(table: &comfy_table::Table) -> String {
    let lines: Vec<String> = table
        .lines()
        .map(|line| {
            line.strip_prefix(' ')
                .unwrap_or(&line)
                .trim_end()
                .to_owned()
        })
        .collect();
    lines.join("\n")
}

/// Columns to set text in: by `COLUMNS`, which shells may export and which clap and others read
/// too; else by the terminal itself; in a pipe the usual ones.
pub fn width() -> usize {
    columns(&io::stdout())
}

/// How results are set on the standard output: bold and dim on a terminal, unless `NO_COLOR` is
/// set (no-color.org) or the terminal obeys no sequences.
pub fn look() -> Look {
    let is_set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let is_dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    if io::stdout().is_terminal() && !is_set("NO_COLOR") && !is_dumb {
        Look::Terminal
    } else {
        Look::Plain
    }
}

/// Columns of what may be a terminal.
#[cfg(unix)]
fn columns(stream: &(impl std::os::fd::AsFd + IsTerminal)) -> usize {
    let given = std::env::var("COLUMNS").ok();
    let given = given.and_then(|columns| columns.parse().ok());
    let columns = given.or_else(|| {
        let asked = stream.is_terminal();
        let asked = asked.then(|| terminal_size::terminal_size_of(stream))?;
        // Some terminals say 0 where they do not know.
        asked
            .map(|(width, _)| usize::from(width.0))
            .filter(|w| *w > 0)
    });
    columns.map_or(USUAL, |columns| columns.clamp(40, WIDEST))
}

/// How far a long step has come: a bar on a terminal, one plain line elsewhere.
pub struct Progress {
    what: String,
    bar: ProgressBar,
}

impl Progress {
    /// Begins a step.
    pub fn begin(what: &str) -> Self {
        let what = printable(what);
        if !io::stderr().is_terminal() {
            aside(&format!("{what} …"));
            let bar = ProgressBar::hidden();
            return Self { what, bar };
        }
        let bar = ProgressBar::new(1);
        if let Ok(style) =
            ProgressStyle::with_template("{spinner} {msg} {bar:20} {pos}/{len} {elapsed}")
        {
            bar.set_style(style);
        }
        bar.set_message(what.clone());
        // A step may take a while: show that the work goes on.
        bar.enable_steady_tick(Duration::from_millis(100));
        Self { what, bar }
    }

    /// `done` of `total` steps are done, and what is being done now.
    pub fn at(&self, done: usize, total: usize, doing: &str) {
        self.bar.set_length(total as u64);
        self.bar.set_position(done as u64);
        self.bar.set_message(format!("{}: {doing}", self.what));
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_between_words_only() {
        let line = "  ends          3 yd left of the aim; half of the balls within a width of 31";
        assert_eq!(
            folded(line, 50),
            "  ends          3 yd left of the aim; half of the\n                \
             balls within a width of 31"
        );
        assert_eq!(
            folded(
                "note: a log of shots: launch and spin are not logged\nshort",
                30
            ),
            "note: a log of shots: launch\n  and spin are not logged\nshort"
        );
        let path = "wrote /a/folder/that/is/much/too/long/for/any/line.svg";
        assert_eq!(folded(path, 20), path.replacen(' ', "\n  ", 1));
    }

    proptest::proptest! {
        /// Every word is there, whole and in its place, and no line is wider than asked
        /// for unless it is one word.
        #[test]
        fn words_stay_whole(words in "( {0,3}[a-z]{1,12}:?){1,30}", width in 40_usize..100) {
            let folded = folded(&words, width);
            let all = |text: &str| -> Vec<String> {
                text.split_whitespace().map(str::to_owned).collect()
            };
            proptest::prop_assert_eq!(all(&folded), all(&words));
            for line in folded.split('\n') {
                let one = line.trim_start().split(' ').filter(|w| !w.is_empty()).count() <= 1;
                proptest::prop_assert!(one || line.chars().count() <= width, "{:?}", folded);
            }
        }
    }
}
