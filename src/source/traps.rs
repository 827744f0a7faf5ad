//! YAML's traps: what it reads without a word of complaint, and not as it was meant.
//!
//! What falls into one is told and marked as damaged, so that nothing that follows from it is told.

use crate::diagnostics::problem::{Problem, Problems};
use crate::diagnostics::words::{is_hidden, quoted};
use crate::origin::{FileId, Origin, Written};
use crate::source::front_matter::{Map, Node, Value};
use crate::source::{mistake_words, problems};

/// Finds values that YAML cut short, split, or took for something of its own.
pub(super) fn find(map: &mut Map, file: FileId, text: &str, base: usize, problems: &mut Problems) {
    Traps { file, text, base }.map(map, problems);
}

struct Traps<'a> {
    file: FileId,
    text: &'a str,
    base: usize,
}

impl Traps<'_> {
    fn map(&self, map: &mut Map, problems: &mut Problems) {
        let mut pairs: Vec<(Written<String>, Node)> = Vec::with_capacity(map.pairs.len());
        // The parts that commas made of one text: the value before, and where the last part ends.
        let mut split: Option<(Origin, Origin)> = None;
        for (key, mut node) in std::mem::take(&mut map.pairs) {
            if let Some(problem) = self.hidden(&key.value, key.at) {
                problems.add(problem);
                pairs.push(self.damaged(key.value, key.at));
                continue;
            }
            let is_part = matches!(node.value, Value::Empty) && self.has_no_colon(key.at);
            if !is_part {
                self.tell_split(split.take(), problems);
                self.node(&key, &mut node, problems);
                pairs.push((key, node));
                continue;
            }
            if let Some((name, mended)) = without_space(&key.value) {
                self.tell_split(split.take(), problems);
                problems.add(mistake_words::space_missing(key.at, &mended));
                pairs.push(self.damaged(name, key.at));
            } else if let Some((whole, _)) = split {
                split = Some((whole, key.at));
            } else if let Some((_, before)) = pairs.last_mut().filter(|pair| is_single(&pair.1)) {
                split = Some((self.text_at(before, key.at), key.at));
                before.value = Value::Damaged;
            } else {
                problems.add(problems::colon_missing(&key));
                let name = key.value.split_whitespace().next().unwrap_or("").to_owned();
                pairs.push(self.damaged(name, key.at));
            }
        }
        self.tell_split(split, problems);
        map.pairs = pairs;
    }

    /// Where a value begins: of an empty one, at the comma behind its colon.
    fn text_at(&self, node: &Node, key: Origin) -> Origin {
        let (Value::Empty, Some(own), Some(key)) = (&node.value, node.at.range(), key.range())
        else {
            return node.at;
        };
        let between = &self.text[own.end - self.base..key.start - self.base];
        match between.find(',') {
            Some(comma) => Origin::span(self.file, own.end + comma, key.start),
            None => node.at,
        }
    }

    fn damaged(&self, name: String, at: Origin) -> (Written<String>, Node) {
        (Written::new(name, at), Node { at, value: Value::Damaged })
    }

    /// Signs that nobody sees, in a key or a value.
    fn hidden(&self, text: &str, at: Origin) -> Option<Problem> {
        text.contains(is_hidden).then(|| {
            let range = at.range().unwrap_or(0..0);
            let written = self.text.get(range.start - self.base..range.end - self.base);
            problems::values::hidden_sign(text, written.unwrap_or_default(), at)
        })
    }

    fn node(&self, key: &Written<String>, node: &mut Node, problems: &mut Problems) {
        let trap = match &mut node.value {
            Value::Text(text) if text.text.contains(is_hidden) => self.hidden(&text.text, node.at),
            Value::Text(text) if !text.quoted => self.unused_anchor(node.at).or_else(|| {
                let range = node.at.range()?;
                self.cut_short(range.start, range.end)
            }),
            Value::Empty => key.at.range().and_then(|range| {
                let behind = range.end + 1;
                self.cut_short(behind, behind)
            }),
            Value::List(items) => {
                items.iter_mut().for_each(|item| self.item(item, problems));
                None
            }
            Value::Map(map) => {
                self.map(map, problems);
                None
            }
            Value::Text(_) | Value::Damaged => None,
        };
        if let Some(problem) = trap {
            problems.add(problem);
            node.value = Value::Damaged;
        }
    }

    fn item(&self, item: &mut Node, problems: &mut Problems) {
        let none = Written::new(String::new(), Origin::Nowhere);
        self.node(&none, item, problems);
    }

    /// `{note: hail, at noon}`: 'at noon' became a key of its own.
    fn has_no_colon(&self, key: Origin) -> bool {
        let end = key.range().map_or(0, |range| range.end - self.base);
        !self.text[end..].trim_start().starts_with(':')
    }

    /// The text before the comma and those behind it were meant as one.
    fn tell_split(&self, split: Option<(Origin, Origin)>, problems: &mut Problems) {
        let Some((first, last)) = split else { return };
        let whole = first.through(last);
        let range = whole.range().unwrap_or(0..0);
        let written = &self.text[range.start - self.base..range.end - self.base];
        let (left, right) = written.split_once(',').unwrap_or((written, ""));
        let is_number = left.chars().next_back().is_some_and(|c| c.is_ascii_digit())
            && right.chars().next().is_some_and(|c| c.is_ascii_digit());
        problems.add(if is_number {
            problems::comma_in_number(whole, written, left, right)
        } else {
            problems::comma_in_text(whole, written, right.trim())
        });
    }

    /// `Peas #2 sown`: what follows ` #` is a comment. `# like this` is meant as one.
    fn cut_short(&self, start: usize, end: usize) -> Option<Problem> {
        let rest = self.text.get(end - self.base..)?.split(['\n', '\r']).next()?;
        let comment = rest.trim_start();
        let is_trap = comment.starts_with('#')
            && comment.len() < rest.len()
            && comment[1..].chars().next().is_some_and(|c| !c.is_whitespace() && c != '#');
        if !is_trap {
            return None;
        }
        // With nothing before the comment, the text begins with its sign.
        let from = if start == end { end + rest.len() - comment.len() } else { start };
        let written = self.text[from - self.base..end - self.base + rest.len()].trim_end();
        let whole = Origin::span(self.file, from, from + written.len());
        Some(mistake_words::text_cut_short(whole, written))
    }

    /// `&co came by`: `&co` would name the rest for later, and nothing later asks for it.
    fn unused_anchor(&self, at: Origin) -> Option<Problem> {
        let range = at.range()?;
        let (start, end) = (range.start - self.base, range.end - self.base);
        let line = self.text[..start].rsplit('\n').next()?;
        let mark = line.rfind('&')?;
        let name = line[mark + 1..].trim_end();
        let is_apart = line[..mark].chars().next_back().is_none_or(|c| " \t[{,".contains(c));
        let is_anchor = !name.is_empty()
            && is_apart
            && !name.contains(|c: char| c.is_whitespace() || "\"':".contains(c))
            && line.len() > mark + 1 + name.len()
            && !self.text.contains(&format!("*{name}"));
        if !is_anchor {
            return None;
        }
        let from = start - (line.len() - mark);
        let whole = Origin::span(self.file, self.base + from, self.base + end);
        Some(mistake_words::needs_quotes(whole, &self.text[from..end]))
    }
}

fn is_single(node: &Node) -> bool {
    matches!(node.value, Value::Text(_) | Value::Empty | Value::Damaged)
}

/// `crop:tomato`, with the key and the whole as it should be.
fn without_space(key: &str) -> Option<(String, String)> {
    let (name, value) = key.split_once(':')?;
    let is_name = !name.is_empty() && name.chars().all(|c| c.is_alphanumeric() || c == '-');
    let value = value.trim();
    if !is_name || value.is_empty() || value.starts_with('/') {
        return None;
    }
    let value = if value.contains(": ") { quoted(value) } else { value.to_owned() };
    Some((name.to_owned(), format!("{name}: {value}")))
}
