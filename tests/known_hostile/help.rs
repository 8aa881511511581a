//! Completions and man pages come from the same definitions as `--help`.

use std::fs;

use crate::{bendline, names, text};

const COMMANDS: [&str; 8] = [
    "plan", "book", "shape", "practice", "review", "check", "flight", "manual",
];

#[test]
fn completions_know_every_command_and_option() {
    let folder = tempfile::tempdir().expect("a folder");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let run = bendline(folder.path(), &["manual", "--completions", shell]);
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        let script = text(&run.stdout);
        for word in COMMANDS.iter().chain(&["heights-crs", "decimal"]) {
            assert!(script.contains(word), "{shell}: no {word}");
        }
    }
    assert!(names(folder.path()).is_empty());
}

/// The script that is printed is one that the shell takes, and it completes.
#[test]
fn bash_takes_the_completions() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = bendline(folder.path(), &["manual", "--completions", "bash"]);
    fs::write(folder.path().join("script"), &run.stdout).expect("a file");
    let ask = "source ./script && COMP_WORDS=(bendline pl) && COMP_CWORD=1 && \
               _bendline bendline pl bendline && echo \"${COMPREPLY[@]}\"";
    let Ok(bash) = std::process::Command::new("bash")
        .args(["-c", ask])
        .current_dir(folder.path())
        .output()
    else {
        eprintln!("no bash here: its completions are not tried");
        return;
    };
    assert_eq!(text(&bash.stdout).trim(), "plan", "{}", text(&bash.stderr));
}

#[test]
fn every_command_has_a_man_page_that_says_what_its_help_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let run = bendline(folder.path(), &["manual", "--pages", "man1"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let pages = names(&folder.path().join("man1"));
    let mut expected: Vec<String> = COMMANDS.iter().map(|c| format!("bendline-{c}.1")).collect();
    expected.push("bendline.1".to_owned());
    expected.sort();
    assert_eq!(pages, expected);
    // The page and the help share their options, word for word but for roff's escapes.
    for command in COMMANDS {
        let page = fs::read_to_string(folder.path().join(format!("man1/bendline-{command}.1")));
        let page = page.expect("a page").replace('\\', "");
        assert!(
            page.contains(&format!(".TH bendline-{command} 1")),
            "{command}"
        );
        let help = bendline(folder.path(), &[command, "--help"]);
        for word in text(&help.stdout).split_whitespace() {
            if word.starts_with("--") && word.len() > 2 {
                let option = word.trim_end_matches(|c: char| !c.is_alphanumeric());
                assert!(page.contains(option), "{command}: no {option}");
            }
        }
    }
}
