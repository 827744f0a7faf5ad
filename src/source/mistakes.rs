//! What a grower most likely did where YAML cannot be read: found in the text itself, line by line.
//!
//! The library stops at the first thing it cannot read, and says so in words of its own. Here every
//! such spot is found at once. Most can be repaired without moving a byte (a text that lacks quotes
//! becomes as many `x`), so that the rest is read and checked all the same, at its true places.
//! Only what cannot be YAML in any reading is told: this runs when reading has failed, and must not
//! blame a line that is right.

pub(super) mod signs;

use crate::source::mistakes::signs::{
    dash, fill, has_colon, is_block_header, key_end, missing_space, without_comment,
};
use std::cell::Cell;
use std::ops::Range;

use crate::diagnostics::problem::Problem;
use crate::origin::{FileId, Origin};
use crate::source::mistake_words as words;

mod brackets;

pub(super) struct Mistake {
    pub(super) problem: Problem,
    /// Bytes of the text, and as many others that make it readable; the value there is lost.
    pub(super) repair: Option<(Range<usize>, String)>,
}

/// Every mistake in a text of YAML that lies at byte `base` of its file, from top to bottom.
pub(super) fn find(file: FileId, text: &str, base: usize) -> Vec<Mistake> {
    let mut scan = Scan {
        file,
        text,
        base,
        found: Vec::new(),
        levels: Vec::new(),
        open: None,
        has_anchors: text.contains('&'),
        flows_on: false,
        measured: Cell::new((1, 0)),
    };
    let mut at = 0;
    while at < text.len() {
        let end = scan.line_end(at);
        at = match scan.line(at, end) {
            Some(next) => next,
            None => break, // nothing behind this can be told apart
        };
    }
    scan.found
}

/// A column in which keys or dashes stand.
#[derive(Clone, Copy, PartialEq)]
struct Level {
    column: usize,
    is_list: bool,
}

struct Scan<'a> {
    file: FileId,
    text: &'a str,
    base: usize,
    found: Vec<Mistake>,
    /// The columns of the lines above, outermost first.
    levels: Vec<Level>,
    /// The column of a key or dash behind which nothing stands yet.
    open: Option<usize>,
    /// Whether there is any `&`, without which no `*` can be right.
    has_anchors: bool,
    /// Whether the text of the line above may go on in the next.
    flows_on: bool,
    /// A stretch of one line: from where, to the line's end.
    measured: Cell<(usize, usize)>,
}

impl Scan<'_> {
    /// Scans the line `start..end`; gives where the next begins, or nothing if it cannot be told.
    fn line(&mut self, start: usize, end: usize) -> Option<usize> {
        let next = self.after_break(end);
        let line = &self.text[start..end];
        let content = line.trim_start_matches([' ', '\t']);
        if content.is_empty() || content.starts_with('#') {
            return Some(next);
        }
        let indent = line.len() - content.len();
        if line[..indent].contains('\t') {
            let wanted = " ".repeat(self.column_for(content, next));
            let at = self.origin(start..start + indent);
            self.found.push(Mistake { problem: words::tab(at, wanted), repair: None });
            return None;
        }
        let (mut at, mut column) = (start + indent, indent);
        let mut is_item = false;
        while let Some(step) = dash(&self.text[at..end]) {
            if !is_item && !self.take_dash(start, column) {
                return None;
            }
            if is_item {
                self.levels.push(Level { column, is_list: true });
            }
            is_item = true;
            self.open = Some(column);
            self.flows_on = false;
            at += step;
            column += step;
        }
        if at >= end {
            return Some(next);
        }
        self.content(start, at, end, column, is_item)
    }

    /// A key and its value, or a value alone.
    fn content(
        &mut self,
        start: usize,
        at: usize,
        end: usize,
        column: usize,
        is_item: bool,
    ) -> Option<usize> {
        let next = self.after_break(end);
        let Some(colon) = key_end(&self.text[at..end]).map(|length| at + length) else {
            if is_item {
                self.open = None;
                return self.value(at, end, column - 1);
            }
            if self.open.is_some_and(|open| column > open) {
                let parent = self.open.take().unwrap_or(0);
                return self.value(at, end, parent);
            }
            let is_deeper = self.levels.last().is_some_and(|level| column > level.column);
            if self.flows_on && is_deeper {
                return Some(next);
            }
            self.without_key(at, end);
            return Some(next);
        };
        let is_dash_close = self.text[at..].starts_with('-');
        if is_dash_close {
            let problem = words::dash_close(self.origin(at..at + 1));
            self.found.push(Mistake { problem, repair: None });
            return None;
        }
        if is_item {
            self.levels.push(Level { column, is_list: false });
        } else if !self.take_key(start, column) {
            return None;
        }
        self.open = None;
        self.flows_on = false;
        let value = &self.text[colon + 1..end];
        let from = colon + 1 + (value.len() - value.trim_start().len());
        if from >= end || self.text[from..].starts_with('#') {
            self.open = Some(column);
            return Some(next);
        }
        if self.text[from..].starts_with("- ") && key_end(&self.text[from + 2..end]).is_some() {
            let at = self.origin(colon + 1..from);
            let mended = format!("\n{}", " ".repeat(column + 2));
            self.found.push(Mistake { problem: words::list_behind_key(at, mended), repair: None });
            return None;
        }
        self.value(from, end, column)
    }

    /// A line with neither a key nor anything it could go on from.
    fn without_key(&mut self, at: usize, end: usize) {
        let line = self.text[at..end].trim_end();
        let whole = at..at + line.len();
        let origin = self.origin(whole.clone());
        match missing_space(line) {
            Some(colon) => {
                let mended = format!("{}: {}", &line[..colon], &line[colon + 1..]);
                // `date:2026` becomes `date: xxx`: the key stays, its value is told.
                let filled = format!(": {}", fill(line.len() - colon - 2));
                let repair = (at + colon..whole.end, filled);
                let problem = words::space_missing(origin, &mended);
                self.found.push(Mistake { problem, repair: Some(repair) });
            }
            None => {
                let repair = (whole.clone(), " ".repeat(whole.len()));
                let problem = words::no_key(origin, line);
                self.found.push(Mistake { problem, repair: Some(repair) });
            }
        }
    }

    /// What stands behind a key whose column is `column`.
    fn value(&mut self, at: usize, end: usize, column: usize) -> Option<usize> {
        let next = self.after_break(end);
        let value = without_comment(&self.text[at..end]);
        let whole = at..at + value.len();
        self.flows_on = false;
        match value.chars().next() {
            Some('[' | '{') => return self.in_brackets(at, column),
            Some('"' | '\'') => return self.in_quotes(at, end, column),
            Some('|' | '>') if is_block_header(value) => return Some(self.block_end(next, column)),
            _ if self.begins_wrongly(value) || has_colon(value) => self.needs_quotes(whole),
            _ => self.flows_on = true,
        }
        Some(next)
    }

    /// A text that YAML takes for something of its own.
    fn needs_quotes(&mut self, whole: Range<usize>) {
        let value = &self.text[whole.clone()];
        let problem = words::needs_quotes(self.origin(whole.clone()), value);
        let filled = fill(whole.len());
        self.found.push(Mistake { problem, repair: Some((whole, filled)) });
    }

    /// A text in quotes that begins at `at`; it may run over lines that are indented further.
    fn in_quotes(&mut self, at: usize, end: usize, column: usize) -> Option<usize> {
        let next = self.after_break(end);
        let quote = self.text.as_bytes()[at];
        let Some(close) = self.close_of(at, column) else {
            let value = without_comment(&self.text[at..end]);
            let whole = at..at + value.len();
            let problem = words::quote_open(self.origin(whole.clone()), value);
            self.found.push(Mistake { problem, repair: Some((whole, fill(value.len()))) });
            return Some(next);
        };
        let end = self.line_end(close);
        let behind = without_comment(&self.text[close + 1..end]).trim();
        if behind.is_empty() || behind.starts_with('#') {
            return Some(self.after_break(end));
        }
        let value = self.text[at..end].trim_end();
        let is_one_line = !self.text[at..close].contains('\n');
        let problem =
            words::quote_inside(self.origin(at..at + value.len()), value, char::from(quote));
        let repair = is_one_line.then(|| (at..at + value.len(), fill(value.len())));
        let goes_on = repair.is_some();
        self.found.push(Mistake { problem, repair });
        goes_on.then(|| self.after_break(end))
    }

    /// The closing mark of the quotes that open at `at`, on this line or on those below that are
    /// indented further than `column`.
    fn close_of(&self, at: usize, column: usize) -> Option<usize> {
        let bytes = self.text.as_bytes();
        let quote = bytes[at];
        let mut next = at + 1;
        while next < bytes.len() {
            match bytes[next] {
                b'\\' if quote == b'"' => next += 1,
                b'\'' if quote == b'\'' && bytes.get(next + 1) == Some(&b'\'') => next += 1,
                found if found == quote => return Some(next),
                b'\n' => {
                    let line = &self.text[next + 1..self.line_end(next + 1)];
                    let content = line.trim_start_matches(' ');
                    if !content.trim().is_empty() && line.len() - content.len() <= column {
                        return None;
                    }
                }
                _ => {}
            }
            next += 1;
        }
        None
    }

    /// Whether a plain text cannot begin so.
    fn begins_wrongly(&self, value: &str) -> bool {
        let mut chars = value.chars();
        let first = chars.next().unwrap_or(' ');
        let is_alone = chars.next().is_none_or(char::is_whitespace);
        match first {
            '@' | '`' | '%' | '!' | '|' | '>' | '}' | ']' | ',' => true,
            '-' | '?' | ':' => is_alone,
            '*' => !self.is_anchor(&value[1..]),
            '&' => !self.is_used(&value[1..]),
            _ => false,
        }
    }

    fn is_anchor(&self, name: &str) -> bool {
        self.has_anchors
            && !name.is_empty()
            && !name.contains([' ', ',', '}', ']'])
            && self.text.contains(&format!("&{name}"))
    }

    fn is_used(&self, value: &str) -> bool {
        let name = value.split_whitespace().next().unwrap_or("");
        !name.is_empty() && self.text.contains(&format!("*{name}"))
    }

    /// Takes a key in `column`; whether it fits the lines above.
    fn take_key(&mut self, start: usize, column: usize) -> bool {
        if self.levels.is_empty() || self.open.is_some_and(|open| column > open) {
            self.levels.push(Level { column, is_list: false });
            return true;
        }
        let level = Level { column, is_list: false };
        self.settle(start, column, level)
    }

    /// Takes a dash in `column`; whether it fits the lines above.
    fn take_dash(&mut self, start: usize, column: usize) -> bool {
        let level = Level { column, is_list: true };
        if self.levels.is_empty()
            || self.open.is_some_and(|open| column >= open && !self.levels.contains(&level))
        {
            self.levels.push(level);
            return true;
        }
        self.settle(start, column, level)
    }

    /// Goes back to a level that is open; a line that fits none of them is told.
    fn settle(&mut self, start: usize, column: usize, level: Level) -> bool {
        if let Some(index) = self.levels.iter().rposition(|other| *other == level) {
            self.levels.truncate(index + 1);
            return true;
        }
        let near = self
            .levels
            .iter()
            .filter(|other| other.is_list == level.is_list)
            .min_by_key(|other| (other.column.abs_diff(column), usize::MAX - other.column));
        let problem = match near {
            Some(near) => {
                words::misplaced(self.origin(start..start + column), " ".repeat(near.column))
            }
            None if level.is_list => {
                let at = start + column;
                let step = dash(&self.text[at..self.line_end(at)]).unwrap_or(1);
                words::spare_dash(self.origin(at..at + step))
            }
            None => return false, // a key below dashes only: it has no place at all
        };
        self.found.push(Mistake { problem, repair: None });
        false
    }

    /// The column in which a line was meant to begin whose indent holds a tab.
    fn column_for(&self, content: &str, next: usize) -> usize {
        let is_dash = dash(content).is_some();
        if let Some(open) = self.open {
            return open + 2;
        }
        let fitting = self.levels.iter().rev().find(|level| level.is_list == is_dash);
        fitting.map_or_else(
            || {
                let line = &self.text[next.min(self.text.len())..];
                line.len() - line.trim_start_matches(' ').len()
            },
            |level| level.column,
        )
    }

    /// Where the lines of a block text end: before the first that is not indented further.
    fn block_end(&self, from: usize, column: usize) -> usize {
        let mut at = from;
        while at < self.text.len() {
            let end = self.line_end(at);
            let line = &self.text[at..end];
            let indent = line.len() - line.trim_start_matches(' ').len();
            if !line.trim().is_empty() && indent <= column {
                break;
            }
            at = self.after_break(end);
        }
        at
    }

    /// The end of the line without its line break; a long line is measured once.
    fn line_end(&self, at: usize) -> usize {
        let (from, to) = self.measured.get();
        if from <= at && at <= to {
            return to;
        }
        let end = self.measure(at);
        self.measured.set((at, end));
        end
    }

    fn measure(&self, at: usize) -> usize {
        let end = self.text[at..].find('\n').map_or(self.text.len(), |length| at + length);
        if end > at && self.text.as_bytes()[end - 1] == b'\r' { end - 1 } else { end }
    }

    fn after_break(&self, end: usize) -> usize {
        let rest = &self.text[end..];
        let length = if rest.starts_with("\r\n") { 2 } else { usize::from(!rest.is_empty()) };
        end + length
    }

    fn origin(&self, bytes: Range<usize>) -> Origin {
        Origin::span(self.file, self.base + bytes.start, self.base + bytes.end)
    }
}
