//! Where outputs are to go, looked at before anything is computed.
//!
//! No output may take the place of an input or of another output, whatever the names are: files are
//! compared by what they are (device and number, through links), places without a file by their
//! folder and name, as the folder compares names.

use std::collections::BTreeSet;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use bendline::diagnostic::{Problem, Problems};
use same_file::Handle;

use super::{builder, plain, wrong};

/// The files that this run reads, by the names they are given.
static INPUTS: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// Files that this run reads or is about to read: no output takes their place.
pub fn keep<'a>(paths: impl IntoIterator<Item = &'a Path>) {
    let mut inputs = INPUTS.lock().unwrap_or_else(PoisonError::into_inner);
    inputs.extend(paths.into_iter().map(Path::to_path_buf));
}

/// Whether a file is one that this run reads.
pub(super) fn is_input(path: &Path) -> bool {
    input_at(path).is_some()
}

/// The input that a file is, under the name the run reads it by.
fn input_at(path: &Path) -> Option<PathBuf> {
    let there = identity(path)?;
    let inputs = INPUTS.lock().unwrap_or_else(PoisonError::into_inner);
    let found = inputs
        .iter()
        .find(|input| identity(input).is_some_and(|it| it == there));
    found.cloned()
}

/// A file's identity; none of what is no file, for a pipe is not to be opened twice.
fn identity(path: &Path) -> Option<Handle> {
    let is_file = fs::metadata(path).is_ok_and(|about| about.is_file());
    is_file.then(|| Handle::from_path(path).ok()).flatten()
}

/// Says when `folder` cannot be written into: because a file is in the way, or because no file can
/// be made in it, or in the folder it is to be made in, which is tried.
///
/// # Errors
/// When it cannot.
pub fn check_folder(folder: &Path) -> Result<(), Problem> {
    there_or_to_be_made(folder).map(|_| ())
}

/// Whether names that differ in case alone are one name in `folder`, or will be.
fn there_or_to_be_made(folder: &Path) -> Result<bool, Problem> {
    let no_folder = |found: String| {
        wrong(
            folder,
            "a folder to write into",
            &found,
            "name another folder with --out, or move the file away",
        )
    };
    for there in folder.ancestors() {
        let there = or_here(there);
        if there.is_dir() {
            return probe(folder, there);
        }
        if there.exists() {
            return Err(no_folder(format!("{} is a file", there.display())));
        }
        let about = fs::symlink_metadata(there);
        if about.is_ok_and(|about| about.is_symlink()) {
            let found = format!(
                "it cannot be made ({} is a link to nowhere)",
                there.display()
            );
            return Err(no_folder(found));
        }
        // A name that no folder can bear is known as such where its folder is there.
        let above = or_here(there.parent().unwrap_or(there));
        let name = there.file_name();
        if let Some(error) = name.and_then(|name| misnamed(&nearest(above).join(name))) {
            return Err(wrong(
                folder,
                "a folder you may write into",
                &format!("it cannot be made ({})", plain(&error)),
                "name a folder of your own with --out",
            ));
        }
    }
    Err(no_folder("no folder above it is there".into()))
}

/// A relative path without a folder lies in the folder one is in.
fn or_here(folder: &Path) -> &Path {
    if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    }
}

/// The folder itself, or the nearest above it that is there.
fn nearest(folder: &Path) -> &Path {
    let mut parts = folder.ancestors();
    parts
        .find(|part| part.is_dir())
        .unwrap_or_else(|| Path::new("."))
}

/// The error of looking for a name, other than that nothing bears it.
fn misnamed(path: &Path) -> Option<std::io::Error> {
    let looked = fs::symlink_metadata(path);
    looked.err().filter(|e| e.kind() != ErrorKind::NotFound)
}

/// Makes a file in `there` and takes it away again: permission bits bind not everybody, and say
/// nothing of a file system that is mounted to be read only.
fn probe(folder: &Path, there: &Path) -> Result<bool, Problem> {
    let file = builder().tempfile_in(there).map_err(|error| {
        wrong(
            folder,
            "a folder you may write into",
            &format!("it cannot be written ({})", plain(&error)),
            "name a folder of your own",
        )
    })?;
    let name = file.path().file_name().unwrap_or_default();
    let upper = name.to_string_lossy().to_uppercase();
    Ok(fs::symlink_metadata(there.join(upper)).is_ok())
}

/// Whether the folder of an output has to be there.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Folder {
    /// It must be there.
    There,
    /// It is made where it is missing.
    Made,
}

/// Says before anything is computed which of `paths` cannot be written.
///
/// # Errors
/// For every path that is an input of this run, another output, a folder, a pipe or a device, or
/// that lies where no file can be made.
pub fn check_files(paths: &[&Path], folder: Folder) -> Result<(), Problems> {
    let mut problems = Vec::new();
    let mut places: Vec<Spot> = Vec::new();
    for path in paths {
        match spot(path, folder) {
            Ok(place) => {
                if let Some(other) = places.iter().find(|other| other.is(&place)) {
                    problems.push(wrong(
                        path,
                        "a file for each output",
                        &if other.path == place.path {
                            "two outputs of one name".to_owned()
                        } else {
                            format!("the same file as the output {}", other.path.display())
                        },
                        "give each its own name",
                    ));
                }
                places.push(place);
            }
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Problems(problems))
    }
}

/// Where an output is to go.
struct Spot {
    path: PathBuf,
    /// What is there now.
    there: Option<Handle>,
    folder: PathBuf,
    /// None where the folder is to be made.
    folder_is: Option<Handle>,
    /// As the folder compares names.
    name: String,
}

impl Spot {
    fn is(&self, other: &Self) -> bool {
        let one_folder = match (&self.folder_is, &other.folder_is) {
            (Some(one), Some(two)) => one == two,
            _ => self.folder == other.folder,
        };
        one_folder && self.name == other.name || self.there.is_some() && self.there == other.there
    }
}

fn spot(path: &Path, folder: Folder) -> Result<Spot, Problem> {
    let no_file = |found: &str, remedy: &str| wrong(path, "a file to write", found, remedy);
    match fs::metadata(path) {
        Ok(about) if about.is_dir() => {
            return Err(no_file(
                "a folder of that name",
                "name another file, or move the folder away",
            ));
        }
        Ok(about) if !about.is_file() => {
            return Err(no_file(
                "a pipe, a socket or a device of that name",
                "name a file: another program can read it afterwards",
            ));
        }
        _ => {}
    }
    if let Some(input) = input_at(path) {
        let found = if input == path {
            "the file that is read".to_owned()
        } else {
            format!("the file that is read as {}", input.display())
        };
        return Err(wrong(
            path,
            "an output that takes no input's place",
            &found,
            "name another file or folder for what is written",
        ));
    }
    let lies_in = super::folder_of(path);
    let folds = match folder {
        Folder::There if !lies_in.is_dir() => {
            return Err(wrong(
                path,
                "a file in a folder that exists",
                "no such folder",
                "make the folder first, or name another place",
            ));
        }
        Folder::There => probe(path, lies_in)?,
        Folder::Made => there_or_to_be_made(lies_in)?,
    };
    if lies_in.is_dir()
        && let Some(error) = misnamed(path)
    {
        let found = format!("a name that no file can bear ({})", plain(&error));
        return Err(no_file(&found, "name another file"));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    Ok(Spot {
        path: path.to_path_buf(),
        there: identity(path),
        folder: lies_in.to_path_buf(),
        folder_is: Handle::from_path(lies_in).ok(),
        name: if folds {
            name.to_lowercase()
        } else {
            name.into_owned()
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(paths: &[&Path]) -> String {
        check_files(paths, Folder::There)
            .expect_err("a refusal")
            .to_string()
    }

    #[test]
    fn one_place_under_two_names() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("in")).unwrap();
        check_files(&[&at("a"), &at("b"), &at("in/a")], Folder::There).unwrap();
        assert!(said(&[&at("a"), &at("a")]).contains("two outputs of one name"));
        assert!(said(&[&at("a"), &at("in/../a")]).contains("the same file as the output"));
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(folder.path(), at("again")).unwrap();
            assert!(said(&[&at("a"), &at("again/a")]).contains("the same file as"));
        }
        fs::write(at("a"), "").unwrap();
        fs::hard_link(at("a"), at("b")).unwrap();
        assert!(said(&[&at("a"), &at("b")]).contains("the same file as the output"));
        assert!(said(&[&at(&"n".repeat(300))]).contains("a name that no file can bear"));
    }

    #[test]
    fn an_input_is_known_under_any_name() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("in.csv"), "1").unwrap();
        fs::hard_link(at("in.csv"), at("hard")).unwrap();
        fs::write(at("other"), "1").unwrap();
        keep([at("in.csv").as_path()]);
        assert!(said(&[&at("in.csv")]).contains("found:    the file that is read\n"));
        assert!(said(&[&at("hard")]).contains("the file that is read as"));
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink("in.csv", at("soft")).unwrap();
            assert!(said(&[&at("soft")]).contains("the file that is read as"));
        }
        check_files(&[&at("other"), &at("new")], Folder::There).unwrap();
    }
}
