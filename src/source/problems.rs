//! The words for what can be wrong with a file, a key or a value.

use crate::dates;
use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::origin::{FileId, Origin, Written};
use crate::source::files::File;
use crate::source::traps::quote;
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
    .hint("split it: one entry is one file")
}

pub(super) fn front_matter_missing(file: FileId, text: &str, start: usize) -> Problem {
    let line = text[start..].split(['\n', '\r']).next().unwrap_or("");
    let at = Origin::span(file, start, start + line.len());
    Problem::new(Code::FrontMatterMissing, at, "this file does not begin with `---`")
        .label("the front matter should begin here")
        .hint("begin with a line `---`, then the keys, one on each line, then a second line `---`")
}

pub(super) fn front_matter_unclosed(
    file: FileId,
    text: &str,
    start: usize,
    front: usize,
) -> Problem {
    // The first empty line, or the end, is most likely where the closing line was forgotten.
    let gap = text[front..].find("\n\n").map(|at| front + at + 1);
    let gap = gap.or_else(|| text[front..].find("\r\n\r\n").map(|at| front + at + 2));
    let end = gap.unwrap_or(text.len());
    let newline = if text[..end].ends_with('\n') { "" } else { "\n" };
    Problem::new(
        Code::FrontMatterUnclosed,
        Origin::span(file, start, start + 3),
        "the front matter opens here and no second `---` closes it",
    )
    .label("opened here")
    .mend(
        Origin::span(file, end, end),
        format!("{newline}---\n"),
        "add a line `---` below the last key",
    )
}

pub(super) fn yaml_too_large(file: FileId, at: usize) -> Problem {
    Problem::new(
        Code::YamlTooLarge,
        Origin::span(file, at, at + 1),
        "this front matter is nested too deeply or repeats itself too often",
    )
    .hint("write the lines out in full instead of repeating them with `&` and `*`")
}

pub(super) fn not_a_map(at: Origin) -> Problem {
    Problem::new(Code::WrongShape, at, "the front matter should be keys with values")
        .hint("write `key: value`, one on each line")
}

pub(super) fn repeated_key(key: &Written<String>, first: Origin, what: &str) -> Problem {
    Problem::new(Code::RepeatedKey, key.at, format!("{} stands twice in {what}", Tick(&key.value)))
        .label("again here")
        .also(first, "first here")
        .hint("keep one of the two, or join them")
}

pub(super) fn unknown_key(key: &Written<String>, what: &str, known: &[&str]) -> Problem {
    let problem = Problem::new(
        Code::UnknownKey,
        key.at,
        format!("{} is not a key of {what}", Tick(&key.value)),
    )
    .label("unknown key");
    match words::nearest(&key.value, known.iter().copied()) {
        Some(near) => problem.mend(key.at, near, format!("did you mean {}?", Tick(near))),
        None => {
            let known: Vec<_> = known.iter().map(|key| Tick(key)).collect();
            problem.hint(format!("the keys of {what} are {}", words::all_of(&known)))
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

pub(super) fn wrong_shape(key: &str, at: Origin, wanted: &str) -> Problem {
    Problem::new(Code::WrongShape, at, format!("{} should be {wanted}", Tick(key)))
        .label(format!("not {wanted}"))
        .hint(format!("write {wanted} here"))
}

pub(super) fn yes_or_no_text(key: &str, text: &str, at: Origin) -> Problem {
    let mended = quote(text);
    Problem::new(
        Code::YesOrNo,
        at,
        format!("{} as the text of {} can be read as true or false", Tick(text), Tick(key)),
    )
    .label("yes or no, or a word?")
    .mend(at, mended.clone(), format!("put it in quotes: {mended}"))
}

pub(super) fn not_a_flag(key: &str, text: &str, at: Origin) -> Problem {
    let problem = Problem::new(
        Code::YesOrNo,
        at,
        format!("{} should be true or false, not {}", Tick(key), Tick(text)),
    );
    let mended = match text.to_lowercase().as_str() {
        "yes" | "y" | "on" | "1" => "true",
        "no" | "n" | "off" | "0" => "false",
        _ => return problem.hint("write true or false"),
    };
    problem.mend(at, mended, format!("write {mended}"))
}

pub(super) fn unknown_word(
    key: &str,
    word: &Written<String>,
    known: impl Iterator<Item = &'static str> + Clone,
) -> Problem {
    let problem = Problem::new(
        Code::UnknownWord,
        word.at,
        format!("{} is not a word for {}", Tick(&word.value), Tick(key)),
    )
    .label("unknown word");
    match words::nearest(&word.value, known.clone()) {
        Some(near) => problem.mend(word.at, near, format!("did you mean {}?", Tick(near))),
        None => {
            let known: Vec<_> = known.collect();
            problem.hint(format!("it can be {}", words::any_of(&known)))
        }
    }
}

pub(super) fn bad_value(key: &str, at: Origin, trouble: &dyn Trouble) -> Problem {
    let problem = Problem::new(trouble.code(), at, format!("{}: {}", Tick(key), trouble.message()));
    match trouble.mended() {
        Some(mended) => problem.mend(at, mended.clone(), format!("write {}", Tick(&mended))),
        None => problem.hint("mend the value or take the key away"),
    }
}

pub(super) fn bad_number(key: &str, at: Origin, wanted: &str) -> Problem {
    Problem::new(Code::BadNumber, at, format!("{} should be {wanted}", Tick(key)))
        .label(format!("not {wanted}"))
        .hint(format!("write {wanted} here"))
}
