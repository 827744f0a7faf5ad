//! A case for every code: the smallest content that provokes it, and what trug says about it.
//!
//! `tests/problems/<code>/` (a second case: `<code>-<word>/`) holds `content/` and `expected.txt`:
//! the form for editors, an empty line, the form for people. A `theme/` beside them is laid over the theme. Cases whose name begins with no code
//! tell a story of several. A case may hold `large.txt`, lines of `path size`: such a file is made
//! that large with spaces, so that megabytes need not be kept.
//!
//! `TRUG_UPDATE=1 cargo test --test integration problems::` writes `expected.txt` anew; never on a build server.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use chrono::NaiveDate;
use trug::diagnostics::codes::{Code, Severity};
use trug::diagnostics::problem::{Hint, Problem};
use trug::diagnostics::report::{self, Drawing, Page};
use trug::origin::{FileId, Origin};
use trug::publish::{self, Day, Inputs};
use trug::reading;
use trug::render::sink::MemorySink;
use trug::source::files::{File, Files, LargeFile};
use trug::source::theme;
use trug::source::walk::{self, Wanted};

/// Cases of several codes, each with a test of its own.
const STORIES: &[&str] = &["no-echoes", "ten-mistakes"];

/// The day all cases are computed for.
fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 6, 20).expect("a day")
}

struct Case {
    name: String,
    folder: PathBuf,
    files: BTreeMap<String, Vec<u8>>,
}

/// What trug says about files, with the text each was read as.
struct Said {
    problems: Vec<Problem>,
    pages: BTreeMap<u32, (String, String)>,
}

#[test]
fn each_code_has_a_case() {
    let cases = cases();
    let lacking: Vec<&str> = Code::ALL
        .iter()
        .filter(|code| !cases.iter().any(|(case, _)| case.code() == Some(**code)))
        .map(|code| code.word())
        .collect();
    assert!(lacking.is_empty(), "codes without a case: {lacking:?}");
}

#[test]
fn each_case_says_exactly_what_is_expected() {
    let mut wrong = Vec::new();
    for (case, said) in cases() {
        let shown = said.shown();
        let file = case.folder.join("expected.txt");
        if is_update() {
            write(&file, &shown);
        }
        if read(&file) != shown {
            wrong.push(format!("{}\n{shown}", case.name));
        }
    }
    assert!(wrong.is_empty(), "not as expected:\n{}", wrong.join("\n"));
}

#[test]
fn each_case_is_about_its_code_alone() {
    let mut wrong = Vec::new();
    for (case, said) in cases() {
        let Some(code) = case.code() else {
            assert!(STORIES.contains(&case.name.as_str()), "{} is no code", case.name);
            continue;
        };
        let found: Vec<&str> = said.problems.iter().map(|problem| problem.code.word()).collect();
        if found.is_empty() || found.iter().any(|word| *word != code.word()) {
            wrong.push(format!("{}: {found:?}", case.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn each_problem_has_a_next_step() {
    for (case, said) in cases() {
        for problem in &said.problems {
            assert!(!problem.hints.is_empty(), "{}: {}", case.name, problem.message);
            let is_whole = |hint: &Hint| !hint.words.is_empty() && !hint.words.ends_with('.');
            assert!(problem.hints.iter().all(is_whole), "{}: {:?}", case.name, problem.hints);
        }
    }
}

/// The strongest check a hint can have: what it offers is put in, and the problem is gone with
/// nothing new in its stead.
#[test]
fn each_replacement_mends_its_problem() {
    let (mut tried, mut wrong) = (0, Vec::new());
    for (case, before) in cases() {
        for problem in &before.problems {
            for hint in &problem.hints {
                let Some((at, text)) = &hint.replace else { continue };
                let mended = replaced(&case.files, before, *at, text);
                let after = say(&mended);
                let mut allowed: Vec<_> = before.problems.iter().map(what).collect();
                let gone = allowed.iter().position(|other| *other == what(problem));
                allowed.remove(gone.expect("it is one of them"));
                // What was no list cannot hold a second key, so the photo's words are still to be written.
                let is_next = |left: &Problem| {
                    case.name == "wrong-shape-no-space" && left.code == Code::PhotoWords
                };
                for left in after.problems.iter().filter(|left| !is_next(left)).map(what) {
                    let known = allowed.iter().position(|other| *other == left);
                    match known {
                        Some(known) => drop(allowed.remove(known)),
                        None => wrong.push(format!("{}: {} → {left:?}", case.name, hint.words)),
                    }
                }
                tried += 1;
            }
        }
    }
    assert!(wrong.is_empty(), "mended, and still there is:\n{}", wrong.join("\n"));
    assert!(tried > 60, "only {tried} replacements were tried");
}

#[test]
fn ten_mistakes_in_three_files_are_told_in_order() {
    let said = said_of("ten-mistakes");
    let places: Vec<_> = said.problems.iter().map(|problem| problem.at.reading_order()).collect();
    let files: std::collections::BTreeSet<_> = places.iter().map(|(file, _, _)| file).collect();
    assert_eq!((places.len(), files.len()), (10, 3));
    assert!(places.is_sorted());
    let codes: std::collections::BTreeSet<_> = said.problems.iter().map(|p| p.code).collect();
    assert_eq!(codes.len(), 10, "ten different mistakes");
}

#[test]
fn whoever_names_what_cannot_be_read_is_not_blamed() {
    let said = said_of("no-echoes");
    let broken: Vec<&str> = said.problems.iter().map(|problem| said.path(problem)).collect();
    let wanted = [
        "crops/oca.md",
        "garden.yaml",
        "journal/2026-03-01-a-slip.md",
        "mixes/house-mix.md",
        "places/tub.md",
    ];
    assert_eq!(broken, wanted, "one message for each broken file, none for the entries");
}

fn said_of(name: &str) -> &'static Said {
    let found = cases().iter().find(|(case, _)| case.name == name);
    &found.expect("a case of this name").1
}

/// Code, severity, file and sentence: what makes two problems the same before and after a change.
fn what(problem: &Problem) -> (Code, Severity, Option<FileId>, String) {
    (problem.code, problem.severity(), problem.at.file(), problem.message.clone())
}

fn replaced(
    files: &BTreeMap<String, Vec<u8>>,
    said: &Said,
    at: Origin,
    text: &str,
) -> BTreeMap<String, Vec<u8>> {
    let mut files = files.clone();
    let file = at.file().expect("a replacement is in a file");
    let path = &said.pages[&file.0].0;
    let bytes = files.get_mut(path).expect("a file of the case");
    bytes.splice(at.range().expect("a replacement has bytes"), text.bytes());
    files
}

fn say(files: &BTreeMap<String, Vec<u8>>) -> Said {
    let (theme, content): (Vec<_>, Vec<_>) =
        files.clone().into_iter().partition(|(path, _)| path.starts_with("theme/"));
    let (photos, content): (Vec<_>, Vec<_>) =
        content.into_iter().partition(|(path, _)| reading::wanted(path) == Wanted::Later);
    let photos = photos.into_iter().map(|(path, bytes)| LargeFile::held(path, bytes));
    let content = Files::new(FileId(0), content).with_large(photos.collect());
    let own = theme.into_iter().map(|(path, bytes)| (path["theme/".len()..].to_owned(), bytes));
    let theme = theme::laid_over(&Files::new(FileId(0), own), content.next_id());
    let inputs = Inputs {
        content,
        theme,
        day: Day::Fixed(day()),
        earlier_feeds: BTreeMap::new(),
        earlier_photos: BTreeMap::new(),
    };
    // A template is found wanting when it is filled in; everything else when it is read.
    let is_of_the_theme = files.keys().any(|path| path.starts_with("theme/"));
    let problems = if is_of_the_theme {
        let mut sink = MemorySink::new();
        publish::publish(&inputs, &mut sink).expect("room in memory").problems
    } else {
        publish::proof(&inputs).1
    };
    let pages = inputs
        .content
        .iter()
        .chain(inputs.theme.iter())
        .map(|file| (file.id.0, (file.path.clone(), file.text_to_show().into_owned())))
        .collect();
    Said { problems, pages }
}

impl Said {
    fn shown(&self) -> String {
        let page = |id: FileId| {
            self.pages.get(&id.0).map(|(name, text)| Page { name, text: text.as_str() })
        };
        let lines = report::lines(&self.problems, &page);
        let drawing = Drawing { colour: false, width: 80 };
        let human = report::human(&self.problems, &page, drawing);
        let json = report::json(&self.problems, &[], &page);
        assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok());
        let trimmed: Vec<&str> = human.lines().map(str::trim_end).collect();
        format!("{lines}\n{}\n", trimmed.join("\n").trim_end())
    }

    fn path(&self, problem: &Problem) -> &str {
        problem.at.file().map_or("", |file| &self.pages[&file.0].0)
    }
}

impl Case {
    /// The code its name begins with: the longest one.
    fn code(&self) -> Option<Code> {
        let begins = |word: &str| {
            self.name
                .strip_prefix(word)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
        };
        let fitting = Code::ALL.iter().filter(|code| begins(code.word()));
        fitting.max_by_key(|code| code.word().len()).copied()
    }
}

/// The cases, each with what trug says about it: computed once for all tests.
fn cases() -> &'static [(Case, Said)] {
    static CASES: LazyLock<Vec<(Case, Said)>> = LazyLock::new(|| {
        let with_words = |case: Case| {
            let said = say(&case.files);
            (case, said)
        };
        read_cases().into_iter().map(with_words).collect()
    });
    &CASES
}

fn read_cases() -> Vec<Case> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/problems");
    let mut cases: Vec<Case> = std::fs::read_dir(&root)
        .expect("the folder of cases")
        .map(|entry| entry.expect("a case").path())
        .filter(|path| path.is_dir())
        .map(|folder| {
            let name = folder.file_name().expect("a name").to_string_lossy().into_owned();
            Case { name, files: files_of(&folder), folder }
        })
        .collect();
    cases.sort_by(|a, b| a.name.cmp(&b.name));
    assert!(cases.len() >= Code::ALL.len(), "{} cases", cases.len());
    cases
}

fn files_of(case: &Path) -> BTreeMap<String, Vec<u8>> {
    let content = walk::read_folder(&case.join("content"), FileId(0), reading::wanted)
        .expect("the content of a case");
    let mut files: BTreeMap<String, Vec<u8>> =
        content.iter().map(|file| (file.path.clone(), file.bytes.clone())).collect();
    let photos = content.large().iter();
    files.extend(photos.map(|file| (file.path.clone(), (file.read)().expect("a photograph"))));
    if case.join("theme").is_dir() {
        let theme =
            walk::read_folder(&case.join("theme"), FileId(0), |_| Wanted::Bytes).expect("a theme");
        let under = |file: &File| (format!("theme/{}", file.path), file.bytes.clone());
        files.extend(theme.iter().map(under));
    }
    for line in read(&case.join("large.txt")).lines() {
        let (path, size) = line.split_once(' ').expect("path and size");
        files.get_mut(path).expect("a file of the case").resize(size.parse().expect("size"), b' ');
    }
    files
}

#[expect(clippy::disallowed_methods, reason = "a test reads its cases; no file is an empty one")]
fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_default()
}

#[expect(clippy::disallowed_methods, reason = "the one deliberate way to accept new words")]
fn write(path: &Path, text: &str) {
    std::fs::write(path, text).expect("expected.txt can be written");
}

#[expect(clippy::disallowed_methods, reason = "updating is asked for by hand")]
fn is_update() -> bool {
    let is_asked = std::env::var("TRUG_UPDATE").is_ok_and(|value| value == "1");
    assert!(!(is_asked && std::env::var("CI").is_ok()), "a build server accepts no new words");
    is_asked
}
