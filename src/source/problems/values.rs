//! The words for what can be wrong with the value of a key.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{self, Tick};
use crate::origin::{FileId, Origin, Written};
use crate::source::front_matter::{Node, Value};
use crate::source::problems::Trouble;

/// `written` is what stands in the file, where a sign may also be spelt out as `\u202e`.
pub(in crate::source) fn hidden_sign(text: &str, written: &str, at: Origin) -> Problem {
    let sign = text.chars().find(|sign| words::is_hidden(*sign)).unwrap_or_default();
    let message = format!(
        "this text holds a sign that nobody sees, U+{:04X}: it {}",
        u32::from(sign),
        if sign.is_control() {
            "is meant for machines, not for readers"
        } else {
            "turns the direction of the letters behind it, so that they read as something else"
        }
    );
    let problem = Problem::new(Code::HiddenSign, at, message);
    let bare: String = written.chars().filter(|sign| !words::is_hidden(*sign)).collect();
    if bare.len() == written.len() || bare.trim().is_empty() {
        return problem.hint("write the text again by hand, without the sign");
    }
    problem.mend(at, bare, "take the sign away")
}

pub(in crate::source) fn empty_item(key: &str, at: Origin) -> Problem {
    Problem::new(Code::EmptyValue, at, format!("one part of the list {} is empty", Tick(key)))
        .label("nothing here")
        .hint("write it, or take its dash or comma away")
}

pub(in crate::source) fn not_a_single_value(key: &str, node: &Node, wanted: &str) -> Problem {
    let found = match node.value {
        Value::List(_) => "not a list",
        _ => "not keys with values",
    };
    Problem::new(Code::WrongShape, node.at, format!("{} should be {wanted}, {found}", Tick(key)))
        .hint(format!("write one value behind `{key}:`, in quotes if it has signs in it"))
}

pub(in crate::source) fn not_a_list(key: &str, node: &Node) -> Problem {
    let problem = Problem::new(
        Code::WrongShape,
        node.at,
        format!("{} should be a list, even of one", Tick(key)),
    );
    match &node.value {
        Value::Map(map) => match map.pairs.first() {
            Some((first, _)) if first.value.starts_with('-') => {
                let dash = first.at.range().map_or(first.at, |range| {
                    let file = first.at.file().unwrap_or(FileId(0));
                    Origin::span(file, range.start, range.start + 1)
                });
                problem.also(first.at, "this dash").mend(
                    dash,
                    "- ",
                    "write a space behind the dash",
                )
            }
            Some((first, _)) => problem
                .hint(format!("begin each of its lines with a dash: `- {}: …`", first.value))
                .hint("or put square brackets around the braces: `[{…}, {…}]`"),
            None => problem.hint("write `[{…}, {…}]`, or lines that begin with a dash"),
        },
        _ => problem.hint("write `[{…}, {…}]`, or lines below that begin with a dash"),
    }
}

pub(in crate::source) fn not_keys(key: &str, node: &Node) -> Problem {
    let shown = match &node.value {
        Value::Text(text) if text.text.len() <= 40 => format!(", not {}", Tick(&text.text)),
        _ => String::new(),
    };
    Problem::new(
        Code::WrongShape,
        node.at,
        format!("{} should be keys with values{shown}", Tick(key)),
    )
    .hint("write `{key: value, key: value}`; words of your own go behind `note:`")
}

pub(in crate::source) fn not_true_or_false(key: &str, at: Origin) -> Problem {
    Problem::new(Code::WrongShape, at, format!("{} should be true or false", Tick(key)))
        .hint("write true or false")
}

pub(in crate::source) fn yes_or_no_text(key: &str, text: &str, at: Origin) -> Problem {
    let mended = words::quoted(text);
    Problem::new(
        Code::YesOrNo,
        at,
        format!("{} as the text of {} can be read as true or false", Tick(text), Tick(key)),
    )
    .label("yes or no, or a word?")
    .mend(at, mended.clone(), format!("put it in quotes: {mended}"))
}

pub(in crate::source) fn not_a_flag(key: &str, text: &str, at: Origin) -> Problem {
    let problem = Problem::new(
        Code::YesOrNo,
        at,
        format!("{} should be true or false in small letters, without quotes", Tick(key)),
    );
    let mended = match text.trim().to_lowercase().as_str() {
        "true" | "yes" | "y" | "on" | "1" => "true",
        "false" | "no" | "n" | "off" | "0" => "false",
        _ => return problem.hint("write true or false"),
    };
    problem.mend(at, mended, format!("write {mended}"))
}

pub(in crate::source) fn unknown_word(
    key: &str,
    word: &Written<String>,
    known: impl Iterator<Item = &'static str> + Clone,
) -> Problem {
    let problem = Problem::new(
        Code::UnknownWord,
        word.at,
        format!("{} cannot be {}", Tick(key), Tick(&word.value)),
    )
    .label("unknown word");
    match words::nearest(&word.value, known.clone()) {
        Some(near) => {
            problem.mend(word.at, words::behind_key(near), format!("did you mean {}?", Tick(near)))
        }
        None => {
            let known: Vec<_> = known.collect();
            problem.hint(format!("it can be {}", words::any_of(&known)))
        }
    }
}

/// The sentence of a trouble often ends in what to write: that is a hint.
fn advice_apart(sentence: &str) -> (&str, Option<String>) {
    if let Some((what, advice)) = sentence.split_once(": write ") {
        return (what, Some(format!("write {advice}")));
    }
    match sentence.split_once("; those that fit are ") {
        Some((what, units)) => (what, Some(format!("those that fit are {units}"))),
        None => (sentence, None),
    }
}

pub(crate) fn bad_value(key: &str, at: Origin, trouble: &dyn Trouble) -> Problem {
    let sentence = trouble.message();
    let (what, advice) = advice_apart(&sentence);
    let mut problem = Problem::new(trouble.code(), at, format!("{}: {what}", Tick(key)));
    let mended = trouble.mended();
    let has_hint = mended.is_some() || advice.is_some();
    if let Some(mended) = mended {
        problem = problem.mend(at, words::behind_key(&mended), format!("write {}", Tick(&mended)));
    }
    if let Some(advice) = advice {
        problem = problem.hint(advice);
    }
    if has_hint { problem } else { problem.hint(format!("mend it, or take `{key}` away")) }
}

/// A cell of a table that cannot be read.
pub(crate) fn bad_cell(at: Origin, trouble: &dyn Trouble, otherwise: &str) -> Problem {
    let sentence = trouble.message();
    let (what, advice) = advice_apart(&sentence);
    let problem = Problem::new(Code::TableRow, at, what);
    match trouble.mended() {
        Some(mended) => problem.mend(at, mended.clone(), format!("write {}", Tick(&mended))),
        None => problem.hint(advice.unwrap_or_else(|| otherwise.to_owned())),
    }
}

/// A value that is right but for typographic quotation marks around it.
pub(in crate::source) fn smart_quotes(key: &str, at: Origin, mended: &str) -> Problem {
    Problem::new(
        Code::NeedsQuotes,
        at,
        format!("{}: curly quotation marks belong to the text, they do not enclose it", Tick(key)),
    )
    .mend(at, words::behind_key(mended), format!("write {}", Tick(mended)))
}

pub(in crate::source) fn number_with_comma(key: &str, at: Origin, mended: &str) -> Problem {
    Problem::new(
        Code::DecimalComma,
        at,
        format!("{}: decimals are written with a point, not with a comma", Tick(key)),
    )
    .mend(at, mended, format!("write {}", Tick(mended)))
}

/// Not a number at all, or a number with something behind it.
pub(in crate::source) fn not_a_number(
    key: &str,
    at: Origin,
    wanted: &str,
    mended: Option<&str>,
) -> Problem {
    let problem = Problem::new(Code::BadNumber, at, format!("{} should be {wanted}", Tick(key)));
    match mended {
        Some(mended) => {
            problem.mend(at, mended, format!("write the number alone: {}", Tick(mended)))
        }
        None if wanted.contains("whole") => problem.hint("write a whole number, such as 12"),
        None => problem.hint("write the number alone, with a point for decimals"),
    }
}

pub(in crate::source) fn out_of_range(key: &str, at: Origin, wanted: &str) -> Problem {
    Problem::new(Code::BadNumber, at, format!("{} should be {wanted}", Tick(key)))
        .label("out of reach")
        .hint("mend the number")
}
