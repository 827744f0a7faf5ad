//! YAML as a tree in which every key and value knows its bytes in the file.
//!
//! The library (`serde-saphyr`, bound to the name `serde_yaml`) gives spans; we keep plain values *as
//! written*, so that `1.10`, `007` and `no` do not turn into 1.1, 7 and false. Spans and their traps
//! are pinned by the tests below, because a new version of the library could change them.

mod raw;

use crate::source::front_matter::raw::Raw;
use std::ops::Range;

use serde_yaml::{DuplicateKeyPolicy, MergeKeyPolicy, NonFiniteFloatPolicy, Options, Spanned};

use crate::diagnostics::problem::Problems;
use crate::origin::{FileId, Origin, Written};
use crate::source::depth;
use crate::source::fences;
use crate::source::files::{File, LARGEST, LARGEST_TEXT};
use crate::source::long_lists;
use crate::source::mistakes;
use crate::source::problems;
use crate::source::syntax;
use crate::source::traps;

/// A value as written.
#[derive(Clone, Debug)]
pub struct Node {
    /// Where: the text itself for a single value; for a list or a map, where it opens.
    pub at: Origin,
    pub value: Value,
}

/// The shapes of a value.
#[derive(Clone, Debug)]
pub enum Value {
    /// Nothing stands behind the key.
    Empty,
    /// Something that could not be read; it has been told already.
    Damaged,
    /// A text, number, date: one value, not yet understood.
    Text(Text),
    /// `[a, b]` or lines that begin with a dash.
    List(Vec<Node>),
    /// `{key: value}` or indented lines.
    Map(Map),
}

/// One value, not yet understood.
#[derive(Clone, Debug)]
pub struct Text {
    /// The text; for a plain value exactly as written.
    pub text: String,
    /// Whether it stood in quotes or in a block of its own.
    pub quoted: bool,
}

/// Keys and values in the order written; a repeated key is still there twice.
#[derive(Clone, Debug)]
pub struct Map {
    pub at: Origin,
    pub pairs: Vec<(Written<String>, Node)>,
}

/// The front matter and the prose of a Markdown file.
#[derive(Clone, Debug)]
pub struct Document<'a> {
    /// The front matter, or nothing if it could not be read.
    pub fields: Option<Map>,
    /// The text of the front matter, for the names a damaged one still announces.
    pub front: &'a str,
    /// The prose.
    pub body: &'a str,
    /// Where the prose begins in the file, in bytes.
    pub body_start: usize,
}

/// Splits a Markdown file at its fences and reads what stands between them.
///
/// Nothing is returned only if there is no front matter at all; its loss is told.
pub fn read_markdown<'a>(file: &'a File, problems: &mut Problems) -> Option<Document<'a>> {
    let text = read_written(file, problems)?;
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let Some(front_start) = opening_fence(&text[start..]).map(|length| start + length) else {
        problems.add(problems::front_matter_missing(file.id, text, start));
        return None;
    };
    let Some((front_end, body_start)) = closing_fence(text, front_start) else {
        problems.add(problems::front_matter_unclosed(file.id, text, start, front_start));
        return None;
    };
    let front = &text[front_start..front_end];
    let fields = read_yaml_text(file.id, front, front_start, problems);
    if let Some(line) = fences::second(&text[body_start..]) {
        let at = Origin::span(file.id, body_start + line.start, body_start + line.end);
        problems.add(problems::second_front_matter(at));
    }
    let body = match depth::too_deep(&text[body_start..]) {
        Some((found, of)) => {
            let at = Origin::span(file.id, body_start + found.start, body_start + found.end);
            problems.add(problems::text_too_deep(at, of));
            ""
        }
        None => &text[body_start..],
    };
    Some(Document { fields, front, body, body_start })
}

/// Reads a file that is YAML from its first line to its last.
pub fn read_yaml(file: &File, problems: &mut Problems) -> Option<Map> {
    let text = read_written(file, problems)?;
    let start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    read_yaml_text(file.id, &text[start..], start, problems)
}

/// The text of a file that is written by hand.
fn read_written<'a>(file: &'a File, problems: &mut Problems) -> Option<&'a str> {
    // A file of megabytes is told as such, whatever it may hold.
    if file.bytes.len() > LARGEST_TEXT && file.bytes.len() <= LARGEST {
        problems.add(problems::text_too_big(file));
        return None;
    }
    read_text(file, problems)
}

/// The file's text, or a problem that says why there is none.
pub fn read_text<'a>(file: &'a File, problems: &mut Problems) -> Option<&'a str> {
    if file.bytes.len() > LARGEST {
        problems.add(problems::file_too_big(file));
        return None;
    }
    match file.text() {
        Ok(text) => Some(text),
        Err(at) => {
            problems.add(problems::not_utf8(file, at));
            None
        }
    }
}

/// The length of an opening `---` line.
fn opening_fence(text: &str) -> Option<usize> {
    let line = text.split_inclusive('\n').next()?;
    (line.trim_end() == "---" && line.starts_with("---")).then_some(line.len())
}

/// The closing `---` line: where it starts, and where the prose behind it starts.
fn closing_fence(text: &str, from: usize) -> Option<(usize, usize)> {
    let mut at = from;
    for line in text[from..].split_inclusive('\n') {
        if line.starts_with("---") && line.trim_end() == "---" {
            return Some((at, at + line.len()));
        }
        at += line.len();
    }
    None
}

fn read_yaml_text(file: FileId, text: &str, base: usize, problems: &mut Problems) -> Option<Map> {
    match parse(text) {
        Ok(raw) => place(raw, Reader { file, text, base, lost: &[] }, problems),
        Err(error) => mend_and_read(file, text, base, &error, problems),
    }
}

fn parse(text: &str) -> Result<Spanned<Raw>, serde_yaml::Error> {
    serde_yaml::from_str_with_options(text, options())
}

/// What cannot be read is told, put right as far as it goes without moving a byte, and read again:
/// so a text that lacks quotes does not hide what else is wrong.
fn mend_and_read(
    file: FileId,
    text: &str,
    base: usize,
    error: &serde_yaml::Error,
    problems: &mut Problems,
) -> Option<Map> {
    let found =
        if syntax::is_too_large(error) { Vec::new() } else { mistakes::find(file, text, base) };
    if found.is_empty() {
        problems.add(syntax::explain(file, text, base, error));
        return None;
    }
    let mut mended = text.to_owned();
    let mut lost = Vec::new();
    for (range, filled) in found.iter().filter_map(|mistake| mistake.repair.as_ref()) {
        mended.replace_range(range.clone(), filled);
        lost.push(range.clone());
    }
    lost.sort_by_key(|range: &Range<usize>| range.start);
    let raw = found.iter().all(|mistake| mistake.repair.is_some()).then(|| parse(&mended).ok());
    let raw = raw.flatten();
    let last = found.len() - 1;
    for (index, mistake) in found.into_iter().enumerate() {
        let is_end = index == last && raw.is_none();
        problems.add(if is_end { problems::rest_unread(mistake.problem) } else { mistake.problem });
    }
    place(raw?, Reader { file, text: &mended, base, lost: &lost }, problems)
}

fn place(raw: Spanned<Raw>, reader: Reader<'_>, problems: &mut Problems) -> Option<Map> {
    let (file, base) = (reader.file, reader.base);
    let mut node = reader.node(raw);
    long_lists::shorten(&mut node, problems);
    match node.value {
        Value::Map(mut map) => {
            traps::find(&mut map, file, reader.text, base, problems);
            Some(map)
        }
        Value::Empty => Some(Map { at: Origin::span(file, base, base), pairs: Vec::new() }),
        Value::Text(_) | Value::List(_) => {
            problems.add(problems::not_a_map(&node));
            None
        }
        Value::Damaged => None,
    }
}

/// Strict, without includes or environment, and with budgets that end an alias bomb early.
fn options() -> Options {
    serde_yaml::options! {
        budget: serde_yaml::budget! {
            max_aliases: 1_000,
            max_depth: 32,
            max_documents: 1,
            max_nodes: 200_000,
            // A hundred lines may well share one word; the budgets around this one stop a bomb.
            enforce_alias_anchor_ratio: false,
        },
        alias_limits: serde_yaml::alias_limits! { max_total_replayed_events: 100_000 },
        duplicate_keys: DuplicateKeyPolicy::PassThrough,
        merge_keys: MergeKeyPolicy::AsOrdinary,
        non_finite_float_policy: NonFiniteFloatPolicy::AsString,
        strict_booleans: true,
        reject_unsupported_tags: true,
    }
}

/// Places the library's values in the file.
struct Reader<'a> {
    file: FileId,
    text: &'a str,
    base: usize,
    /// Bytes that stand in for what could not be read, in order and apart.
    lost: &'a [Range<usize>],
}

impl Reader<'_> {
    fn node(&self, raw: Spanned<Raw>) -> Node {
        // With an alias, the text stands where its anchor is: that is where it can be mended.
        let (start, end) = self.bytes(&raw.defined);
        let at = Origin::span(self.file, self.base + start, self.base + end);
        let value = match raw.value {
            Raw::One(_) if self.is_lost(start, end) => Value::Damaged,
            Raw::Empty => Value::Empty,
            Raw::One(value) => Value::Text(self.one(value, start, end)),
            Raw::List(items) => {
                Value::List(items.into_iter().map(|item| self.node(item)).collect())
            }
            Raw::Map(pairs) => {
                let pairs = pairs.into_iter().map(|(key, value)| self.pair(key, value)).collect();
                Value::Map(Map { at, pairs })
            }
        };
        Node { at, value }
    }

    fn pair(&self, key: Spanned<Raw>, value: Spanned<Raw>) -> (Written<String>, Node) {
        let key = self.node(key);
        let name = match key.value {
            Value::Text(text) => text.text,
            // A key that is itself a list or a map is nothing we know; it is told as an unknown key.
            Value::Empty | Value::Damaged | Value::List(_) | Value::Map(_) => "?".to_owned(),
        };
        let mut value = self.node(value);
        let behind_key = key.at.range().map_or(0, |range| range.end.saturating_sub(self.base));
        if matches!(value.value, Value::Empty) && self.is_lost(behind_key, behind_key + 1) {
            value.value = Value::Damaged;
        }
        if !matches!(value.value, Value::Text(_)) && value.at.range().is_none_or(|r| r.len() < 2) {
            value.at = key.at; // a block list or map has no text of its own to point at
        }
        if let Value::Map(map) = &mut value.value {
            map.at = value.at;
        }
        (Written::new(name, key.at), value)
    }

    fn is_lost(&self, start: usize, end: usize) -> bool {
        let before = self.lost.partition_point(|lost| lost.start < end);
        before > 0 && start < self.lost[before - 1].end
    }

    fn one(&self, value: String, start: usize, end: usize) -> Text {
        let slice = &self.text[start..end];
        let line_start = self.text[..start].rfind('\n').map_or(0, |newline| newline + 1);
        let opener = self.text[line_start..start].trim_end();
        let in_block = opener.ends_with(['|', '>', '-', '+']) && slice.contains('\n');
        let quoted = slice.starts_with(['"', '\'']) || in_block || slice.contains('\n');
        if quoted { Text { text: value, quoted } } else { Text { text: slice.to_owned(), quoted } }
    }

    fn bytes(&self, location: &serde_yaml::Location) -> (usize, usize) {
        let span = location.span();
        let start = span.byte_offset().unwrap_or(0) as usize;
        let end = start + span.byte_len().unwrap_or(0) as usize;
        let is_in_text = self.text.get(start..end).is_some();
        if is_in_text { (start, end) } else { (0, 0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Option<Document<'static>>, &'static str) {
        let text: &'static str = Box::leak(text.to_owned().into_boxed_str());
        let file = Box::leak(Box::new(File {
            id: FileId(0),
            path: "a.md".to_owned(),
            bytes: text.as_bytes().to_vec(),
        }));
        (read_markdown(file, &mut Problems::new()), text)
    }

    /// Every span of a tree slices to the text it stands for.
    fn spans(map: &Map, text: &str, found: &mut Vec<String>) {
        for (key, node) in &map.pairs {
            found.push(format!("{} = {}", key.value, &text[key.at.range().unwrap()]));
            match &node.value {
                Value::Text(value) => {
                    found.push(format!("{} = {}", value.text, &text[node.at.range().unwrap()]));
                }
                Value::Map(map) => spans(map, text, found),
                Value::List(_) | Value::Empty | Value::Damaged => {}
            }
        }
    }

    #[test]
    fn spans_are_bytes_of_the_file_and_plain_values_stay_as_written() {
        for start in ["", "\u{feff}"] {
            for newline in ["\n", "\r\n"] {
                let text =
                    format!("{start}---\né: 1.10\nb: {{c: 007, d: no}}\ne: 'x'\n---\nProse\n")
                        .replace('\n', newline);
                let (document, text) = read(&text);
                let document = document.unwrap();
                let mut found = Vec::new();
                spans(&document.fields.unwrap(), text, &mut found);
                let wanted =
                    ["é = é", "1.10 = 1.10", "b = b", "c = c", "007 = 007", "d = d", "no = no"];
                assert_eq!(found[..7], wanted);
                assert_eq!(found[7..], ["e = e", "x = 'x'"]);
                assert_eq!(&text[document.body_start..], document.body);
                assert_eq!(document.body.trim_end(), "Prose");
            }
        }
    }

    #[test]
    fn an_alias_points_at_its_anchor() {
        let (document, text) = read("---\na: &x word\nb: *x\n---\n");
        let map = document.unwrap().fields.unwrap();
        assert_eq!(&text[map.pairs[1].1.at.range().unwrap()], "word");
    }

    #[test]
    fn a_large_front_matter_is_read_and_an_alias_bomb_is_not() {
        let words = format!("'{}', ", "some words ".repeat(10));
        let large = format!("---\nnotes: [{}]\n---\n", words.repeat(1_900));
        assert!(large.len() > 200_000);
        assert!(read(&large).0.unwrap().fields.is_some());
        let mut bomb = "---\na0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
        for level in 1..100 {
            let before = level - 1;
            bomb.push_str(&format!("a{level}: &a{level} [*a{before}, *a{before}]\n"));
        }
        bomb.push_str("---\n");
        assert!(read(&bomb).0.unwrap().fields.is_none());
    }
}
