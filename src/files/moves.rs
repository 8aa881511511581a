//! Whole files moved into their places: all of them or none.
//!
//! What stands in the place of any but the last is first given a second name beside it. So when a
//! move fails, those before it are taken back: every place holds again what it held, or nothing
//! where nothing was. At every moment each place holds the old file or the new one, whole. A run
//! that is killed between two moves leaves new files beside old ones.

use std::fs::{self, File};
use std::io::{self, ErrorKind};
use std::path::Path;

use bendline::diagnostic::{Problem, Problems};
use tempfile::{PathPersistError, TempPath};

use super::{builder_of_old, folder_of, plain, wrong};

/// A file written in full, and the place it is meant for.
pub(super) type Staged<'a> = (TempPath, &'a Path);

/// Moves all of `staged` into place by `put`, or none.
pub(super) fn move_all(
    staged: Vec<Staged<'_>>,
    put: &mut dyn FnMut(TempPath, &Path) -> Result<(), PathPersistError>,
) -> Result<(), Problems> {
    // The last has no way back: when it fails it has changed nothing, and nothing comes after it.
    let before = staged.len().saturating_sub(1);
    let mut olds: Vec<Option<TempPath>> = Vec::with_capacity(before);
    for (_, place) in &staged[..before] {
        let old = second_name(place).map_err(|error| cannot_replace(place, &error))?;
        olds.push(old);
    }
    let places: Vec<&Path> = staged.iter().map(|(_, place)| *place).collect();
    for (index, (file, place)) in staged.into_iter().enumerate() {
        if let Err(failed) = put(file, place) {
            let mut problems = vec![cannot_replace(place, &failed.error)];
            let moved = places[..index].iter().zip(olds);
            problems.extend(moved.rev().filter_map(|(place, old)| take_back(place, old)));
            return Err(Problems(problems));
        }
    }
    Ok(())
}

fn cannot_replace(place: &Path, error: &io::Error) -> Problem {
    wrong(
        place,
        "a file you may replace",
        &format!("it cannot be replaced ({})", plain(error)),
        "close it elsewhere, or name another place",
    )
}

/// A second name for what stands in a place; none where nothing does.
fn second_name(place: &Path) -> io::Result<Option<TempPath>> {
    let about = match fs::symlink_metadata(place) {
        Ok(about) => about,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    };
    let (builder, folder) = (builder_of_old(), folder_of(place));
    #[cfg(unix)]
    if about.is_symlink() {
        // The link itself, not what it leads to.
        let leads_to = fs::read_link(place)?;
        let link = |name: &Path| std::os::unix::fs::symlink(&leads_to, name);
        let link = builder.make_in(folder, link)?;
        return Ok(Some(link.into_temp_path()));
    }
    if let Ok(linked) = builder.make_in(folder, |name| fs::hard_link(place, name)) {
        return Ok(Some(linked.into_temp_path()));
    }
    // Not every file system has a second name for a file, and not every file may have one.
    let mut copy = builder.tempfile_in(folder)?;
    io::copy(&mut File::open(place)?, &mut copy)?;
    copy.as_file().set_permissions(about.permissions())?;
    copy.as_file().sync_all()?;
    Ok(Some(copy.into_temp_path()))
}

/// Gives a place back what it held; says so when that fails, and where the old file is.
fn take_back(place: &Path, old: Option<TempPath>) -> Option<Problem> {
    let Some(old) = old else {
        return match fs::remove_file(place) {
            Err(error) if error.kind() != ErrorKind::NotFound => Some(wrong(
                place,
                "a new file that can be taken away again",
                &format!("it cannot be taken away ({})", plain(&error)),
                "take it away yourself: it is not part of a whole run",
            )),
            _ => None,
        };
    };
    let failed = old.persist(place).err()?;
    let error = plain(&failed.error);
    let kept = failed.path.keep();
    let kept = kept.map_or_else(|_| "lost".into(), |kept| kept.display().to_string());
    Some(wrong(
        place,
        "an old file that can be put back",
        &format!("it cannot be put back ({error})"),
        &format!("rename {kept}, which is the old file, before the next run into this folder"),
    ))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::files::builder;

    /// Everything in a folder: links by what they lead to.
    fn all(folder: &Path) -> BTreeMap<String, String> {
        let entries = fs::read_dir(folder).unwrap().map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let held = match fs::read_link(&path) {
                Ok(leads_to) => format!("-> {}", leads_to.display()),
                Err(_) => fs::read_to_string(&path).unwrap(),
            };
            (name, held)
        });
        entries.collect()
    }

    fn staged<'a>(places: &'a [std::path::PathBuf]) -> Vec<Staged<'a>> {
        let staged = places.iter().map(|place| {
            let file = builder().tempfile_in(folder_of(place)).unwrap();
            fs::write(file.path(), "new").unwrap();
            (file.into_temp_path(), place.as_path())
        });
        staged.collect()
    }

    /// Of five outputs (three over older files, one of them a link; two in free places) each in
    /// turn cannot be moved: everything is as it was. And whenever it is looked at, every place
    /// that held something holds something whole.
    #[test]
    fn a_move_that_fails_leaves_everything_as_it_was() {
        for failing in 0..5 {
            let folder = tempfile::tempdir().unwrap();
            let places = ["a", "b", "c", "d", "e"].map(|name| folder.path().join(name));
            fs::write(&places[0], "old a").unwrap();
            fs::write(&places[2], "old c").unwrap();
            #[cfg(unix)]
            std::os::unix::fs::symlink("elsewhere", &places[3]).unwrap();
            let before = all(folder.path());
            let mut moved = 0;
            let result = move_all(staged(&places), &mut |file, place| {
                let now = all(folder.path());
                for (name, held) in &before {
                    assert!(now[name] == *held || now[name] == "new", "{name}");
                }
                moved += 1;
                if moved - 1 == failing {
                    let error = io::Error::other("busy (os error 16)");
                    return Err(PathPersistError { error, path: file });
                }
                file.persist(place)
            });
            let said = result.unwrap_err().to_string();
            let name = places[failing].display();
            assert!(said.starts_with(&format!("{name}: whole file")), "{said}");
            assert!(said.contains("it cannot be replaced (busy)"), "{said}");
            assert_eq!(all(folder.path()), before, "{failing}");
        }
    }

    #[test]
    fn without_a_failure_all_are_new_and_nothing_else_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let places = ["a", "b", "c"].map(|name| folder.path().join(name));
        fs::write(&places[1], "old b").unwrap();
        move_all(staged(&places), &mut |file, place| file.persist(place)).unwrap();
        let new = ["a", "b", "c"].map(|name| (name.to_owned(), "new".to_owned()));
        assert_eq!(all(folder.path()), BTreeMap::from(new));
    }

    /// What cannot be put back is named, and stays under its second name.
    #[cfg(unix)]
    #[test]
    fn an_old_file_that_cannot_be_put_back_is_not_lost() {
        let folder = tempfile::tempdir().unwrap();
        let places = ["a", "b"].map(|name| folder.path().join(name));
        fs::write(&places[0], "old a").unwrap();
        let mut moved = 0;
        let result = move_all(staged(&places), &mut |file, place| {
            moved += 1;
            if moved == 1 {
                return file.persist(place);
            }
            // Somebody makes a folder of the first.
            fs::remove_file(&places[0]).unwrap();
            fs::create_dir_all(places[0].join("in the way")).unwrap();
            let error = io::Error::other("busy");
            Err(PathPersistError { error, path: file })
        });
        let said = result.unwrap_err().to_string();
        assert!(said.contains("an old file that can be put back"), "{said}");
        let kept = fs::read_dir(folder.path()).unwrap().find_map(|entry| {
            let name = entry.unwrap().file_name().into_string().unwrap();
            name.ends_with(".old").then_some(name)
        });
        let kept = kept.expect("the old file");
        assert!(said.contains(&kept), "{said}");
        assert_eq!(
            fs::read_to_string(folder.path().join(kept)).unwrap(),
            "old a"
        );
    }
}
