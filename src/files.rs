//! Reading inputs and writing outputs: all of a run's files or none of them.

#![deny(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss
)]

mod moves;
mod older;
mod outputs;

use std::fs::{self, File};
use std::io::{ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use bendline::diagnostic::{Place, Problem, Problems};
use tempfile::{Builder, NamedTempFile};

pub use older::older;
pub use outputs::{Folder, check_files, check_folder, keep};

/// Largest input that is read, bytes.
pub const LARGEST_INPUT: u64 = 256 * 1024 * 1024;

/// Reads a text file of at most [`LARGEST_INPUT`] bytes.
///
/// # Errors
/// When it is missing, a folder, unreadable, too large, empty or not UTF-8.
pub fn read(path: &Path) -> Result<Vec<u8>, Problems> {
    let bytes = read_bytes(path)?;
    check_utf8(path, &bytes)?;
    Ok(bytes)
}

/// Reads a file that need not be text, such as a GeoTIFF, of at most [`LARGEST_INPUT`] bytes.
///
/// # Errors
/// When it is missing, a folder, unreadable, too large or empty.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, Problems> {
    read_up_to(path, LARGEST_INPUT)
}

fn read_up_to(path: &Path, largest: u64) -> Result<Vec<u8>, Problems> {
    keep([path]);
    let found = |error: std::io::Error| match error.kind() {
        ErrorKind::NotFound => wrong(
            path,
            "a file that exists",
            "no file of this name",
            "check the spelling and the folder you are in",
        ),
        ErrorKind::PermissionDenied => wrong(
            path,
            "a file you may read",
            "a file without read permission",
            "change its permissions, or copy it to a folder of your own",
        ),
        _ => wrong(
            path,
            "a readable file",
            &error.to_string(),
            "copy the file to another folder and try again",
        ),
    };
    let file = File::open(path).map_err(found)?;
    let about = file.metadata().map_err(found)?;
    if about.is_dir() {
        return Err(wrong(path, "a file", "a folder", "name a file inside it").into());
    }
    let too_large = || {
        wrong(
            path,
            &format!("a file of at most {} MB", largest / (1024 * 1024)),
            "a larger one",
            "cut the file down to the course, or to the player's own shots",
        )
    };
    if about.is_file() && about.len() > largest {
        return Err(too_large().into());
    }
    let mut bytes = Vec::new();
    // A pipe has no length: read one byte more than allowed and see.
    file.take(largest + 1)
        .read_to_end(&mut bytes)
        .map_err(found)?;
    if bytes.len() as u64 > largest {
        return Err(too_large().into());
    }
    if bytes.is_empty() {
        return Err(wrong(
            path,
            "a file with something in it",
            "an empty file",
            "export or save it again",
        )
        .into());
    }
    Ok(bytes)
}

/// Says where bytes that should be text are none.
///
/// # Errors
/// When they are not UTF-8.
pub fn check_utf8(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    let Err(error) = std::str::from_utf8(bytes) else {
        return Ok(());
    };
    let before = &bytes[..error.valid_up_to()];
    let line = before.iter().filter(|&&byte| byte == b'\n').count() + 1;
    let utf16 = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
    Err(Problem {
        file: path.display().to_string(),
        place: Place::Line(line),
        expected: "text in UTF-8".into(),
        found: if utf16 {
            "text in UTF-16".into()
        } else {
            format!("byte 0x{:02X}, which is not UTF-8", bytes[before.len()])
        },
        remedy: "save the file again with the encoding UTF-8".into(),
    })
}

/// A file to be written.
pub struct Output {
    /// Where to.
    pub path: PathBuf,
    /// What.
    pub bytes: Vec<u8>,
}

/// Makes `folder` if it is not there, then writes `outputs` (each a plain file name) into it.
///
/// # Errors
/// As [`write_files`]; a folder that was made here is taken away again.
pub fn write_folder(
    folder: &Path,
    outputs: Vec<(String, Vec<u8>)>,
) -> Result<Vec<PathBuf>, Problems> {
    let made = make_folder(folder)?;
    let outputs = outputs
        .into_iter()
        .map(|(name, bytes)| Output {
            path: folder.join(name),
            bytes,
        })
        .collect::<Vec<_>>();
    write_files(&outputs).inspect_err(|_| {
        // Only ever removes a folder that is empty.
        for made in made.iter().rev() {
            let _ = fs::remove_dir(made);
        }
    })?;
    Ok(outputs.into_iter().map(|output| output.path).collect())
}

/// Makes `folder` and its parents; returns those it made, outermost first.
fn make_folder(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    check_folder(folder)?;
    let mut missing: Vec<PathBuf> = folder
        .ancestors()
        .take_while(|part| !part.as_os_str().is_empty() && !part.exists())
        .map(Path::to_path_buf)
        .collect();
    missing.reverse();
    fs::create_dir_all(folder).map_err(|error| {
        wrong(
            folder,
            "a folder you may write into",
            &format!("it cannot be made ({})", plain(&error)),
            "name a folder of your own with --out",
        )
    })?;
    Ok(missing)
}

/// The folder a file lies in.
fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// Writes all of `outputs` or none: every file is written in full beside its place, and only when
/// all are down are they moved into place, all or none ([`moves`]). A link in a file's place is
/// replaced, not followed.
///
/// # Errors
/// As [`check_files`], and when a file is not to be replaced or the disk is full.
pub fn write_files(outputs: &[Output]) -> Result<(), Problems> {
    let paths: Vec<&Path> = outputs.iter().map(|output| output.path.as_path()).collect();
    check_files(&paths, Folder::There)?;
    let mut staged = Vec::with_capacity(outputs.len());
    for output in outputs {
        staged.push((stage(output)?, output.path.as_path()));
    }
    for (file, path) in &staged {
        sweep(folder_of(path), file, DEAD);
    }
    let staged = staged.into_iter();
    let staged = staged.map(|(file, path)| (file.into_temp_path(), path));
    moves::move_all(staged.collect(), &mut |file, place| file.persist(place))
}

/// Writes one output in full, under a passing name in the folder it is meant for.
fn stage(output: &Output) -> Result<NamedTempFile, Problem> {
    let failed = |error: std::io::Error| match error.kind() {
        ErrorKind::StorageFull => wrong(
            &output.path,
            "room on the disk",
            "a full disk",
            "make room, or name a folder on another disk; nothing was left behind",
        ),
        _ => wrong(
            &output.path,
            "a folder you may write into",
            &format!("it cannot be written ({})", plain(&error)),
            "name a folder of your own",
        ),
    };
    let mut file = builder()
        .tempfile_in(folder_of(&output.path))
        .map_err(failed)?;
    file.write_all(&output.bytes)
        .and_then(|()| file.as_file().sync_all())
        .map_err(failed)?;
    Ok(file)
}

/// How the passing names begin; [`RANDOM`] letters and digits and an ending follow.
const PASSING: &str = ".bendline-";
/// Ending of the passing name of a file that is written.
const PART: &str = ".part";
/// Ending of the second name of an older file, while newer ones are moved into place.
const OLD: &str = ".old";
const RANDOM: usize = 6;
/// A passing name is borne for seconds; after this long its run was killed.
const DEAD: Duration = Duration::from_secs(3600);

/// Takes away what killed runs left in a folder: files under a passing name for longer than `dead`
/// before `fresh`, which has just been written there, so that it is the file system's own clock that
/// tells. Files of a run that goes on beside this one are younger. Whatever cannot be taken away
/// stays: it is in nobody's way.
fn sweep(folder: &Path, fresh: &NamedTempFile, dead: Duration) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let Some(rest) = name.to_str().and_then(|name| name.strip_prefix(PASSING)) else {
            continue;
        };
        let parts = [(PART, written as Clock), (OLD, named)];
        let found = parts.iter().find_map(|(ending, clock)| {
            let random = rest.strip_suffix(ending)?;
            let is_ours =
                random.len() == RANDOM && random.bytes().all(|b| b.is_ascii_alphanumeric());
            is_ours.then_some(clock)
        });
        let Some(clock) = found else {
            continue;
        };
        // The metadata of an entry are the link's own, not those of what it leads to.
        let then = entry.metadata().ok().and_then(|about| clock(&about));
        let now = fresh.as_file().metadata().ok();
        let now = now.and_then(|about| clock(&about));
        if let (Some(then), Some(now)) = (then, now)
            && now.duration_since(then).is_ok_and(|age| age > dead)
        {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// A time of a file.
type Clock = fn(&fs::Metadata) -> Option<SystemTime>;

/// When a file was written; none of a link or a folder.
fn written(about: &fs::Metadata) -> Option<SystemTime> {
    about.modified().ok().filter(|_| about.is_file())
}

/// When a file or link got its youngest name, as far as the file system knows: an older file's
/// second name is young when its contents are old.
fn named(about: &fs::Metadata) -> Option<SystemTime> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let seconds = u64::try_from(about.ctime()).ok()?;
        let since = Duration::from_secs(seconds);
        (!about.is_dir()).then(|| SystemTime::UNIX_EPOCH + since)
    }
    #[cfg(not(unix))]
    written(about)
}

/// Temporary files get the permissions of any other new file, not a private one's.
fn builder() -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(PASSING).suffix(PART).rand_bytes(RANDOM);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder
}

/// The same for the second names of older files.
fn builder_of_old() -> Builder<'static, 'static> {
    let mut builder = builder();
    builder.suffix(OLD);
    builder
}

/// A name for a hole's files that is safe in any folder: letters, digits, `-` and `_` stay, all
/// else becomes `_`, at most 40 characters; a name in `taken`, in either case, gets a number.
pub fn safe_name(reference: &str, taken: &[String]) -> String {
    let mut name: String = reference
        .chars()
        .take(40)
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '-' || c == '_' {
                c
            } else {
                '_'
            }
        })
        .collect();
    if name.is_empty() {
        name.push('_');
    }
    let is_taken = |name: &str| taken.iter().any(|other| other.eq_ignore_ascii_case(name));
    if !is_taken(&name) {
        return name;
    }
    (2..)
        .map(|number| format!("{name}-{number}"))
        .find(|name| !is_taken(name))
        .unwrap_or(name)
}

/// The system's words without the trailing error number.
fn plain(error: &std::io::Error) -> String {
    let text = error.to_string();
    text.split(" (os error")
        .next()
        .unwrap_or_default()
        .to_lowercase()
}

fn wrong(path: &Path, expected: &str, found: &str, remedy: &str) -> Problem {
    Problem {
        file: path.display().to_string(),
        place: Place::File,
        expected: expected.into(),
        found: found.into(),
        remedy: remedy.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_reference_from_a_file_cannot_leave_the_folder() {
        assert_eq!(safe_name("7", &[]), "7");
        assert_eq!(safe_name("../../etc/passwd", &[]), "______etc_passwd");
        assert_eq!(safe_name("a\0b\n<x>é", &[]), "a_b__x__");
        assert_eq!(safe_name("", &[]), "_");
        assert_eq!(safe_name(&"9".repeat(500), &[]).len(), 40);
        let taken = ["A_1".to_string(), "a_1-2".to_string()];
        assert_eq!(safe_name("a/1", &taken), "a_1-3");
    }

    #[test]
    fn a_file_larger_than_allowed_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        fs::write(&path, "0123456789").unwrap();
        assert_eq!(read_up_to(&path, 10).unwrap().len(), 10);
        let said = read_up_to(&path, 9).unwrap_err().to_string();
        assert!(said.contains("expected: a file of at most 0 MB"), "{said}");
    }

    #[test]
    fn one_bad_place_and_nothing_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out");
        fs::create_dir_all(out.join("b.json")).unwrap();
        let outputs = vec![
            ("a.svg".to_string(), vec![1]),
            ("b.json".to_string(), vec![2]),
        ];
        assert!(write_folder(&out, outputs).is_err());
        assert_eq!(names(&out), ["b.json"]);
    }

    #[test]
    fn a_link_in_the_place_of_a_file_is_replaced_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let outside = folder.path().join("outside");
        let out = folder.path().join("out");
        fs::write(&outside, "kept").unwrap();
        fs::create_dir(&out).unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(&outside, out.join("a.svg")).unwrap();
        write_folder(&out, vec![("a.svg".to_string(), b"new".to_vec())]).unwrap();
        assert_eq!(fs::read_to_string(&outside).unwrap(), "kept");
        assert_eq!(fs::read_to_string(out.join("a.svg")).unwrap(), "new");
        assert_eq!(names(&out), ["a.svg"]);
    }

    #[test]
    fn what_killed_runs_left_is_taken_away_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let old = std::time::SystemTime::now() - 2 * DEAD;
        let put = |name: &str, age: Duration| {
            let file = File::create(folder.path().join(name)).unwrap();
            file.set_modified(old + 2 * DEAD - age).unwrap();
        };
        put(".bendline-a1B2c3.part", 2 * DEAD);
        put(".bendline-Zzzzzz.part", DEAD + Duration::from_secs(60));
        // Of a run that goes on, and of others.
        put(".bendline-d4E5f6.part", DEAD / 2);
        put(".bendline-notes.part", 2 * DEAD);
        put(".bendline-a1B2c3.part.bak", 2 * DEAD);
        put("hole-1.svg", 2 * DEAD);
        fs::create_dir(folder.path().join(".bendline-folder.part")).unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink("hole-1.svg", folder.path().join(".bendline-linked.part"))
            .unwrap();
        write_folder(folder.path(), vec![("a.svg".to_string(), vec![1])]).unwrap();
        let mut kept = vec![
            ".bendline-a1B2c3.part.bak",
            ".bendline-d4E5f6.part",
            ".bendline-folder.part",
            ".bendline-notes.part",
            "a.svg",
            "hole-1.svg",
        ];
        #[cfg(unix)]
        kept.insert(3, ".bendline-linked.part");
        assert_eq!(names(folder.path()), kept);
    }

    /// A second name is as old as the name, not as what it names.
    #[cfg(unix)]
    #[test]
    fn an_old_files_second_name_outlives_its_contents() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        let file = File::create(at("hole-1.svg")).unwrap();
        file.set_modified(SystemTime::now() - 2 * DEAD).unwrap();
        fs::hard_link(at("hole-1.svg"), at(".bendline-a1B2c3.old")).unwrap();
        let fresh = || builder().tempfile_in(folder.path()).unwrap();
        sweep(folder.path(), &fresh(), DEAD);
        assert_eq!(names(folder.path()), [".bendline-a1B2c3.old", "hole-1.svg"]);
        std::thread::sleep(Duration::from_millis(1100));
        sweep(folder.path(), &fresh(), Duration::ZERO);
        assert_eq!(names(folder.path()), ["hole-1.svg"]);
    }

    #[test]
    fn folders_made_for_nothing_are_taken_away() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("x/y");
        let twice = vec![("a".to_string(), vec![]), ("a".to_string(), vec![])];
        assert!(write_folder(&out, twice).is_err());
        assert_eq!(names(folder.path()), Vec::<String>::new());
    }

    #[test]
    fn what_is_written_replaces_what_was_there() {
        let folder = tempfile::tempdir().unwrap();
        for text in ["a longer first text", "second"] {
            let written =
                write_folder(folder.path(), vec![("p".to_string(), text.into())]).unwrap();
            assert_eq!(fs::read_to_string(&written[0]).unwrap(), text);
        }
    }
}
