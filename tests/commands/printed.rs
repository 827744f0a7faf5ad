//! What is printed, where, and in which form.

use serde_json::Value;

use crate::commands::{DAY, entry, started};
use crate::support::run::Desk;

/// A garden with an error whose place is known to the character, and a warning.
fn wrong() -> Desk {
    let desk = started();
    entry(&desk, "wrong", "title: Größe\nevents: [{planting: lettuce-1, is: flowring}]");
    std::fs::write(desk.path("content/notes.txt"), "not for trug").unwrap();
    desk
}

#[test]
fn problems_for_an_editor_are_one_line_each() {
    let said = wrong().trug(&["proof", "--on", DAY, "--format", "line"]);
    let lines: Vec<&str> = said.out.lines().collect();
    assert_eq!(lines.len(), 2, "{said:?}");
    assert!(
        lines[0].starts_with("content/journal/wrong.md:4:36: error[unknown-word]: "),
        "{}",
        lines[0]
    );
    assert!(lines[0].contains("flowering"), "{}", lines[0]);
    assert!(
        lines[1].starts_with("content/notes.txt:1:1: warning[file-unexpected]: "),
        "{}",
        lines[1]
    );
    assert_eq!(said.err, "1 error and 1 warning in 2 files.\n");
}

#[test]
fn problems_for_a_program_are_one_document() {
    let desk = wrong();
    for command in ["proof", "publish"] {
        let said = desk.trug(&[command, "--on", DAY, "--format", "json"]);
        let document: Value = serde_json::from_str(&said.out).unwrap();
        assert_eq!(
            (&document["format"], &document["errors"], &document["warnings"]),
            (&1.into(), &1.into(), &1.into())
        );
        let problem = &document["problems"][0];
        assert_eq!(problem["file"], "content/journal/wrong.md");
        assert_eq!((&problem["line"], &problem["column"]), (&4.into(), &36.into()));
        assert_eq!(
            (&problem["severity"], &problem["code"]),
            (&"error".into(), &"unknown-word".into())
        );
        // Offset and length in bytes lead to the word itself.
        let text = std::fs::read(desk.path("content/journal/wrong.md")).unwrap();
        let from = problem["offset"].as_u64().unwrap() as usize;
        let length = problem["length"].as_u64().unwrap() as usize;
        assert_eq!(&text[from..from + length], b"flowring");
        assert_eq!(problem["hints"][0]["replace"]["text"], "flowering");
    }
}

#[test]
fn without_problems_the_forms_are_empty_but_whole() {
    let desk = started();
    assert_eq!(desk.trug(&["proof", "--on", DAY, "--format", "line"]).out, "");
    let said = desk.trug(&["proof", "--on", DAY, "--format", "json"]);
    let document: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(
        document,
        serde_json::json!({"format": 1, "errors": 0, "warnings": 0, "problems": []})
    );
}

#[test]
fn people_are_told_beside_the_output_with_the_line_and_a_count() {
    let said = wrong().trug(&["proof", "--on", DAY]);
    assert_eq!(said.out, "");
    for expected in [
        "content/journal/wrong.md:4:36",
        "is: flowring",
        "unknown-word",
        "1 error and 1 warning in 2 files.",
    ] {
        assert!(said.err.contains(expected), "{expected}: {}", said.err);
    }
}

#[test]
fn output_that_is_no_terminal_has_no_escape_codes() {
    let desk = wrong();
    entry(
        &desk,
        "steering",
        "title: \"a \\e[31m\"\nplantings: [{id: 'x\u{1b}[2J', crop: leeek\u{7}}]",
    );
    let forced: &[_] = &[("CLICOLOR_FORCE", "1"), ("FORCE_COLOR", "1"), ("TERM", "xterm-256color")];
    for (arguments, variables) in [
        (&["proof", "--on", DAY][..], &[][..]),
        (&["proof", "--on", DAY], forced),
        (&["proof", "--on", DAY, "--format", "line"], forced),
        (&["publish", "--on", DAY], forced),
        (&["tasks", "--on", DAY], forced),
        // The reader of the command line takes the wish for colour seriously, and so may it.
        (&["publish", "--nonsense"], &[]),
        (&["--help"], &[]),
    ] {
        let said = desk.trug_with(arguments, variables);
        let all = format!("{}{}", said.out, said.err);
        assert!(!all.contains(['\u{1b}', '\u{7}']), "{arguments:?} {variables:?} {all:?}");
    }
}

/// On a terminal made by `script` (util-linux); where that is missing, nothing is checked.
#[cfg(target_os = "linux")]
#[test]
fn a_terminal_has_colour_unless_it_is_not_wanted() {
    let desk = wrong();
    let trug = assert_cmd::cargo::cargo_bin("trug");
    let on_terminal = |variables: &[(&str, &str)]| {
        let line = format!("'{}' proof --on {DAY}", trug.display());
        let mut command = std::process::Command::new("script");
        command.args(["-qec", &line, "/dev/null"]).current_dir(desk.path(""));
        command
            .env_remove("NO_COLOR")
            .env("TERM", "xterm-256color")
            .envs(variables.iter().copied());
        command.stdin(std::process::Stdio::null()).output().ok()
    };
    let Some(coloured) = on_terminal(&[]) else { return };
    let shown = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert!(shown(&coloured.stdout).contains("\u{1b}["), "{}", shown(&coloured.stdout));
    let plain = on_terminal(&[("NO_COLOR", "1")]).unwrap();
    assert!(shown(&plain.stdout).contains("flowring"), "{}", shown(&plain.stdout));
    assert!(!shown(&plain.stdout).contains("\u{1b}[3"), "{}", shown(&plain.stdout));
}

/// What was asked for is printed whole, or the command fails.
#[test]
fn a_full_disk_behind_the_output_is_told() {
    let desk = started();
    for arguments in [&["tasks", "--on", DAY][..], &["proof", "--on", DAY, "--format", "json"]] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_trug"))
            .current_dir(desk.path(""))
            .args(arguments)
            .stdout(full)
            .output()
            .unwrap();
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {told}");
        assert!(told.contains("make room"), "{arguments:?}: {told}");
    }
}

#[test]
fn every_word_that_can_be_written_is_printed_and_explained() {
    let desk = Desk::empty();
    let all = desk.trug(&["words"]);
    assert_eq!(all.code, 0, "{all:?}");
    for word in [
        "potted on",
        "given away",
        "pinch out",
        "how-bad",
        "last-spring",
        "0.5 L",
        "aubergine",
        "eggplant",
    ] {
        assert!(all.out.contains(word), "{word}: {}", all.out);
    }
    for (word, told) in [
        ("picked", "harvests: [{planting: pepper-26"),
        ("Potted-on", "events: [{planting: pea-26, is: potted on}]"),
        ("water", "did: water"),
        ("because", "is a key of an event"),
        ("oz", "is a unit"),
        ("eggplant", "`aubergine` is a crop"),
        ("bad-date", "The date cannot be read"),
    ] {
        let said = desk.trug(&["words", word]);
        assert!(said.code == 0 && said.out.contains(told), "{word}: {said:?}");
    }
    let said = desk.trug(&["words", "piked"]);
    assert!(said.code == 2 && said.err.contains("did you mean `picked`?"), "{said:?}");
    let schema: serde_json::Value =
        serde_json::from_str(&desk.trug(&["words", "--schema", "entry"]).out).unwrap();
    let laid_out = started();
    let own = std::fs::read_to_string(laid_out.path("schemas/entry.json")).unwrap();
    assert_eq!(serde_json::from_str::<serde_json::Value>(&own).unwrap(), schema);
}
