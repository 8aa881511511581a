//! Files of earlier runs, which stay beside new ones and look as if they were of one run.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

use super::outputs::is_input;

/// So many are named.
const NAMED: usize = 6;
/// So much of a file is looked at, bytes.
const LOOKED_AT: u64 = 1 << 20;

/// A line on the files of an earlier run that are in `folder` beside those just `written`; none
/// where there are no such files. They are known by the names that `plan` and `book` give; `stem`
/// is the book's, where this run wrote one. Nothing is taken away: they are the user's.
pub fn older(folder: &Path, written: &[PathBuf], stem: Option<&str>) -> Option<String> {
    let mine: BTreeSet<_> = written.iter().filter_map(|path| path.file_name()).collect();
    let entries = fs::read_dir(folder).ok()?.flatten();
    let names: BTreeSet<String> = entries
        .filter(|entry| !mine.contains(entry.file_name().as_os_str()))
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| is_of_a_run(&folder.join(name), name, stem))
        .collect();
    if names.is_empty() {
        return None;
    }
    let shown: Vec<&str> = names.iter().take(NAMED).map(String::as_str).collect();
    let more = match names.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    Some(format!(
        "{} also holds files of an earlier run, which this one did not write: {}{more}",
        folder.display(),
        shown.join(", ")
    ))
}

/// Whether a file is one that a run wrote. A map or a player may be called like a plan: JSON is
/// looked into.
fn is_of_a_run(path: &Path, name: &str, stem: Option<&str>) -> bool {
    let is_file = fs::metadata(path).is_ok_and(|about| about.is_file());
    let Some((front, ending)) = name.rsplit_once('.').filter(|_| is_file) else {
        return false;
    };
    let is_book = front == "book" || Some(front) == stem;
    let is_ours = match ending {
        "svg" | "md" | "png" => front.starts_with("hole-"),
        "pdf" => is_book || front.starts_with("hole-"),
        "html" => is_book,
        "json" => (front == "course" || front.starts_with("hole-")) && holds(path, "\"format\""),
        "geojson" => front.starts_with("hole-") && holds(path, "\"aim line\""),
        _ => false,
    };
    is_ours && !is_input(path)
}

fn holds(path: &Path, words: &str) -> bool {
    let mut text = Vec::new();
    let read = File::open(path).and_then(|file| file.take(LOOKED_AT).read_to_end(&mut text));
    read.is_ok()
        && text
            .windows(words.len())
            .any(|part| part == words.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_of_earlier_runs_are_named_and_others_are_not() {
        let folder = tempfile::tempdir().unwrap();
        let put = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
        put("hole-1.svg", "");
        put("hole-2.json", "{\"format\": 1}");
        put("hole-3.json", "{\"clubs\": []}");
        put(
            "hole-3.geojson",
            "{\"features\": [{\"what\": \"aim line\"}]}",
        );
        put("hole-4.geojson", "{\"features\": []}");
        put("holes.svg", "");
        put("saturday.html", "");
        let written = [folder.path().join("hole-1.svg")];
        let said = |stem| older(folder.path(), &written, stem).unwrap();
        assert!(said(None).ends_with("not write: hole-2.json, hole-3.geojson"));
        assert!(said(Some("saturday")).ends_with("hole-3.geojson, saturday.html"));
        for hole in 10..20 {
            put(&format!("hole-{hole}.pdf"), "");
        }
        let said = said(None);
        assert!(said.contains("write: hole-10.pdf, hole-11.pdf,"), "{said}");
        assert!(said.ends_with("hole-15.pdf and 6 more"), "{said}");
        assert!(older(&folder.path().join("none"), &[], None).is_none());
    }
}
