//! What README.md tells a newcomer to type works as it stands.
//!
//! Blocks marked `console` are typed in one sitting, from a folder in which `content/` is the demo
//! garden: lines that begin with `$ ` are run, in order, and each has to end well. `cargo run --release --`
//! stands for `trug`. The first block marked `markdown` that begins with `---` is an entry; it has to
//! proof clean in a garden that was just started.
#![expect(clippy::disallowed_methods, reason = "README.md and the demo garden lie on the disk")]

use std::path::{Path, PathBuf};

use crate::support::run::{Desk, run_in};

/// Commands that belong to other programs, or that never end: they are not run here.
const OTHERS: &[&str] = &[
    "git ",
    "sudo apt install ",
    "cargo install ",
    "cargo build",
    "cargo test",
    "cargo clippy",
    "tests/",
    "trug preview",
    "xdg-open ",
    "open ",
    "python3 -m http.server",
];

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("README.md: {error}"))
}

/// The blocks between fences that are marked so.
fn blocks(markdown: &str, mark: &str) -> Vec<String> {
    let mut blocks = Vec::new();
    let mut open: Option<(bool, String)> = None;
    for line in markdown.lines() {
        match (&mut open, line.trim().strip_prefix("```")) {
            (None, Some(info)) => open = Some((info.trim() == mark, String::new())),
            (Some((is_wanted, text)), Some(_)) => {
                if *is_wanted {
                    blocks.push(std::mem::take(text));
                }
                open = None;
            }
            (Some((_, text)), None) => text.push_str(&format!("{line}\n")),
            (None, None) => {}
        }
    }
    blocks
}

/// The words of a command line: at spaces, but not in quotes.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut quote = None;
    for char in line.chars() {
        match (quote, char) {
            (Some(open), char) if open == char => quote = None,
            (None, '"' | '\'') => {
                quote = Some(char);
                word.get_or_insert_default();
            }
            (None, ' ') => words.extend(word.take()),
            (_, char) => word.get_or_insert_default().push(char),
        }
    }
    words.extend(word);
    words
}

/// Runs what can be run here, going from folder to folder; gives back the `trug` commands it ran.
fn type_all(desk: &Desk, console: &str) -> Vec<String> {
    let mut here = desk.path("");
    let mut ran = Vec::new();
    for line in console.lines().filter_map(|line| line.strip_prefix("$ ")) {
        // What stands behind ` #` explains.
        let line = line.split(" #").next().unwrap_or(line).trim();
        for command in line.split(" && ") {
            let trug = ["cargo run --release -- ", "cargo run -- ", "trug "];
            if let Some(folder) = command.strip_prefix("cd ") {
                here = here.join(folder);
                assert!(here.is_dir(), "`{command}` leads nowhere: {}", here.display());
            } else if OTHERS.iter().any(|other| command.starts_with(other)) {
                continue;
            } else if let Some(arguments) =
                trug.iter().find_map(|start| command.strip_prefix(start))
            {
                let arguments = words(arguments);
                let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
                let said = run_in(&here, &arguments, &[]);
                assert_eq!(said.code, 0, "`{command}`: {said:?}");
                ran.push(arguments.join(" "));
            } else {
                panic!("this test does not know what to do with `{command}`");
            }
        }
    }
    ran
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let from: PathBuf = entry.unwrap().path();
        let to = to.join(from.file_name().unwrap());
        if from.is_dir() {
            copy(&from, &to);
        } else {
            std::fs::copy(&from, &to).unwrap();
        }
    }
}

#[test]
fn the_commands_work_in_the_order_in_which_they_are_shown() {
    let desk = Desk::empty();
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content"), &desk.path("content"));
    let ran = type_all(&desk, &blocks(&readme(), "console").concat());
    for needed in ["publish", "start "] {
        assert!(ran.iter().any(|line| line.starts_with(needed)), "no `{needed}` among {ran:#?}");
    }
    assert!(desk.path("site/index.html").is_file(), "the demo garden was published");
}

/// What stands in `ticks` and begins with `trug`.
fn mentioned(markdown: &str) -> Vec<String> {
    let parts = markdown.split('`').skip(1).step_by(2);
    parts.filter(|part| part.starts_with("trug ")).map(str::to_owned).collect()
}

#[test]
fn every_command_that_is_mentioned_exists_with_its_options() {
    let desk = Desk::empty();
    let mentioned = mentioned(&readme().replace("```", ""));
    assert!(mentioned.len() > 3, "{mentioned:?}");
    for line in mentioned {
        let words = words(line.trim_start_matches("trug "));
        let help = desk.trug(&[words[0].as_str(), "--help"]);
        assert_eq!(help.code, 0, "`{line}`: {help:?}");
        for option in words.iter().filter(|word| word.starts_with("--")) {
            assert!(help.out.contains(option.as_str()), "`{line}`: {}", help.out);
        }
    }
}

#[test]
fn the_first_entry_is_right_as_it_stands() {
    let all = blocks(&readme(), "markdown");
    let first = all.iter().find(|block| block.starts_with("---")).expect("an entry in README.md");
    let desk = Desk::empty();
    assert_eq!(desk.trug(&["start", "."]).code, 0);
    std::fs::write(desk.path("content/journal/from-the-readme.md"), first).unwrap();
    // Far enough on that no entry of the README lies ahead.
    let said = desk.trug(&["proof", "--on", "2100-01-01"]);
    assert_eq!((said.code, said.err.as_str()), (0, "no problems.\n"), "{said:?}\n{first}");
}

#[test]
fn blocks_and_words_are_read_as_a_person_reads_them() {
    let text =
        "a\n```console\n$ trug jot \"First peas\" --on 'x y'\nout\n```\n```yaml\n$ no\n```\n";
    assert_eq!(blocks(text, "console"), ["$ trug jot \"First peas\" --on 'x y'\nout\n"]);
    assert_eq!(words("jot \"First peas\" --on 'x y' ''"), ["jot", "First peas", "--on", "x y", ""]);
    let desk = Desk::empty();
    let ran = type_all(&desk, "$ trug start demo && cd demo && trug publish  # then look\nout\n");
    assert_eq!(ran, ["start demo", "publish"]);
}

#[test]
#[should_panic(expected = "leeek")]
fn a_command_that_fails_is_told() {
    let desk = Desk::empty();
    assert_eq!(desk.trug(&["start", "."]).code, 0);
    std::fs::write(
        desk.path("content/journal/wrong.md"),
        "---\ndate: 2026-01-01\nplantings: [{id: x, crop: leeek}]\n---\n",
    )
    .unwrap();
    type_all(&desk, "$ trug proof");
}
