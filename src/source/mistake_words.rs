//! The words for what was meant where YAML cannot be read.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::diagnostics::words::{Tick, quoted};
use crate::origin::Origin;

pub(super) fn tab(at: Origin, wanted: String) -> Problem {
    let words = match wanted.len() {
        0 => "take the tab away".to_owned(),
        1 => "write one space in its place".to_owned(),
        number => format!("write {number} spaces in its place"),
    };
    Problem::new(Code::YamlSyntax, at, "this line is indented with a tab; only spaces will do")
        .label("a tab")
        .mend(at, wanted, words)
}

pub(super) fn list_behind_key(at: Origin, mended: String) -> Problem {
    Problem::new(Code::YamlSyntax, at, "a list with dashes begins on the line below its key")
        .label("a new line is missing")
        .mend(at, mended, "put the dash on a line of its own, two spaces in")
}

pub(super) fn dash_close(at: Origin) -> Problem {
    Problem::new(Code::YamlSyntax, at, "a space is missing behind the dash")
        .label("this dash")
        .mend(at, "- ", "write a space behind the dash")
}

pub(super) fn space_missing(at: Origin, mended: &str) -> Problem {
    Problem::new(Code::YamlSyntax, at, "a space is missing behind the colon")
        .label("no space behind the colon")
        .mend(at, mended, format!("write {}", Tick(mended)))
}

pub(super) fn no_key(at: Origin, line: &str) -> Problem {
    let problem = Problem::new(Code::YamlSyntax, at, "this line has no key");
    let is_fence = line.len() > 3 && line.chars().all(|c| ['-', '—', '–'].contains(&c));
    if is_fence {
        return problem.label("not `---`").mend(at, "---", "write three hyphens: `---`");
    }
    let problem = problem.label("no key and colon");
    match with_colon(line) {
        Some(mended) => problem.hint(format!(
            "write a colon behind the key, {}, or put the line below the second `---` if it is prose",
            Tick(&mended)
        )),
        None => problem.hint("write it as `key: value`, or put it below the second `---` if it is prose"),
    }
}

/// `watered: tubs` of `watered tubs`: few words, the first of which may be the key.
pub(super) fn with_colon(line: &str) -> Option<String> {
    let is_plain = line.chars().all(|c| c.is_alphanumeric() || c == ' ');
    let (first, rest) =
        line.split_once(' ').filter(|_| line.split(' ').count() <= 4 && is_plain)?;
    Some(format!("{first}: {rest}"))
}

pub(super) fn needs_quotes(at: Origin, value: &str) -> Problem {
    let mended = quoted(value);
    let first = value.chars().next().unwrap_or(' ');
    let is_sign = "@*%!&`|>-?:[]{},".contains(first);
    let message = if is_sign && !(first == ':' && value.len() > 1 && !value.starts_with(": ")) {
        format!("a text that begins with `{first}` has to stand in quotes")
    } else if value.contains(['[', ']', '{', '}']) {
        "inside braces, a text with brackets in it has to stand in quotes".to_owned()
    } else {
        "a text with a colon and a space in it has to stand in quotes".to_owned()
    };
    let problem = Problem::new(Code::NeedsQuotes, at, message).label("this text").mend(
        at,
        mended.clone(),
        format!("write {mended}"),
    );
    let word = value.split(": ").next().unwrap_or("");
    let word = word.rsplit([' ', ';']).next().unwrap_or(word);
    let is_key = value.contains(": ") && word.starts_with(|c: char| c.is_ascii_lowercase());
    match is_key && !is_sign {
        false => problem,
        true if value.starts_with(word) => problem.hint(format!(
            "or, if {} is a key of its own, write it in braces: `{{{value}}}`",
            Tick(word)
        )),
        true => problem
            .hint(format!("or, if {} is a key of its own, put a comma before it", Tick(word))),
    }
}

pub(super) fn quote_open(at: Origin, value: &str) -> Problem {
    let inside = value.get(1..).unwrap_or("").trim();
    let mended = quoted(inside);
    Problem::new(Code::YamlSyntax, at, "a quotation mark opens here and none closes it")
        .label("opens here")
        .mend(at, mended.clone(), format!("write {mended}"))
}

pub(super) fn quote_inside(at: Origin, value: &str, quote: char) -> Problem {
    let is_closed = value.len() > 1 && value.ends_with(quote);
    let inside = if is_closed { &value[1..value.len() - 1] } else { value };
    let mended = quoted(inside);
    let message = match quote {
        '\'' if is_closed => "an apostrophe ends this text before its end",
        _ => "a quotation mark ends this text before its end",
    };
    let words = match mended.starts_with('"') || !inside.contains('\'') {
        true => format!("write {mended}"),
        false => format!("write an apostrophe inside quotes twice: {mended}"),
    };
    Problem::new(Code::YamlSyntax, at, message).label("this text").mend(at, mended, words)
}

pub(super) fn text_cut_short(at: Origin, value: &str) -> Problem {
    let mended = quoted(value);
    let lost = value.find('#').map_or(value, |at| &value[at..]);
    Problem::new(
        Code::TextCutShort,
        at,
        format!(
            "everything from `#` on would be taken for a comment: {} would be lost",
            Tick(lost)
        ),
    )
    .label("this text")
    .mend(at, mended.clone(), format!("put the text in quotes: {mended}"))
}

pub(super) fn misplaced(at: Origin, wanted: String) -> Problem {
    let words = match wanted.len() {
        0 => "begin it at the very left".to_owned(),
        1 => "begin it one space from the left".to_owned(),
        number => format!("begin it {number} spaces from the left"),
    };
    Problem::new(
        Code::YamlSyntax,
        at,
        "this line does not begin in the same column as the lines it belongs to",
    )
    .label("begins here")
    .mend(at, wanted, words)
}

pub(super) fn spare_dash(at: Origin) -> Problem {
    Problem::new(Code::YamlSyntax, at, "a dash makes a list, but there is no key above for it")
        .label("this dash")
        .mend(at, "", "take the dash away")
}

pub(super) fn spare_comma(at: Origin) -> Problem {
    Problem::new(Code::EmptyValue, at, "there is nothing before this comma")
        .label("one comma too many")
        .mend(at, "", "take the comma away")
}

pub(super) fn comma_before(at: Origin, word: &str) -> Problem {
    let message = format!("a comma is missing before {}", Tick(word));
    Problem::new(Code::YamlSyntax, at, message).label("no comma").mend(
        at,
        ", ",
        "put a comma between the two",
    )
}

pub(super) fn comma_missing(at: Origin) -> Problem {
    Problem::new(Code::YamlSyntax, at, "a comma is missing between two parts of a list")
        .label("no comma")
        .mend(at, ", ", "put a comma between them")
}

pub(super) fn bracket_open(at: Origin, end: Origin, open: &str, missing: &str) -> Problem {
    Problem::new(Code::YamlSyntax, at, format!("`{open}` opens here and is not closed"))
        .label("opens here")
        .also(end, format!("`{missing}` is missing here"))
        .mend(end, missing, format!("add `{missing}`"))
}

pub(super) fn bracket_lacking(at: Origin, open: Origin) -> Problem {
    Problem::new(Code::YamlSyntax, at, "`]` closes a list that was not opened")
        .label("closes here")
        .also(open, "`[` is missing here")
        .mend(open, "[", "add `[` before the brace")
}

pub(super) fn spare_bracket(at: Origin, bracket: &str) -> Problem {
    Problem::new(Code::YamlSyntax, at, format!("`{bracket}` closes nothing that is open"))
        .label("one bracket too many")
        .mend(at, "", "take it away, or open it where the list begins")
}
