//! Files as no grower would write them on purpose: each gives a right result or a clear problem,
//! never a panic, in every form of the report.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;
use proptest::prelude::*;
use trug::diagnostics::problem::Problem;
use trug::diagnostics::report::{self, Drawing, Page};
use trug::garden::model::Garden;
use trug::garden::planting::PlantingId;
use trug::origin::{FileId, Origin};
use trug::publish::{self, Day, Inputs};
use trug::reading;
use trug::source::files::Files;
use trug::source::walk;

type Content = BTreeMap<String, Vec<u8>>;

const GARDEN: &str = "name: Quarry Steps\n\
    place: {latitude: 43.5, longitude: 5.4, time-zone: Europe/Paris}\n";
const ENTRY: &str = "journal/2026-05-10.md";

/// Reads and checks the files, draws every form of the report, and checks what must always be so.
fn proof(files: &Content) -> (Garden, Vec<Problem>) {
    let content = Files::new(FileId(0), files.clone());
    let day = NaiveDate::from_ymd_opt(2026, 6, 20).expect("a day");
    let inputs = Inputs {
        content,
        theme: Files::default(),
        day: Day::Fixed(day),
        earlier_feeds: BTreeMap::new(),
        earlier_photos: BTreeMap::new(),
    };
    let (garden, problems) = publish::proof(&inputs);
    let texts: Vec<(String, String)> = inputs
        .content
        .iter()
        .map(|file| (file.path.clone(), file.text_to_show().into_owned()))
        .collect();
    let look_up = |id: FileId| texts.get(id.0 as usize).map(|(name, text)| Page { name, text });
    let lines = report::lines(&problems, &look_up);
    assert_eq!(lines.lines().count(), problems.len(), "one line each");
    let drawing = Drawing { colour: false, width: 80 };
    for form in [lines, report::human(&problems, &look_up, drawing), report::tally(&problems)] {
        assert!(!form.contains(|c: char| c.is_control() && c != '\n' && c != '\t'), "{form:?}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&report::json(&problems, &[], &look_up)).expect("valid JSON");
    assert_eq!(json["problems"].as_array().map(Vec::len), Some(problems.len()));
    for problem in &problems {
        assert!(!problem.hints.is_empty(), "{problem:?}");
        let replaced = problem.hints.iter().filter_map(|hint| hint.replace.as_ref());
        let places = replaced.map(|(at, _)| *at).chain(problem.others.iter().map(|other| other.at));
        places.chain([problem.at]).for_each(|at| assert!(is_inside(&inputs, at), "{problem:?}"));
    }
    (garden, problems)
}

/// Whether a place is whole characters of its file, if that is text at all.
fn is_inside(inputs: &Inputs, at: Origin) -> bool {
    let Some(range) = at.range() else { return true };
    let file = at.file().and_then(|file| inputs.content.get(file)).expect("a file that was read");
    match file.text() {
        Ok(text) => text.get(range).is_some(),
        Err(_) => range.end <= file.bytes.len(),
    }
}

fn with(files: &[(&str, &[u8])]) -> Content {
    let mut all = Content::from([("garden.yaml".to_owned(), GARDEN.as_bytes().to_vec())]);
    all.extend(files.iter().map(|(path, bytes)| ((*path).to_owned(), bytes.to_vec())));
    all
}

/// The words of all problems with one file beside garden.yaml.
fn codes(path: &str, bytes: &[u8]) -> Vec<&'static str> {
    let (_, problems) = proof(&with(&[(path, bytes)]));
    problems.iter().map(|problem| problem.code.word()).collect()
}

#[test]
fn line_ends_and_byte_order_marks_change_nothing() {
    let text = "---\ndate: 2026-05-10\ntitle: Über die Mäuse\n\
        plantings: [{id: огурцы-26, crop: cucumber, sown: 6}]\n---\nSee [[огурцы-26]].\n";
    for mark in ["", "\u{feff}"] {
        for newline in ["\n", "\r\n"] {
            let entry = format!("{mark}{}", text.replace('\n', newline));
            let garden = format!("{mark}{}", GARDEN.replace('\n', newline));
            let table =
                format!("{mark}date,planting,count{newline}2026-06-01,огурцы-26,3{newline}");
            let files = [
                ("garden.yaml", garden.as_bytes()),
                (ENTRY, entry.as_bytes()),
                ("harvests/a.csv", table.as_bytes()),
            ];
            let (garden, problems) = proof(&with(&files));
            assert_eq!(problems, []);
            assert_eq!(garden.entries[0].title.as_deref(), Some("Über die Mäuse"));
            assert_eq!(garden.planting(PlantingId(0)).id.as_str(), "огурцы-26");
            assert_eq!(garden.harvests[0].count, Some(3));
        }
    }
}

#[test]
fn names_of_any_script() {
    let place = "---\nname: 屋上の鉢\nkind: container\n---\n";
    let crop = "---\ncrop: 茄子\nbased-on: aubergine\n---\n";
    let entry = "---\ndate: 2026-05-10\n\
        plantings: [{id: 茄子-26, crop: 茄子, place: 屋上の鉢, sown: 6}]\n---\n[[place:屋上の鉢]]\n";
    let files = [
        ("places/okujo.md", place.as_bytes()),
        ("crops/nasu.md", crop.as_bytes()),
        (ENTRY, entry.as_bytes()),
    ];
    let (garden, problems) = proof(&with(&files));
    assert_eq!(problems, []);
    assert_eq!(garden.places[0].name, "屋上の鉢");
    assert_eq!(garden.plantings().len(), 1);
}

#[test]
fn little_or_nothing_to_read() {
    let (garden, problems) = proof(&with(&[]));
    assert_eq!((problems.len(), garden.entries.len()), (0, 0), "no journal folder at all");
    let (garden, problems) = proof(&with(&[(ENTRY, b"---\ndate: 2026-05-10\n---")]));
    assert_eq!((problems.len(), garden.entries.len()), (0, 1), "one entry, without prose");
    assert_eq!(garden.entries[0].prose.as_str(), "");
    assert_eq!(codes(ENTRY, b"---\ndate: 2026-05-10\n---   \t \n"), [""; 0], "blanks behind ---");
    assert_eq!(codes(ENTRY, b""), ["front-matter-missing"]);
    assert_eq!(codes(ENTRY, b"\n"), ["front-matter-missing"]);
    assert_eq!(codes(ENTRY, b"\xef\xbb\xbf"), ["front-matter-missing"]);
    assert_eq!(codes(ENTRY, b"---"), ["front-matter-unclosed"]);
    assert_eq!(codes(ENTRY, b"---\n"), ["front-matter-unclosed"]);
    assert_eq!(codes(ENTRY, b"---\n---\n"), [""; 0], "the file's name has the date");
    assert_eq!(codes("journal/a.md", b"---\n---\n"), ["missing-key"]);
    assert_eq!(codes("garden.yaml", b""), ["missing-key", "missing-key"]);
    assert_eq!(codes("weather/a.csv", b""), ["table-heading"]);
    assert_eq!(codes("weather/a.csv", b"date,low\n"), [""; 0]);
    let nothing = Content::new();
    assert_eq!(proof(&nothing).1.len(), 1, "garden-missing");
}

#[test]
fn bytes_that_are_no_text() {
    assert_eq!(codes(ENTRY, b"---\ndate: 2026-05-10\ntitle: Caf\xe9\n---\n"), ["not-utf8"]);
    let utf16: Vec<u8> = "---\ndate".encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(codes(ENTRY, &[b"\xff\xfe".to_vec(), utf16.clone()].concat()), ["not-utf8"]);
    assert_eq!(codes(ENTRY, &utf16), ["front-matter-missing"]);
    assert_eq!(codes("garden.yaml", b"name: \xff"), ["not-utf8"]);
    assert_eq!(codes("weather/a.csv", b"date,low\n2026-05-01,\xff\n"), ["not-utf8"]);
    assert_eq!(codes(ENTRY, b"---\ndate: 2026-05-10\ntitle: a\0b\n---\n"), ["yaml-syntax"]);
    assert_eq!(
        codes(ENTRY, b"---\ndate: 2026-05-10\n---\na\0b\x1b[2J\n"),
        [""; 0],
        "prose is free"
    );
    assert_eq!(codes("weather/a.csv", b"date,low\n2026-05-01,\0\n"), ["hidden-sign"]);
}

#[test]
fn large_files() {
    let list =
        |tags| format!("---\ndate: 2026-05-10\ntags: [{}]\n---\n", "'a word', ".repeat(tags));
    for (tags, told) in [(2_000, 0), (2_001, 1), (20_000, 1)] {
        let (garden, problems) = proof(&with(&[(ENTRY, list(tags).as_bytes())]));
        assert_eq!((problems.len(), garden.entries[0].tags.len()), (told, 2_000), "{tags}");
    }
    assert_eq!(codes(ENTRY, list(2_001).as_bytes()), ["list-too-long"]);
    assert_eq!(codes(ENTRY, list(40_000).as_bytes()), ["file-too-big"]);
    let word = "x".repeat(80_000);
    let line = format!("---\ndate: 2026-05-10\ntitle: {word}\n---\n{word}\n");
    assert_eq!(codes(ENTRY, line.as_bytes()), [""; 0]);
    let broken = format!("---\ndate: 2026-05-10\ntitle: @{word}\ntags: [{word}\n---\n{word}\n");
    assert_eq!(codes(ENTRY, broken.as_bytes()), ["needs-quotes", "yaml-syntax"]);
    assert_eq!(codes(ENTRY, format!("---\n{word}").as_bytes()), ["front-matter-unclosed"]);
    assert_eq!(codes(ENTRY, &b" ".repeat(9_000_000)), ["file-too-big"]);
}

#[test]
fn aliases_and_nesting() {
    let aliases = format!("---\ndate: 2026-05-10\ntags: [&a rain{}]\n---\n", ", *a".repeat(100));
    let (garden, problems) = proof(&with(&[(ENTRY, aliases.as_bytes())]));
    assert_eq!((problems.len(), garden.entries[0].tags.len()), (0, 101), "100-fold, and right");
    let mut bomb = "---\ndate: 2026-05-10\na0: &a0 [x, x]\n".to_owned();
    for level in 1..100 {
        let before = level - 1;
        bomb.push_str(&format!("a{level}: &a{level} [*a{before}, *a{before}]\n"));
    }
    assert_eq!(codes(ENTRY, format!("{bomb}---\n").as_bytes()), ["yaml-too-large"]);
    for (open, close) in [("[", "]"), ("{a: ", "}")] {
        let deep = format!("{}{}", open.repeat(5_000), close.repeat(5_000));
        let entry = format!("---\ndate: 2026-05-10\ntags: {deep}\n---\n");
        assert_eq!(codes(ENTRY, entry.as_bytes()), ["yaml-too-large"]);
        let open = format!("---\ndate: 2026-05-10\ntags: {}\n---\n", open.repeat(5_000));
        assert!(!codes(ENTRY, open.as_bytes()).is_empty());
    }
    let links = format!("---\ndate: 2026-05-10\n---\n{}\n", "[[".repeat(20_000));
    assert_eq!(codes(ENTRY, links.as_bytes()), ["text-too-deep"]);
    let quotes = format!("---\ndate: 2026-05-10\n---\n{}a\n", "> ".repeat(20_000));
    assert_eq!(codes(ENTRY, quotes.as_bytes()), ["text-too-deep"]);
}

#[test]
fn tabs_and_repeated_keys() {
    let two = b"---\ndate: 2026-05-10\nseen:\n\t- {crop: leek, what: rust}\n---\n";
    assert_eq!(codes(ENTRY, two), ["yaml-syntax"]);
    assert_eq!(
        codes(ENTRY, b"---\ndate:\t2026-05-10\n---\n"),
        [""; 0],
        "behind a colon it will do"
    );
    assert_eq!(codes(ENTRY, b"---\ndate: 2026-05-10\ndate: 2026-05-11\n---\n"), ["repeated-key"]);
    let keys = "private: false\n".repeat(2_000);
    let entry = format!("---\ndate: 2026-05-10\n{keys}---\n");
    assert_eq!(codes(ENTRY, entry.as_bytes()).len(), 1_999);
}

/// Thousands of mistakes are told in seconds, not in the square of their number.
#[test]
fn many_mistakes() {
    let line = |number: usize| {
        format!(
            "  - {{planting: nobody-{number}, did: watr, amount: 1,5 L, wiht: x, on: 5.13.2026}}\n"
        )
    };
    let lines: String = (0..1_900).map(line).collect();
    let plantings: String = (0..1_900)
        .map(|number| format!("  - {{id: some-{number}, crop: leek, aim: 3}}\n"))
        .collect();
    let entry = format!("---\ndate: 2026-05-10\nplantings:\n{plantings}care:\n{lines}---\n");
    let (_, problems) = proof(&with(&[(ENTRY, entry.as_bytes())]));
    assert_eq!(problems.len(), 9_500);
    let signs = "  - {crop: leek, what: @rust, how-bad: *bad}\n".repeat(1_900);
    let entry = format!("---\ndate: 2026-05-10\nseen:\n{signs}---\n");
    assert_eq!(codes(ENTRY, entry.as_bytes()).len(), 3_800);
    let words = format!(", '{}'", "some words ".repeat(10));
    let row = format!("---\ndate: 2026-05-10\ntags: [@one{}]\n---\n", words.repeat(1_900));
    assert_eq!(codes(ENTRY, row.as_bytes()), ["needs-quotes"], "one in a long line");
}

/// Where any bytes may be put.
const PATHS: &[&str] = &[
    "garden.yaml",
    "journal/a.md",
    "crops/a.md",
    "places/a.md",
    "mixes/a.md",
    "weather/a.csv",
    "harvests/a.csv",
];

/// Pieces of what these files are made of, so that chance gets past the first line.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("---\n".to_owned()),
        "[a-z-]{1,8}: ",
        "\n *(- )?",
        "[\\[\\]{}'\",:#&*!|>@%`-]",
        "(date|title|plantings|events|care|harvests|crop|name|kind|place|id|is|on|weather): ",
        "\\PC{0,6}",
        "[0-9]{1,4}[-.,/ ][0-9]{1,2}([-.,/ ][0-9]{1,4})?",
        "date,(low|high|planting|weight|rain)\n",
        any::<char>().prop_map(|char| char.to_string()),
    ]
}

proptest! {
    #![proptest_config(chances(256))]

    #[test]
    fn any_bytes_in_any_file(which in 0..PATHS.len(), bytes in any::<Vec<u8>>()) {
        proof(&with(&[(PATHS[which], &bytes)]));
    }

    #[test]
    fn any_pieces_in_any_file(
        which in 0..PATHS.len(),
        fence in any::<bool>(),
        pieces in proptest::collection::vec(piece(), 0..40),
    ) {
        let text = pieces.concat();
        let text = if fence { format!("---\n{text}\n---\n{text}") } else { text };
        proof(&with(&[(PATHS[which], text.as_bytes())]));
    }

}

proptest! {
    #![proptest_config(chances(40))]

    #[test]
    fn damaged_demo_files(
        which in any::<prop::sample::Index>(),
        blows in proptest::collection::vec(blow(), 1..6),
    ) {
        let mut files = demo();
        let path = files.keys().nth(which.index(files.len())).cloned().expect("a file");
        let bytes = files.get_mut(&path).expect("a file");
        blows.iter().for_each(|blow| blow.strike(bytes));
        let (_, problems) = proof(&files);
        check_replacements(&files, &problems);
    }
}

/// Put in, each replacement takes its own problem away.
fn check_replacements(files: &Content, problems: &[Problem]) {
    let same = |a: &Problem, b: &Problem| {
        let start = |problem: &Problem| problem.at.reading_order();
        a.code == b.code && a.message == b.message && start(a) == start(b)
    };
    let content = Files::new(FileId(0), files.clone());
    for problem in problems.iter().take(8) {
        for (at, text) in problem.hints.iter().filter_map(|hint| hint.replace.as_ref()) {
            let path = &at.file().and_then(|file| content.get(file)).expect("a file").path;
            let mut mended = files.clone();
            let bytes = mended.get_mut(path).expect("a file");
            bytes.splice(at.range().expect("bytes"), text.bytes());
            let (_, left) = proof(&mended);
            assert!(!left.iter().any(|other| same(problem, other)), "{text:?}: {problem:?}");
        }
    }
}

/// Something that goes wrong with a file.
#[derive(Clone, Debug)]
enum Blow {
    DropByte(prop::sample::Index),
    PutByte(prop::sample::Index, u8),
    ChangeByte(prop::sample::Index, u8),
    DropLine(prop::sample::Index),
    DoubleLine(prop::sample::Index),
    SwapLines(prop::sample::Index, prop::sample::Index),
    CutShort(prop::sample::Index),
    PutText(prop::sample::Index, String),
}

fn blow() -> impl Strategy<Value = Blow> {
    let index = any::<prop::sample::Index>;
    let sign = prop::sample::select(b" \t\n\r:,;#'\"[]{}-@*&!%|>?.0a\x00\xff\xc3".to_vec());
    prop_oneof![
        index().prop_map(Blow::DropByte),
        (index(), sign.clone()).prop_map(|(at, byte)| Blow::PutByte(at, byte)),
        (index(), sign).prop_map(|(at, byte)| Blow::ChangeByte(at, byte)),
        index().prop_map(Blow::DropLine),
        index().prop_map(Blow::DoubleLine),
        (index(), index()).prop_map(|(a, b)| Blow::SwapLines(a, b)),
        index().prop_map(Blow::CutShort),
        (index(), piece()).prop_map(|(at, text)| Blow::PutText(at, text)),
    ]
}

impl Blow {
    fn strike(&self, bytes: &mut Vec<u8>) {
        if bytes.is_empty() {
            return;
        }
        let length = bytes.len();
        match self {
            Blow::DropByte(at) => drop(bytes.remove(at.index(length))),
            Blow::PutByte(at, byte) => bytes.insert(at.index(length), *byte),
            Blow::ChangeByte(at, byte) => bytes[at.index(length)] = *byte,
            Blow::CutShort(at) => bytes.truncate(at.index(length)),
            Blow::PutText(at, text) => {
                let at = at.index(length);
                drop(bytes.splice(at..at, text.bytes()));
            }
            Blow::DropLine(_) | Blow::DoubleLine(_) | Blow::SwapLines(..) => {
                let mut lines: Vec<Vec<u8>> =
                    bytes.split_inclusive(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect();
                let number = lines.len();
                match self {
                    Blow::DropLine(at) => drop(lines.remove(at.index(number))),
                    Blow::DoubleLine(at) => {
                        let at = at.index(number);
                        lines.insert(at, lines[at].clone());
                    }
                    Blow::SwapLines(a, b) => lines.swap(a.index(number), b.index(number)),
                    _ => {}
                }
                *bytes = lines.concat();
            }
        }
    }
}

/// The demo garden without most of its journal: a file of every kind, quick to read.
fn demo() -> Content {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let files = walk::read_folder(&root, FileId(0), reading::wanted).expect("the demo garden");
    let mut kept = Content::new();
    for file in files.iter() {
        let is_late =
            file.path.starts_with("journal/2026/2026-04") || file.path.contains("2025-10");
        if !file.is_in("journal") || is_late {
            let lines = if file.ends_in("csv") { 40 } else { usize::MAX };
            let bytes = file.bytes.split_inclusive(|byte| *byte == b'\n').take(lines);
            kept.insert(file.path.clone(), bytes.flatten().copied().collect());
        }
    }
    kept
}

/// How many cases chance tries; `TRUG_FUZZ=20000` for a long evening.
#[expect(clippy::disallowed_methods, reason = "a longer run is asked for by hand")]
fn chances(usual: u32) -> ProptestConfig {
    let asked = std::env::var("TRUG_FUZZ").ok().and_then(|number| number.parse().ok());
    // What chance found goes into a test above, not into a file of seeds.
    ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(asked.unwrap_or(usual))
    }
}
