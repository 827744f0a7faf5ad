//! YAML's traps: what it reads without a word of complaint, or refuses in words no grower knows.

use crate::diagnostics::codes::Code;
use crate::diagnostics::problem::{Problem, Problems};
use crate::origin::{FileId, Origin};
use crate::source::front_matter::{Map, Node, Value};
use crate::source::problems;

/// Finds values that YAML cut short or split.
pub(super) fn find(map: &Map, file: FileId, text: &str, base: usize, problems: &mut Problems) {
    let trap = Traps { file, text, base };
    trap.map(map, problems);
}

struct Traps<'a> {
    file: FileId,
    text: &'a str,
    base: usize,
}

impl Traps<'_> {
    fn map(&self, map: &Map, problems: &mut Problems) {
        let mut before: Option<&Node> = None;
        for (key, node) in &map.pairs {
            let is_split = matches!(node.value, Value::Empty) && self.has_no_colon(key.at);
            match (is_split, before) {
                (true, Some(before)) => problems.add(self.split(before, key.at)),
                _ => self.node(node, problems),
            }
            before = Some(node);
        }
    }

    fn node(&self, node: &Node, problems: &mut Problems) {
        match &node.value {
            Value::Text(text) if !text.quoted => {
                if let Some(problem) = self.cut_short(node.at) {
                    problems.add(problem);
                }
            }
            Value::List(items) => items.iter().for_each(|item| self.node(item, problems)),
            Value::Map(map) => self.map(map, problems),
            Value::Text(_) | Value::Empty => {}
        }
    }

    /// `{note: hail, at noon}`: 'at noon' became a key of its own.
    fn has_no_colon(&self, key: Origin) -> bool {
        let end = key.range().map_or(0, |range| range.end - self.base);
        !self.text[end..].trim_start().starts_with(':')
    }

    /// The text before the comma and the one behind it were meant as one.
    fn split(&self, before: &Node, key: Origin) -> Problem {
        let whole = before.at.through(key);
        let range = whole.range().unwrap_or(0..0);
        let written = &self.text[range.start - self.base..range.end - self.base];
        let is_number = |part: &str, last: bool| {
            let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
            if last { digit(part.chars().last()) } else { digit(part.chars().next()) }
        };
        let (left, right) = written.split_once(',').unwrap_or((written, ""));
        if is_number(left, true) && is_number(right, false) {
            let mended = format!("{left}.{right}");
            return Problem::new(
                Code::DecimalComma,
                whole,
                format!("`{written}` has a decimal comma, which ends the value here"),
            )
            .label("a comma in braces ends a value")
            .mend(whole, mended.clone(), format!("write `{mended}`"));
        }
        let mended = quote(written);
        Problem::new(
            Code::CommaInText,
            whole,
            format!("the comma ends the text, so `{}` would be lost", right.trim()),
        )
        .label("a comma in braces ends a value")
        .mend(whole, mended.clone(), format!("put the text in quotes: {mended}"))
    }

    /// `Peas #2 sown`: what follows ` #` is a comment. `# like this` is meant as one.
    fn cut_short(&self, at: Origin) -> Option<Problem> {
        let range = at.range()?;
        let start = range.start - self.base;
        let rest = self.text[range.end - self.base..].split(['\n', '\r']).next()?;
        let comment = rest.trim_start();
        let is_trap = comment.starts_with('#')
            && comment.len() < rest.len()
            && comment[1..].chars().next().is_some_and(|c| !c.is_whitespace() && c != '#');
        if !is_trap {
            return None;
        }
        let written = self.text[start..range.end - self.base + rest.len()].trim_end();
        let whole = Origin::span(self.file, range.start, range.start + written.len());
        let mended = quote(written);
        Some(
            Problem::new(
                Code::TextCutShort,
                whole,
                format!("a `#` behind a space starts a comment, so `{comment}` would be lost"),
            )
            .label("only the part before the # would be kept")
            .mend(whole, mended.clone(), format!("put the text in quotes: {mended}")),
        )
    }
}

/// A syntax error in the library's words, told as what the grower most likely did.
pub(super) fn explain_syntax(
    file: FileId,
    text: &str,
    base: usize,
    error: &serde_yaml::Error,
) -> Problem {
    let error = error.without_snippet();
    let said = error.to_string();
    let (line, column) = error
        .location()
        .map_or((1, 1), |location| (location.line() as usize, location.column() as usize));
    let spot = byte_of(text, line, column);
    if ["budget", "limit", "exceeded"].iter().any(|word| said.contains(word)) {
        return problems::yaml_too_large(file, base + spot);
    }
    if let Some(problem) = unquoted(file, text, base, spot) {
        return problem;
    }
    let at = Origin::span(file, base + spot, base + spot + 1);
    if text[spot..].starts_with('\t') || said.contains("tabs") {
        let tab = text[spot..].find('\t').map_or(spot, |offset| spot + offset);
        let at = Origin::span(file, base + tab, base + tab + 1);
        return Problem::new(Code::YamlSyntax, at, "a tab stands where YAML wants spaces")
            .label("a tab")
            .mend(at, "  ", "put spaces in its place");
    }
    let (message, hint) = in_plain_words(&said);
    Problem::new(Code::YamlSyntax, at, message)
        .label("YAML stopped here")
        .hint(hint)
        .hint("the rest of this front matter was not read")
}

/// A value that starts with a sign of YAML's own, or holds `: `, and so has to be quoted.
fn unquoted(file: FileId, text: &str, base: usize, spot: usize) -> Option<Problem> {
    let line_start = text[..spot].rfind('\n').map_or(0, |newline| newline + 1);
    let line = text[line_start..].split(['\n', '\r']).next()?;
    let column = (spot - line_start).min(line.len());
    let in_braces = line.contains(['{', '[']);
    let (start, end) = if in_braces { in_flow(line, column)? } else { in_block(line)? };
    let value = line.get(start..end)?.trim_end();
    let sign = value.chars().next()?;
    let is_sign = "@*%!`&".contains(sign);
    let has_colon = value.contains(": ") || value.ends_with(':');
    if value.len() < 2 || value.starts_with(['"', '\'']) || !(is_sign || has_colon) {
        return None;
    }
    let at = Origin::span(file, base + line_start + start, base + line_start + start + value.len());
    let mended = quote(value);
    let message = if is_sign {
        format!("a text that starts with `{sign}` has to stand in quotes")
    } else {
        "a text that holds a colon and a space has to stand in quotes".to_owned()
    };
    Some(
        Problem::new(Code::NeedsQuotes, at, message)
            .label("this text")
            .mend(at, mended.clone(), format!("write {mended}"))
            .hint("the rest of this front matter was not read"),
    )
}

/// The value of a line such as `title: a: b` or `- title: @x`.
fn in_block(line: &str) -> Option<(usize, usize)> {
    let colon = line.find(": ")?;
    let start = colon + 2 + line[colon + 2..].len() - line[colon + 2..].trim_start().len();
    Some((start, line.len()))
}

/// The value of a pair in braces that the column lies in or behind.
fn in_flow(line: &str, column: usize) -> Option<(usize, usize)> {
    let column = (0..=column.min(line.len())).rev().find(|at| line.is_char_boundary(*at))?;
    let pair_start = line[..column].rfind(['{', ',', '[']).map_or(0, |at| at + 1);
    let colon = line[pair_start..].find(": ")? + pair_start;
    let start = colon + 2 + line[colon + 2..].len() - line[colon + 2..].trim_start().len();
    let end = line[start..].find([',', '}', ']']).map_or(line.len(), |at| start + at);
    Some((start, end))
}

fn in_plain_words(said: &str) -> (String, &'static str) {
    let is = |part: &str| said.contains(part);
    let (message, hint) = if is("unclosed quote") || is("end of quoted") {
        (
            "a quotation mark is opened here and not closed",
            "close it; inside '…' an apostrophe is written twice: 'it''s'",
        )
    } else if is("':' indicator") || is("flow") || is("',' or") || is("bracket") {
        (
            "brackets or braces are opened and not closed before this",
            "close them with `]` or `}`; one entry of a list on each line is easiest to read",
        )
    } else if is("multiple YAML documents") {
        ("a second YAML document starts here", "keep a single front matter")
    } else if is("unsupported tag") {
        ("a word that starts with `!` has to stand in quotes", "put it in quotes")
    } else if is("simple key") || is("block mapping") || is("<document start>") || is("':'") {
        (
            "this line does not fit the lines above it",
            "keys of one level start in the same column, and each is followed by `: `",
        )
    } else {
        return (
            format!("this is not valid YAML ({})", said.split(" at line").next().unwrap_or(said)),
            "compare with a line that works, or put texts in quotes",
        );
    };
    (message.to_owned(), hint)
}

/// The byte of a line and column that are counted from 1, in characters.
fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let line_start: usize = text.split_inclusive('\n').take(line - 1).map(str::len).sum();
    let rest = text.get(line_start..).unwrap_or("");
    let in_line = rest.split(['\n', '\r']).next().unwrap_or("");
    let offset =
        in_line.char_indices().nth(column.saturating_sub(1)).map_or(in_line.len(), |c| c.0);
    (line_start + offset).min(text.len())
}

/// A text in YAML's single quotes.
pub(super) fn quote(text: &str) -> String {
    format!("'{}'", text.replace('\'', "''"))
}
