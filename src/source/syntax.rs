//! A syntax error in the library's words, for the few that our own look at the text did not find.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::Problem;
use crate::origin::{FileId, Origin};
use crate::source::problems;

/// Whether a budget ended the reading, not the text itself.
pub(super) fn is_too_large(error: &serde_yaml::Error) -> bool {
    let said = error.without_snippet().to_string();
    ["budget", "limit", "exceeded", "depth"].iter().any(|word| said.contains(word))
}

/// The error, told as plainly as it allows.
pub(super) fn explain(file: FileId, text: &str, base: usize, error: &serde_yaml::Error) -> Problem {
    let error = error.without_snippet();
    let (line, column) = error
        .location()
        .map_or((1, 1), |location| (location.line() as usize, location.column() as usize));
    let spot = byte_of(text, line, column);
    if is_too_large(error) {
        return problems::yaml_too_large(file, base + spot);
    }
    let width = text[spot..].chars().next().map_or(0, char::len_utf8);
    let at = Origin::span(file, base + spot, base + spot + width);
    let (message, hint) = in_plain_words(&error.to_string());
    let problem = Problem::new(Code::YamlSyntax, at, message).label("reading stopped here");
    problems::rest_unread(problem.hint(hint))
}

fn in_plain_words(said: &str) -> (&'static str, &'static str) {
    let is = |parts: &[&str]| parts.iter().any(|part| said.contains(part));
    if is(&["unclosed quote", "end of quoted", "quoted scalar"]) {
        ("a text in quotes goes wrong here", "check where its quotation marks open and close")
    } else if is(&["flow", "bracket", "',' or"]) {
        (
            "something inside brackets or braces cannot be read",
            "check that each `[` and `{` is closed, and put texts with signs in them in quotes",
        )
    } else if is(&["multiple", "document"]) {
        ("a second front matter seems to begin here", "keep one, and put texts in quotes")
    } else if is(&["tab"]) {
        ("a tab stands where only spaces can", "write spaces in its place")
    } else if is(&["control character", "invalid character", "unexpected character", "printable"]) {
        ("there is a character here that cannot stand in a text", "delete it, or retype the line")
    } else if is(&["escape"]) {
        (
            "inside double quotes `\\` has a meaning of its own",
            "use single quotes, or write the backslash twice",
        )
    } else {
        (
            "this line cannot be read",
            "keys of one level begin in the same column, each with a colon and a space behind it; \
             texts with signs in them stand in quotes",
        )
    }
}

/// The byte of a line and column that are counted from 1, in characters.
fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let line_start: usize =
        text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let rest = text.get(line_start..).unwrap_or("");
    let in_line = rest.split(['\n', '\r']).next().unwrap_or("");
    let offset =
        in_line.char_indices().nth(column.saturating_sub(1)).map_or(in_line.len(), |c| c.0);
    (line_start + offset).min(text.len())
}
