//! The words for what can be wrong with a file, a key or a value.

pub(crate) mod values;

use crate::dates;
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::origin::{FileId, Origin, Written};
use crate::source::fences;
use crate::source::files::File;
use crate::source::front_matter::{Node, Value};
use crate::source::mistake_words;
use crate::units;

/// Why a value could not be read, from whichever room reads that kind of value.
pub trait Trouble {
    /// The code it is told under.
    fn code(&self) -> Code;
    /// What is wrong, in plain words.
    fn message(&self) -> String;
    /// A text that would be right, if one can be guessed.
    fn mended(&self) -> Option<String>;
}

impl Trouble for dates::Trouble {
    fn code(&self) -> Code {
        Code::BadDate
    }
    fn message(&self) -> String {
        dates::Trouble::message(self)
    }
    fn mended(&self) -> Option<String> {
        dates::Trouble::mended(self).map(str::to_owned)
    }
}

impl Trouble for units::Trouble {
    fn code(&self) -> Code {
        match self {
            units::Trouble::UnitMissing { .. } => Code::UnitMissing,
            units::Trouble::DecimalComma { .. } => Code::DecimalComma,
            _ => Code::BadQuantity,
        }
    }
    fn message(&self) -> String {
        units::Trouble::message(self)
    }
    fn mended(&self) -> Option<String> {
        units::Trouble::mended(self).map(str::to_owned)
    }
}

pub(super) fn not_utf8(file: &File, at: usize) -> Problem {
    Problem::new(
        Code::NotUtf8,
        Origin::span(file.id, at, at + 1),
        "this file is not UTF-8 text, so it cannot be read",
    )
    .label("the first byte that is not UTF-8")
    .hint("open it in your editor and save it with the encoding UTF-8")
}

pub(super) fn file_too_big(file: &File) -> Problem {
    Problem::new(
        Code::FileTooBig,
        file.origin(),
        "this file is larger than 8 MB, so it was not read",
    )
    .hint("split it: one file is one entry, or one table of a year")
}

pub(super) fn text_too_big(file: &File) -> Problem {
    let message = "this file is larger than 256 KB, so it was not read";
    Problem::new(Code::FileTooBig, file.origin(), message).hint(
        "split it: one file is one entry, and what is long belongs into a table or another entry",
    )
}

pub(super) fn list_too_long(at: Origin, found: usize, most: usize, of: &str) -> Problem {
    let message = format!("here are {found} {of}, of which trug reads the first {most}");
    Problem::new(Code::ListTooLong, at, message)
        .label("the first that was not read")
        .hint("nobody writes so many by hand: look for a slip here, and put what is real into several files")
}

pub(super) fn front_matter_missing(file: FileId, text: &str, start: usize) -> Problem {
    let rest = &text[start..];
    let line = rest.split(['\n', '\r']).next().unwrap_or("");
    let at = Origin::span(file, start, start + line.len());
    let example = "begin with a line `---`, then keys such as `date: 2026-02-22`, one on each \
                   line, then a second line `---`";
    if rest.trim().is_empty() {
        let at = Origin::span(file, start, start);
        return Problem::new(Code::FrontMatterMissing, at, "this file is empty")
            .hint(example)
            .hint("or delete the file");
    }
    let problem = Problem::new(
        Code::FrontMatterMissing,
        at,
        "this file does not begin with a line of three hyphens, `---`",
    )
    .label("`---` should stand here");
    let blank = rest.len() - rest.trim_start().len();
    if fences::is_fence(rest.trim_start().lines().next().unwrap_or("")) && !line.starts_with(' ') {
        let gap = Origin::span(file, start, start + blank);
        return problem.mend(gap, "", "take away what stands before the first `---`");
    }
    if let Some((end, mended)) = fences::put_right(rest) {
        let whole = Origin::span(file, start, start + end);
        return problem.mend(whole, mended, "write exactly three hyphens: `---`");
    }
    if fences::has_keys_and_close(rest) {
        let here = Origin::span(file, start, start);
        return problem.mend(here, "---\n", "add a line `---` at the very top");
    }
    problem.hint(example)
}

pub(super) fn front_matter_unclosed(
    file: FileId,
    text: &str,
    start: usize,
    front: usize,
) -> Problem {
    let problem = Problem::new(
        Code::FrontMatterUnclosed,
        Origin::span(file, start, start + 3),
        "the front matter begins here, and no second `---` ends it",
    )
    .label("begins here");
    let rest = &text[front..];
    if rest.trim().is_empty() {
        return problem
            .hint("write keys such as `date: 2026-02-22` below it, then a second line `---`");
    }
    if let Some(line) = fences::sloppy(rest) {
        let at = Origin::span(file, front + line.start, front + line.end);
        return problem.also(at, "meant as the end?").mend(
            at,
            "---",
            "write exactly three hyphens: `---`",
        );
    }
    let end = front + fences::end_of_keys(rest);
    let newline = if text[..end].ends_with('\n') { "" } else { "\n" };
    let here = Origin::span(file, end, end);
    problem.mend(here, format!("{newline}---\n"), "add a line `---` below the last key")
}

pub(super) fn second_front_matter(at: Origin) -> Problem {
    Problem::new(Code::SecondFrontMatter, at, "a second front matter begins here")
        .label("would be shown as prose")
        .hint("one file is one entry: move this one to a file of its own")
}

/// The same problem, with the warning that it hides others.
pub(super) fn rest_unread(problem: Problem) -> Problem {
    problem.hint("nothing else here could be checked yet; once this is mended there may be more")
}

pub(super) fn comma_in_number(whole: Origin, written: &str, left: &str, right: &str) -> Problem {
    let digits = right.chars().take_while(char::is_ascii_digit).count();
    let problem = |code| {
        Problem::new(code, whole, format!("the comma in {} ends the value", Tick(written)))
            .label("a comma in braces ends a value")
    };
    if digits == 3 && !left.ends_with(|c: char| c == '0' && left.len() == 1) {
        // `1,000 ml`: thousands or decimals? Both are offered, neither is guessed.
        let (joined, pointed) = (format!("{left}{right}"), format!("{left}.{right}"));
        return problem(Code::BadQuantity)
            .mend(whole, joined.clone(), format!("write {} if it is thousands", Tick(&joined)))
            .mend(whole, pointed.clone(), format!("write {} if it is decimals", Tick(&pointed)));
    }
    let mended = format!("{left}.{right}");
    problem(Code::DecimalComma).mend(
        whole,
        words::behind_key(&mended),
        format!("write a decimal point: {}", Tick(&mended)),
    )
}

pub(super) fn comma_in_text(whole: Origin, written: &str, lost: &str) -> Problem {
    let mended = words::quoted(written);
    Problem::new(
        Code::CommaInText,
        whole,
        format!("the comma ends this text, so {} would be lost", Tick(lost)),
    )
    .label("a comma in braces ends a value")
    .mend(whole, mended.clone(), format!("put the text in quotes: {mended}"))
}

pub(super) fn colon_missing(key: &Written<String>) -> Problem {
    let problem = Problem::new(
        Code::YamlSyntax,
        key.at,
        format!("{} has no colon, so it is a key without a value", Tick(&key.value)),
    )
    .label("no colon");
    match key.value.split_once(' ') {
        Some((name, value)) => {
            let mended = format!("{name}: {}", words::behind_key(value.trim()));
            problem.mend(key.at, mended.clone(), format!("write {}", Tick(&mended)))
        }
        None => problem.hint("write a key, a colon, a space and the value"),
    }
}

pub(super) fn yaml_too_large(file: FileId, at: usize) -> Problem {
    Problem::new(
        Code::YamlTooLarge,
        Origin::span(file, at, at + 1),
        "this front matter is nested too deeply or repeats itself too often",
    )
    .hint("write the lines out in full instead of repeating them with `&` and `*`")
}

pub(super) fn not_a_map(node: &Node) -> Problem {
    let mended = match &node.value {
        Value::Text(text) => mistake_words::with_colon(&text.text),
        _ => None,
    };
    let problem = Problem::new(Code::WrongShape, node.at, "keys with values are wanted here");
    match mended {
        Some(mended) => problem.hint(format!("write a colon behind the key: {}", Tick(&mended))),
        None => problem.hint("write `key: value`, one on each line"),
    }
}

pub(super) fn repeated_key(key: &Written<String>, first: Origin, what: &str) -> Problem {
    Problem::new(Code::RepeatedKey, key.at, format!("{} stands twice in {what}", Tick(&key.value)))
        .label("again here")
        .also(first, "first here")
        .hint("keep one of the two, or join them")
}

pub(super) fn unknown_key(
    key: &Written<String>,
    what: &str,
    known: &[&str],
    meant: &[&str],
) -> Problem {
    let name = key.value.trim_matches(['\'', '"']);
    let problem =
        Problem::new(Code::UnknownKey, key.at, format!("{} is not a key of {what}", Tick(name)))
            .label("unknown key");
    match words::nearest(name, known.iter().chain(meant).copied()) {
        Some(near) => problem.mend(key.at, near, format!("did you mean {}?", Tick(near))),
        None => {
            let known: Vec<_> = known.iter().map(|key| Tick(key)).collect();
            let problem = problem.hint(format!("the keys of {what} are {}", words::all_of(&known)));
            match meant {
                [] => problem,
                _ => {
                    let first: Vec<_> = meant.iter().take(3).map(|key| Tick(key)).collect();
                    problem.hint(format!(
                        "a short line begins with what was done: {} and so on; `trug words` lists them all",
                        words::any_of(&first)
                    ))
                }
            }
        }
    }
}

pub(super) fn missing_key(key: &str, what: &str, at: Origin, example: &str) -> Problem {
    Problem::new(Code::MissingKey, at, format!("{what} needs {}", Tick(key)))
        .hint(format!("add `{key}: {example}`"))
}

pub(super) fn empty_value(key: &Written<String>, what: &str) -> Problem {
    Problem::new(Code::EmptyValue, key.at, format!("{} in {what} has no value", Tick(&key.value)))
        .label("nothing behind this key")
        .hint("write a value behind it, or take the key away")
}

pub(super) fn text_too_deep(at: Origin, of: &str) -> Problem {
    let message = format!("here are more {of} in each other than trug reads");
    Problem::new(Code::TextTooDeep, at, message)
        .label("one too many")
        .hint("end some of them before others begin, or take the signs away if they came there by mistake")
}

pub(super) fn blank_name(key: &str, at: Origin) -> Problem {
    Problem::new(Code::EmptyValue, at, format!("{} is empty, and it is shown as a name", Tick(key)))
        .label("no letter in it")
        .hint("write the name by which you call it")
}
