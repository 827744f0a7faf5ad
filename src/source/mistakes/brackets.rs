//! Mistakes inside `[…]` and `{…}`.

use std::ops::Range;

use crate::source::mistake_words as words;
use crate::source::mistakes::signs::{dash, fill, has_colon, key_end};
use crate::source::mistakes::{Mistake, Scan};

/// Where a scan of brackets stands.
struct Walk {
    /// Next byte.
    at: usize,
    /// Behind the last thing that is neither blank nor comment.
    end: usize,
    /// The brackets that are open: their places.
    stack: Vec<usize>,
    /// Where the last value without quotes began that a comma ended.
    before: Option<usize>,
    /// Whether a key and its colon came before.
    is_value: bool,
    /// Whether something stands since the last comma or opening bracket.
    is_filled: bool,
    /// Whether what stands there is complete, so that a comma has to follow.
    is_ended: bool,
}

impl Scan<'_> {
    /// Scans the brackets that open at `at` behind a key in `column`; gives where the next line begins.
    pub(super) fn in_brackets(&mut self, at: usize, column: usize) -> Option<usize> {
        let mut walk = Walk {
            at,
            end: at,
            stack: Vec::new(),
            before: None,
            is_value: false,
            is_filled: false,
            is_ended: false,
        };
        loop {
            let Some(char) = self.text[walk.at..].chars().next() else {
                return self.unclosed(&walk, walk.at);
            };
            match char {
                ' ' | '\t' | '\r' => walk.at += 1,
                '\n' => {
                    if self.is_outside(walk.at + 1, column) {
                        return self.unclosed(&walk, walk.at);
                    }
                    walk.at += 1;
                }
                '#' if self.is_comment(walk.at) => self.comment(&mut walk),
                '[' | '{' | '"' | '\'' if walk.is_ended => return self.no_comma(&walk),
                '[' | '{' => {
                    walk.stack.push(walk.at);
                    walk.at += 1;
                    (walk.is_value, walk.is_filled, walk.before) = (false, false, None);
                }
                ']' | '}' => {
                    let open = walk.stack.last().map(|open| self.text.as_bytes()[*open]);
                    if open != Some(if char == ']' { b'[' } else { b'{' }) {
                        return self.unclosed(&walk, walk.at);
                    }
                    walk.stack.pop();
                    walk.at += 1;
                    (walk.is_value, walk.is_filled, walk.is_ended) = (false, true, true);
                    walk.before = None;
                    if walk.stack.is_empty() {
                        return self.behind_brackets(at, walk.at);
                    }
                }
                ',' => {
                    if !walk.is_filled {
                        self.spare_comma(walk.at);
                    }
                    walk.at += 1;
                    (walk.is_value, walk.is_filled, walk.is_ended) = (false, false, false);
                }
                ':' if walk.is_ended && !walk.is_value => {
                    walk.at += 1;
                    (walk.is_value, walk.is_ended) = (true, false);
                }
                '"' | '\'' => self.quoted(&mut walk)?,
                _ => self.plain(&mut walk),
            }
            if !char.is_whitespace() && char != '#' {
                walk.end = self.text[..walk.at].trim_end().len().max(walk.end);
            }
        }
    }

    /// Whether the line at `at` cannot belong to brackets behind a key in `column`.
    fn is_outside(&self, at: usize, column: usize) -> bool {
        let line = &self.text[at..self.line_end(at)];
        let content = line.trim_start_matches(' ');
        let indent = line.len() - content.len();
        let is_line = key_end(content).is_some() || dash(content).is_some();
        indent <= column && is_line && !content.is_empty()
    }

    fn is_comment(&self, at: usize) -> bool {
        self.text[..at].ends_with([' ', '\t', '\n'])
    }

    /// A `#`: a comment at the end of the line, or the end of a text that holds one.
    fn comment(&mut self, walk: &mut Walk) {
        let end = self.line_end(walk.at);
        if !self.text[walk.at..end].contains([']', '}']) || !walk.is_value {
            walk.at = end;
            return;
        }
        // The colon is the last thing before the blanks: the text begins with the `#`.
        let whole = walk.at..self.text_end(walk.at);
        self.cut_short(whole.clone());
        walk.at = whole.end;
        (walk.is_filled, walk.is_ended) = (true, true);
    }

    fn cut_short(&mut self, whole: Range<usize>) {
        let value = &self.text[whole.clone()];
        let problem = words::text_cut_short(self.origin(whole.clone()), value);
        let filled = fill(whole.len());
        self.found.push(Mistake { problem, repair: Some((whole, filled)) });
    }

    /// A text without quotes: a key, a value, or an item.
    fn plain(&mut self, walk: &mut Walk) {
        let from = walk.at;
        let rest = &self.text[from..self.line_end(from)];
        walk.is_filled = true;
        if self.begins_wrongly(rest.split([',', '}', ']']).next().unwrap_or(rest)) {
            return self.take_text(walk, from);
        }
        let mut chars = rest.char_indices().peekable();
        while let Some((offset, char)) = chars.next() {
            let at = from + offset;
            let follows = chars.peek().map(|(_, next)| *next);
            match char {
                ',' | ']' | '}' => {
                    walk.at = at;
                    walk.is_ended = true;
                    walk.before = if walk.is_value { Some(from) } else { walk.before };
                    return;
                }
                '[' | '{' => return self.take_text(walk, from),
                ':' if follows.is_none_or(|c| " \t,[]{}".contains(c)) => {
                    if walk.is_value {
                        return self.second_colon(walk, from, at);
                    }
                    walk.before = None;
                    walk.at = at + 1;
                    walk.is_value = true;
                    return;
                }
                '#' if offset > 0 && self.is_comment(at) => {
                    if self.text[at..from + rest.len()].contains([']', '}']) {
                        let whole = from..self.text_end(from);
                        self.cut_short(whole.clone());
                        walk.at = whole.end;
                        walk.is_ended = true;
                    } else {
                        walk.at = at; // a comment, which is passed over as one
                    }
                    return;
                }
                _ => {}
            }
        }
        walk.at = from + rest.len();
    }

    /// `crop: leek did: water`: a comma is missing, if the word is a key elsewhere; otherwise the
    /// colon belongs to the text.
    fn second_colon(&mut self, walk: &mut Walk, from: usize, colon: usize) {
        let text = &self.text[from..colon];
        let word = text.rsplit([' ', ';']).next().unwrap_or(text);
        let value = text[..text.len() - word.len()].trim_end_matches([' ', ';']);
        let key = format!("{word}: ");
        let is_key = !value.is_empty()
            && word.starts_with(|c: char| c.is_ascii_lowercase())
            && self.text.matches(&key).count() > 1;
        if !is_key {
            return self.take_text(walk, from);
        }
        let gap = from + value.len()..colon - word.len();
        let problem = words::comma_before(self.origin(gap.clone()), word);
        let filled = format!(",{}", " ".repeat(gap.len() - 1));
        let repair = (gap, filled);
        self.found.push(Mistake { problem, repair: Some(repair) });
        walk.at = colon + 1;
        walk.is_value = true;
    }

    /// Tells that the text at `from` needs quotes, and goes on behind it.
    fn take_text(&mut self, walk: &mut Walk, from: usize) {
        let whole = from..self.text_end(from).max(from + 1);
        let in_braces = walk.stack.last().is_some_and(|open| self.text.as_bytes()[*open] == b'{');
        // A part behind a comma that is no key goes with the text before that comma.
        let from = match walk.before {
            Some(before)
                if in_braces && !walk.is_value && !has_colon(&self.text[whole.clone()]) =>
            {
                before
            }
            _ => from,
        };
        let whole = from..whole.end;
        self.needs_quotes(whole.clone());
        walk.at = whole.end;
        walk.is_ended = true;
    }

    /// Where a text in braces ends that was meant as one: at a comma behind which a key or nothing
    /// follows, or at a bracket that it did not open.
    fn text_end(&self, from: usize) -> usize {
        let line = &self.text[from..self.line_end(from)];
        let mut depth = 0usize;
        for (at, char) in line.char_indices() {
            match char {
                '[' | '{' => depth += 1,
                ']' | '}' if depth == 0 => return from + line[..at].trim_end().len(),
                ']' | '}' => depth -= 1,
                ',' if depth == 0 => {
                    let rest = &line[at + 1..];
                    let part = rest.split([',', ']', '}']).next().unwrap_or(rest);
                    if has_colon(part) || part.trim().is_empty() {
                        return from + line[..at].trim_end().len();
                    }
                }
                _ => {}
            }
        }
        // The brackets close on no account: take what is up to the first of them.
        let end = line.find([']', '}']).filter(|end| *end > 0).unwrap_or(line.len());
        from + line[..end].trim_end().len()
    }

    /// A text in quotes; nothing if it never ends.
    fn quoted(&mut self, walk: &mut Walk) -> Option<()> {
        let from = walk.at;
        let end = self.line_end(from);
        let quote = char::from(self.text.as_bytes()[from]);
        (walk.is_filled, walk.is_ended) = (true, true);
        let Some(close) = self.close_of(from, 0) else {
            let whole = from..self.text_end(from);
            let problem = words::quote_open(self.origin(whole.clone()), &self.text[whole.clone()]);
            self.found.push(Mistake { problem, repair: Some((whole.clone(), fill(whole.len()))) });
            walk.at = whole.end;
            return Some(());
        };
        let behind = self.text[close + 1..].trim_start_matches([' ', '\t', '\r', '\n']);
        if behind.is_empty() || behind.starts_with([',', ']', '}', ':', '#']) {
            walk.at = close + 1;
            return Some(());
        }
        if close > end {
            // It ran over the line and took in the opening mark of another.
            let whole = from..self.text_end(from);
            let problem = words::quote_open(self.origin(whole.clone()), &self.text[whole.clone()]);
            self.found.push(Mistake { problem, repair: Some((whole.clone(), fill(whole.len()))) });
            walk.at = whole.end;
            return Some(());
        }
        let line = &self.text[close + 1..end];
        let is_last = |at: &usize| {
            line[*at + 1..].trim_start().chars().next().is_none_or(|c| ",]}".contains(c))
        };
        let last = line.match_indices(quote).map(|(at, _)| at).find(is_last);
        let whole = match last {
            Some(last) => from..close + 1 + last + 1,
            None => from..self.text_end(close + 1),
        };
        let value = &self.text[whole.clone()];
        let problem = words::quote_inside(self.origin(whole.clone()), value, quote);
        self.found.push(Mistake { problem, repair: Some((whole.clone(), fill(whole.len()))) });
        walk.at = whole.end;
        Some(())
    }

    /// A comma with nothing before it.
    fn spare_comma(&mut self, at: usize) {
        let problem = words::spare_comma(self.origin(at..at + 1));
        self.found.push(Mistake { problem, repair: Some((at..at + 1, " ".to_owned())) });
    }

    /// Two things of a list side by side.
    fn no_comma(&mut self, walk: &Walk) -> Option<usize> {
        let before = self.text[..walk.at].trim_end().len();
        let at = self.origin(before..walk.at);
        self.found.push(Mistake { problem: words::comma_missing(at), repair: None });
        None
    }

    /// The innermost open bracket is not closed before `at`, where something else follows.
    fn unclosed(&mut self, walk: &Walk, at: usize) -> Option<usize> {
        let Some(open) = walk.stack.last().copied() else {
            let spare = self.origin(at..at + 1);
            let problem = words::spare_bracket(spare, &self.text[at..at + 1]);
            self.found.push(Mistake { problem, repair: None });
            return None;
        };
        let is_closer = self.text[at..].starts_with([']', '}']);
        let closer = |open: &usize| if self.text.as_bytes()[*open] == b'[' { ']' } else { '}' };
        // Before another bracket one is missing; at the end of the line all that are open.
        let missing: String = if is_closer {
            closer(&open).to_string()
        } else {
            walk.stack.iter().rev().map(closer).collect()
        };
        let end = if is_closer { at } else { walk.end };
        let problem = words::bracket_open(
            self.origin(open..open + 1),
            self.origin(end..end),
            &self.text[open..open + 1],
            &missing,
        );
        self.found.push(Mistake { problem, repair: None });
        None
    }

    /// What stands on the line behind the last closing bracket.
    fn behind_brackets(&mut self, open: usize, at: usize) -> Option<usize> {
        let end = self.line_end(at);
        let rest = &self.text[at..end];
        let content = rest.trim_start();
        if content.is_empty() || (content.starts_with('#') && content.len() < rest.len()) {
            return Some(self.after_break(end));
        }
        let from = end - content.len();
        if content.starts_with([']', '}']) {
            let spare = self.origin(from..from + 1);
            if content.starts_with(']') && self.text[open..].starts_with('{') {
                let problem = words::bracket_lacking(spare, self.origin(open..open));
                self.found.push(Mistake { problem, repair: None });
                return None;
            }
            let problem = words::spare_bracket(spare, &content[..1]);
            let repair = Some((from..from + 1, " ".to_owned()));
            self.found.push(Mistake { problem, repair });
            return self.behind_brackets(open, from + 1);
        }
        if self.text[open..at].contains('\n') {
            return None;
        }
        self.needs_quotes(open..open + self.text[open..end].trim_end().len());
        Some(self.after_break(end))
    }
}
