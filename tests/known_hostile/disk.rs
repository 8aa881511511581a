//! No room, no permission, links in the way.
#![cfg(unix)]

use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::Path;
use std::process::Command;

use tempfile::TempDir;

use crate::{ONE_CLUB, bendline, limited, names, text};

fn folder() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("me.json"), ONE_CLUB).expect("a player");
    folder
}

/// A small file system of memory on a folder, taken away again in the end.
struct Small<'a>(&'a Path);

impl<'a> Small<'a> {
    /// None where mounting is not permitted.
    fn mount(at: &'a Path, size: &str) -> Option<Self> {
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={size}"), "tmpfs"])
            .arg(at)
            .output();
        mounted
            .is_ok_and(|run| run.status.success())
            .then_some(Self(at))
    }
}

impl Drop for Small<'_> {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.0).output();
    }
}

/// A disk that is full in the middle of the writing: an error, nothing of the run, and what was
/// there before as it was. Where mounting is not permitted the next test stands alone.
#[test]
fn a_full_disk_leaves_nothing_half_written() {
    let folder = folder();
    let disk = folder.path().join("disk");
    fs::create_dir(&disk).expect("a folder");
    let Some(_small) = Small::mount(&disk, "64k") else {
        eprintln!("mounting is not permitted here: a full disk is not tried");
        return;
    };
    fs::create_dir(disk.join("out")).expect("a folder");
    fs::write(disk.join("out/hole-1.json"), "{}").expect("a file");
    for (command, out) in [("plan", "disk/out"), ("book", "disk/out/book.pdf")] {
        let run = bendline(
            folder.path(),
            &[command, "--player", "me.json", "--out", out],
        );
        assert_eq!(run.status.code(), Some(1), "{}", text(&run.stderr));
        let said = text(&run.stderr);
        assert!(said.contains("found:    a full disk"), "{said}");
        assert_eq!(names(&disk.join("out")), ["hole-1.json"]);
        let kept = fs::read_to_string(disk.join("out/hole-1.json"));
        assert_eq!(kept.expect("a file"), "{}");
    }
}

/// A file that cannot be replaced, by a mark on it or by another file laid over it; none where
/// neither is permitted.
struct Fixed {
    path: std::path::PathBuf,
    by_mark: bool,
}

impl Fixed {
    fn at(path: &Path, spare: &Path) -> Option<Self> {
        let path = path.to_path_buf();
        let done = |program: &str, arguments: &[&std::ffi::OsStr]| {
            let run = Command::new(program).args(arguments).output();
            run.is_ok_and(|run| run.status.success())
        };
        if done("chattr", &["+i".as_ref(), path.as_ref()]) {
            return Some(Self {
                path,
                by_mark: true,
            });
        }
        fs::copy(&path, spare).expect("a copy");
        done("mount", &["--bind".as_ref(), spare.as_ref(), path.as_ref()]).then_some(Self {
            path,
            by_mark: false,
        })
    }
}

impl Drop for Fixed {
    fn drop(&mut self) {
        let _ = if self.by_mark {
            Command::new("chattr").arg("-i").arg(&self.path).output()
        } else {
            Command::new("umount").arg(&self.path).output()
        };
    }
}

/// Each of several outputs in turn cannot be replaced: nothing is changed, be it first or last. The
/// unit tests of `files::moves` do the same where nothing may be fixed.
#[test]
fn all_files_or_none_are_replaced() {
    let folder = folder();
    let run = |arguments: &[&str]| bendline(folder.path(), arguments);
    let plan = ["plan", "--player", "me.json", "--also", "geojson,md,pdf"];
    assert_eq!(run(&plan).status.code(), Some(0));
    let out = folder.path().join("out");
    let held = || -> Vec<(String, Vec<u8>)> {
        let read = |name: String| {
            let bytes = fs::read(out.join(&name)).expect("a file");
            (name, bytes)
        };
        names(&out).into_iter().map(read).collect()
    };
    let other = [&plan[..], &["--seed", "2"]].concat();
    for fixed in names(&out) {
        // Of the others one is not there: it must not be afterwards.
        let missing = if fixed == "hole-1.md" {
            "hole-1.svg"
        } else {
            "hole-1.md"
        };
        fs::remove_file(out.join(missing)).expect("a file");
        let before = held();
        let Some(mark) = Fixed::at(&out.join(&fixed), &folder.path().join("spare")) else {
            eprintln!("no file can be fixed here: only the unit tests say what happens then");
            return;
        };
        let tried = run(&other);
        drop(mark);
        let said = text(&tried.stderr);
        assert_eq!(tried.status.code(), Some(1), "{fixed}: {said}");
        assert!(said.contains(&format!("out/{fixed}: whole file")), "{said}");
        assert!(said.contains("expected: a file you may replace"), "{said}");
        assert!(said.contains("found:    it cannot be replaced"), "{said}");
        assert!(held() == before, "{fixed}: {:?}", names(&out));
        assert_eq!(run(&plan).status.code(), Some(0));
    }
    let before = held();
    assert_eq!(run(&other).status.code(), Some(0));
    let changed = before.iter().zip(held()).filter(|(old, new)| **old != *new);
    assert_eq!(changed.count(), 5, "nothing was fixed any more");
}

/// A file system that may only be read: known before anything is planned, as root too.
#[test]
fn a_read_only_disk_is_known_before_the_work() {
    let folder = folder();
    let disk = folder.path().join("disk");
    fs::create_dir(&disk).expect("a folder");
    let Some(_small) = Small::mount(&disk, "64k,ro") else {
        eprintln!("mounting is not permitted here: a read-only disk is not tried");
        return;
    };
    for (command, out) in [
        ("plan", "disk"),
        ("plan", "disk/new/out"),
        ("book", "disk/book.pdf"),
        ("book", "disk/new/book.pdf"),
    ] {
        let arguments = [command, "--player", "me.json", "--out", out];
        let run = bendline(folder.path(), &arguments);
        let said = text(&run.stderr);
        assert_eq!(run.status.code(), Some(1), "{said}");
        assert!(said.contains("a folder you may write into"), "{said}");
        assert!(said.contains("read-only file system"), "{said}");
        assert!(!said.contains("planning"), "{said}");
    }
}

/// The same by a limit on the size of files, which any user may set: as an error of the write, and
/// as the signal that ends the process in the middle of it.
#[test]
fn a_file_cut_short_never_gets_its_name() {
    for (limits, code) in [
        ("trap '' XFSZ; ulimit -f 8", Some(1)),
        ("ulimit -f 8", None),
    ] {
        let folder = folder();
        fs::create_dir(folder.path().join("out")).expect("a folder");
        fs::write(folder.path().join("out/hole-1.svg"), "<svg/>").expect("a file");
        let run = limited(folder.path(), limits, &["plan", "--player", "me.json"]);
        assert_eq!(run.status.code(), code, "{}", text(&run.stderr));
        if code.is_some() {
            let said = text(&run.stderr);
            assert!(said.contains("it cannot be written"), "{said}");
        }
        let mut there = names(&folder.path().join("out"));
        there.retain(|name| !(name.starts_with(".bendline-") && name.ends_with(".part")));
        assert_eq!(there, ["hole-1.svg"], "{limits}");
        let kept = fs::read_to_string(folder.path().join("out/hole-1.svg"));
        assert_eq!(kept.expect("a file"), "<svg/>");
        assert_eq!(names(folder.path()), ["me.json", "out"]);
    }
}

/// A folder that may not be written into: an error, and nothing new. Root may write anywhere, so as
/// root the program runs as another user, where it can.
#[test]
fn a_read_only_folder_is_left_as_it_is() {
    let folder = folder();
    let locked = folder.path().join("locked");
    fs::create_dir(&locked).expect("a folder");
    fs::write(locked.join("kept"), "kept").expect("a file");
    let mode = |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode));
    mode(folder.path(), 0o755).expect("permissions");
    mode(&locked, 0o555).expect("permissions");
    let is_root = fs::metadata(folder.path()).is_ok_and(|_| {
        let id = Command::new("id").arg("-u").output();
        id.is_ok_and(|id| id.stdout.trim_ascii() == b"0")
    });
    for (command, out) in [
        ("plan", "locked"),
        ("plan", "locked/new"),
        ("book", "locked/b.pdf"),
    ] {
        let arguments = [command, "--player", "me.json", "--out", out];
        let run = if is_root {
            let run = Command::new("setpriv")
                .args(["--reuid=65534", "--regid=65534", "--clear-groups"])
                .arg(env!("CARGO_BIN_EXE_bendline"))
                .args(arguments)
                .current_dir(folder.path())
                .output();
            match run {
                // 126 and 127: the program is where another user may not reach it.
                Ok(run) if !matches!(run.status.code(), Some(126 | 127)) => run,
                _ => {
                    eprintln!("no other user to be: a read-only folder is not tried");
                    return;
                }
            }
        } else {
            bendline(folder.path(), &arguments)
        };
        let said = text(&run.stderr);
        assert_eq!(run.status.code(), Some(1), "{said}");
        assert!(said.contains("a folder you may write into"), "{said}");
        assert!(!said.contains("planning"), "{said}");
        assert_eq!(names(&locked), ["kept"]);
    }
    mode(&locked, 0o755).expect("permissions");
}

/// A link as the output folder is the folder it names, and nothing else is written; a link to
/// nowhere or to a file is an error; a link in a file's place is replaced and not followed.
#[test]
fn links_lead_nowhere_else() {
    let folder = folder();
    let at = |name: &str| folder.path().join(name);
    fs::create_dir(at("real")).expect("a folder");
    fs::write(at("outside"), "outside").expect("a file");
    symlink(at("outside"), at("real/hole-1.svg")).expect("a link");
    symlink(at("real"), at("out")).expect("a link");
    let run = bendline(folder.path(), &["plan", "--player", "me.json"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    assert_eq!(names(folder.path()), ["me.json", "out", "outside", "real"]);
    assert_eq!(names(&at("real")), ["hole-1.json", "hole-1.svg"]);
    let outside = fs::read_to_string(at("outside")).expect("a file");
    assert_eq!(outside, "outside", "a link was followed");

    symlink(at("nowhere"), at("gone")).expect("a link");
    symlink(at("outside"), at("file")).expect("a link");
    for (out, words) in [("gone", "it cannot be made"), ("file", "is a file")] {
        let run = bendline(
            folder.path(),
            &["plan", "--player", "me.json", "--out", out],
        );
        assert_eq!(run.status.code(), Some(1), "{}", text(&run.stderr));
        assert!(text(&run.stderr).contains(words), "{}", text(&run.stderr));
    }
    assert!(!at("nowhere").exists());
    let outside = fs::read_to_string(at("outside")).expect("a file");
    assert_eq!(outside, "outside");
}
