//! `trug jot`: whatever the title, the path is printed and the file is right as it stands.

use crate::run::Desk;
use crate::{DAY, entry, started};

fn jot(desk: &Desk, title: &str) -> String {
    let said = desk.trug(&["jot", "--on", DAY, "--", title]);
    assert_eq!((said.code, said.err.as_str()), (0, ""), "{title:?} {said:?}");
    let path = said.out.strip_suffix('\n').unwrap();
    assert!(!path.contains('\n'), "{path:?}");
    path.to_owned()
}

#[test]
fn any_title_becomes_a_file_that_proofs_clean() {
    let long = "very long ".repeat(400);
    let titles = [
        "First peas",
        "",
        " ",
        "Peas: the first",
        "Peas #2 sown",
        "it's",
        "'quoted'",
        "\"Double\" & <b>bold</b>",
        "🌱 seedlings 🌱",
        "茄子の日",
        "ёлка",
        "-5 °C at night",
        "--help",
        "- a dash",
        "@home",
        "*bold*",
        "%",
        "!important",
        "{braces}",
        "[[tomato-1]]",
        "[brackets",
        "null",
        "yes",
        "No",
        "~",
        "2026-06-20",
        "1,5",
        "a\tb\nc",
        "bell \u{7} and escape \u{1b}[31m",
        "\u{202e}backwards",
        "\\n",
        "---",
        "...",
        "con",
        "../../escape",
        "a/b\\c",
        "? key",
        "| block",
        "> folded",
        "ends with colon:",
        "signs \u{feff} and \u{fffe}",
        long.as_str(),
    ];
    let desk = started();
    let mut paths = std::collections::BTreeSet::new();
    for title in titles {
        let path = jot(&desk, title);
        assert!(path.starts_with("content/journal/2026/2026-06-20-"), "{path}");
        assert!(path.ends_with(".md") && path.is_ascii() && path.len() < 140, "{path}");
        assert!(desk.path(&path).is_file(), "{path}");
        paths.insert(path);
    }
    assert_eq!(paths.len(), titles.len());
    let proof = desk.trug(&["proof", "--on", DAY]);
    assert_eq!((proof.code, proof.err.as_str()), (0, "no problems.\n"), "{proof:?}");
    let said = desk.trug(&["publish", "--on", DAY]);
    assert_eq!(said.code, 0, "{said:?}");
}

#[test]
fn the_title_is_read_back_as_it_was_given() {
    for (title, shown) in [
        ("Peas: #2 'n' \"more\"", "Peas: #2 &#x27;n&#x27; &quot;more&quot;"),
        ("yes", "<h1>yes</h1>"),
        ("🌱 茄", "🌱 茄"),
    ] {
        let desk = started();
        jot(&desk, title);
        assert_eq!(desk.trug(&["publish", "--on", DAY]).code, 0);
        let month = std::fs::read_to_string(desk.path("site/journal/2026/06/index.html")).unwrap();
        let plain = month.replace("&#39;", "&#x27;");
        let shown = shown.trim_start_matches("<h1>").trim_end_matches("</h1>");
        assert!(plain.contains(shown), "{title} {plain}");
    }
}

#[test]
fn the_same_title_twice_is_two_entries() {
    let desk = started();
    let paths: Vec<String> = (0..3).map(|_| jot(&desk, "First peas")).collect();
    assert_eq!(paths[0], "content/journal/2026/2026-06-20-first-peas.md");
    assert!(paths[0] != paths[1] && paths[1] != paths[2]);
    // Another entry of the day may have the title, under whatever name its file has.
    entry(&desk, "by-hand", "title: By hand");
    jot(&desk, "By hand");
    let proof = desk.trug(&["proof", "--on", DAY]);
    assert_eq!((proof.code, proof.err.as_str()), (0, "no problems.\n"), "{proof:?}");
}

#[test]
fn what_is_due_stands_there_as_lines_that_count_once_the_sign_is_gone() {
    let desk = started();
    entry(
        &desk,
        "peas",
        "plantings: [{id: tom-9, crop: tomato, planted: 3, place: bed, on: 2026-05-20}]",
    );
    let path = desk.path(&jot(&desk, "Round"));
    let text = std::fs::read_to_string(&path).unwrap();
    let due: Vec<&str> = text.lines().filter(|line| line.starts_with("#   - ")).collect();
    assert!(!due.is_empty(), "{text}");
    assert!(text.contains("tom-9"), "{text}");
    // The heading comment stays; every other line counts now.
    let kept = text
        .replace("# care:", "care:")
        .replace("# harvests:", "harvests:")
        .replace("#   - ", "  - ");
    std::fs::write(&path, kept).unwrap();
    let proof = desk.trug(&["proof", "--on", DAY]);
    assert_eq!((proof.code, proof.err.as_str()), (0, "no problems.\n"), "{proof:?} {text}");
}
