//! The rooms of the library: imports point one way, in the order in which `src/lib.rs` lists them.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn source(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The modules in the order of the list at the head of the library.
fn rooms(library: &str) -> Vec<String> {
    let items = library
        .lines()
        .filter_map(|line| line.strip_prefix("//! - "));
    items
        .filter_map(|item| item.split_once(':'))
        .map(|(name, _)| name.trim_matches(['[', ']', '`']).to_owned())
        .collect()
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

/// The modules that a file's code names by `crate::`, its own tests and all comments left out.
fn imports(code: &str) -> Vec<String> {
    let own_tests = code.find("#[cfg(test)]\nmod tests {").unwrap_or(code.len());
    let code = code[..own_tests]
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    let code: Vec<&str> = code.collect();
    let code = code.join("\n");
    let after = code.split("crate::").skip(1);
    after
        .map(|rest| {
            let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_'));
            rest[..end.unwrap_or(rest.len())].to_owned()
        })
        .collect()
}

#[test]
fn imports_point_one_way() {
    let library = fs::read_to_string(source("src/lib.rs")).expect("the library");
    let rooms = rooms(&library);
    let declared = library.lines().filter_map(|line| {
        let line = line.strip_prefix("pub ").unwrap_or(line);
        line.strip_prefix("mod ")?.strip_suffix(';')
    });
    let mut declared: Vec<&str> = declared.collect();
    declared.sort_unstable();
    let mut listed: Vec<&str> = rooms.iter().map(String::as_str).collect();
    listed.sort_unstable();
    assert_eq!(listed, declared, "every module stands in the list, once");
    let place: BTreeMap<&str, usize> = rooms.iter().map(String::as_str).zip(0..).collect();
    let (mut all, mut wrong) = (Vec::new(), Vec::new());
    for room in &rooms {
        let file = source(&format!("src/{room}.rs"));
        let mut of_room: Vec<PathBuf> = file.is_file().then_some(file).into_iter().collect();
        let folder = source(&format!("src/{room}"));
        if folder.is_dir() {
            files(&folder, &mut of_room);
        }
        for path in of_room {
            let code = fs::read_to_string(&path).expect("a file");
            for named in imports(&code) {
                match place.get(named.as_str()) {
                    Some(there) if *there <= place[room.as_str()] => {}
                    _ => wrong.push(format!("{} imports {named}", path.display())),
                }
            }
            all.push(path);
        }
    }
    assert!(all.len() > 200, "{}", all.len());
    let golf_free: Vec<&PathBuf> = all
        .iter()
        .filter(|p| p.starts_with(source("src/mdp")))
        .collect();
    assert!(!golf_free.is_empty());
    for path in golf_free {
        let code = fs::read_to_string(path).expect("a file");
        let named = imports(&code);
        let knows = |name: &String| ["mdp", "sample", "vectors"].contains(&name.as_str());
        assert!(
            named.iter().all(knows),
            "{} imports {named:?}",
            path.display()
        );
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
