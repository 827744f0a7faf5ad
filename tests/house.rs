//! The house holds itself up: `src/` is compared with the drawing in DEVELOPERS.md.
#![expect(clippy::disallowed_methods, reason = "this test reads the source from the disk")]

mod check;
mod code;
mod drawing;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::house::drawing::Drawing;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn text(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn the_drawing() -> Drawing {
    Drawing::read(&text("DEVELOPERS.md")).unwrap()
}

/// Every `.rs` file below `src`, as path below `src` and text.
fn sources() -> Vec<(String, String)> {
    let mut folders = vec![root().join("src")];
    let mut files: Vec<PathBuf> = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    let below = |path: &Path| {
        let path = path.strip_prefix(root().join("src")).unwrap();
        path.iter().map(|part| part.to_str().unwrap()).collect::<Vec<_>>().join("/")
    };
    files.iter().map(|path| (below(path), std::fs::read_to_string(path).unwrap())).collect()
}

#[test]
fn every_file_keeps_to_the_drawing() {
    let drawing = the_drawing();
    let faults: Vec<String> =
        sources().iter().flat_map(|(path, source)| check::faults(&drawing, path, source)).collect();
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn the_drawing_shows_the_rooms_there_are() {
    let drawing = the_drawing();
    assert_eq!(drawing.faults(), Vec::<String>::new());
    let sources = sources();
    assert!(sources.len() > 100, "only {} files were found", sources.len());
    let used: BTreeSet<&str> =
        sources.iter().filter_map(|(path, _)| drawing.room_of(&check::parts_of(path))).collect();
    let drawn: BTreeSet<&str> = drawing.rooms.keys().map(String::as_str).collect();
    assert_eq!(drawn, used, "rooms that are drawn, and rooms that there are");
}

#[test]
fn every_dependency_says_why_it_is_here() {
    let manifest = text("Cargo.toml");
    let mut is_dependency = false;
    let mut before = "";
    let mut silent = Vec::new();
    let mut seen = 0;
    for line in manifest.lines() {
        if line.starts_with('[') {
            is_dependency = line.contains("dependencies");
        } else if is_dependency && line.contains('=') && !line.starts_with('#') {
            seen += 1;
            if !before.starts_with('#') {
                silent.push(line);
            }
        }
        before = line;
    }
    assert!(seen > 20, "only {seen} dependencies were found");
    assert!(silent.is_empty(), "these lines have no comment above them: {silent:#?}");
}

#[test]
fn every_file_of_tests_is_run() {
    let programs = text("Cargo.toml");
    let modules = text("tests/integration.rs");
    let files = std::fs::read_dir(root().join("tests")).unwrap().map(|file| file.unwrap().path());
    let files: Vec<PathBuf> =
        files.filter(|path| path.extension().is_some_and(|ending| ending == "rs")).collect();
    assert!(files.len() > 20, "only {} files were found", files.len());
    for file in files {
        let name = file.file_stem().unwrap().to_str().unwrap();
        let is_program = programs.contains(&format!("[[test]]\nname = \"{name}\"\n"));
        let is_module = modules.lines().any(|line| line == format!("mod {name};"));
        assert!(is_program || is_module, "tests/integration.rs has no `mod {name};`");
    }
}

/// Files that are longer than the habit says, and are to be parted.
const LONG_FILES: &[&str] = &["calendar/rules.rs", "learning/posterior.rs", "output.rs"];
/// Functions of more than sixty lines that there are: lists of fields, one match of many arms, and what is to be parted.
const LONG_FUNCTIONS: &[&str] = &[
    "calendar/rules.rs new",
    "care/water/refills.rs of_place",
    "catalogue/rule.rs read_rule",
    "catalogue/table.rs insert",
    "garden/build.rs build",
    "journal/entry.rs read_fields",
    "learning/lessons.rs teach",
    "learning/posterior.rs of",
    "learning/spans.rs wait",
    "source/mistakes/brackets.rs in_brackets",
    "source/walk.rs read_folder_again",
    "units/trouble.rs message",
];

#[test]
fn files_and_functions_are_as_short_as_the_habits_say() {
    let (mut files, mut functions) = (Vec::new(), Vec::new());
    for (path, source) in sources() {
        let lines: Vec<&str> = source.lines().collect();
        if lines.len() > 400 {
            files.push(path.clone());
        }
        let tests = lines.iter().position(|line| *line == "#[cfg(test)]");
        functions.extend(
            long_functions(&lines[..tests.unwrap_or(lines.len())], 60)
                .map(|name| format!("{path} {name}")),
        );
    }
    files.retain(|path| !LONG_FILES.contains(&path.as_str()));
    functions.retain(|name| !LONG_FUNCTIONS.contains(&name.as_str()));
    assert!(
        files.is_empty(),
        "files of more than 400 lines: part them by the trade's words: {files:?}"
    );
    assert!(functions.is_empty(), "functions of more than 60 lines: {functions:?}");
    let example =
        ["    pub(super) fn long<T>(", "    ) {", "        1", "    }", "fn short() {", "}"];
    assert_eq!(long_functions(&example, 3).collect::<Vec<_>>(), ["long"]);
}

/// The names of functions of more lines than so many; rustfmt puts the end of each where its beginning is.
fn long_functions<'a>(lines: &'a [&'a str], most: usize) -> impl Iterator<Item = &'a str> {
    lines.iter().enumerate().filter_map(move |(index, line)| {
        let (head, rest) = line.split_once("fn ")?;
        let is_head = head
            .split_whitespace()
            .all(|word| word.starts_with("pub") || word == "const" || word.ends_with(')'));
        let indent = &line[..line.len() - line.trim_start().len()];
        let end = lines[index..].iter().position(|line| line.strip_prefix(indent) == Some("}"))?;
        (is_head && end >= most).then(|| rest.split(['(', '<']).next().unwrap_or(rest))
    })
}
