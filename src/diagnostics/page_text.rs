//! The text of one file as it may be shown on a terminal.
//!
//! Three things the stock source of `miette` does not do: columns are counted in characters as an
//! editor counts them, control characters are masked so that a file cannot steer the terminal, and a
//! very long line is shown as a window around the spot. Masking keeps lengths, so spans stay true.

use miette::{MietteError, SourceCode, SourceSpan, SpanContents};

/// Lines longer than this many characters are shown as a window.
const LONG_LINE: usize = 160;
/// Characters shown on either side of the spot in a long line.
const WINDOW: usize = 40;

/// A file's name and masked text.
#[derive(Debug)]
pub(super) struct PageText {
    name: String,
    text: String,
    /// Where each line begins.
    lines: Vec<usize>,
}

/// Line and column as an editor shows them: from 1, in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Position {
    pub(super) line: usize,
    pub(super) column: usize,
}

impl PageText {
    pub(super) fn new(name: &str, text: &str) -> PageText {
        let text = mask(text);
        let breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        let lines = std::iter::once(0).chain(breaks).collect();
        PageText { name: mask(name), text, lines }
    }

    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// Where a byte offset is. An offset inside a character counts as its start.
    pub(super) fn position(&self, offset: usize) -> Position {
        let offset = self.floor(offset);
        let line = self.lines.partition_point(|start| *start <= offset);
        let line_start = self.lines.get(line - 1).copied().unwrap_or(0);
        let mut column = self.text[line_start..offset].chars().count() + 1;
        if line_start == 0 && self.text.starts_with('\u{feff}') && column > 1 {
            column -= 1; // editors hide the byte-order mark
        }
        Position { line, column }
    }

    /// The part of a span that lies on its first line.
    pub(super) fn on_one_line(&self, start: usize, end: usize) -> (usize, usize) {
        let start = self.floor(start);
        let end = self.floor(end).clamp(start, self.line_end(start).max(start));
        (start, end)
    }

    fn floor(&self, offset: usize) -> usize {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    }

    fn line_start(&self, offset: usize) -> usize {
        let line = self.lines.partition_point(|start| *start <= offset);
        self.lines.get(line.saturating_sub(1)).copied().unwrap_or(0)
    }

    /// The end of the line without its line break.
    fn line_end(&self, offset: usize) -> usize {
        let end = self.text[offset..].find('\n').map_or(self.text.len(), |n| offset + n);
        if end > offset && self.text[..end].ends_with('\r') { end - 1 } else { end }
    }

    /// The bytes to show for a spot: whole lines, or a window of a long one.
    fn shown(&self, start: usize, end: usize) -> (usize, usize) {
        let (line_start, line_end) = (self.line_start(start), self.line_end(end.max(start)));
        let is_long = self.text[line_start..line_end].chars().count() > LONG_LINE;
        if !is_long || self.text[start..end].contains('\n') {
            return (line_start, line_end);
        }
        let before = &self.text[line_start..start];
        let from =
            before.char_indices().rev().nth(WINDOW - 1).map_or(line_start, |(i, _)| line_start + i);
        let after = &self.text[end..line_end];
        let to = after.char_indices().nth(WINDOW).map_or(line_end, |(i, _)| end + i);
        (from, to)
    }
}

impl SourceCode for PageText {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        _lines_before: usize,
        _lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let start = self.floor(span.offset());
        let end = self.floor(span.offset() + span.len()).max(start);
        let (from, to) = self.shown(start, end);
        let position = self.position(start);
        Ok(Box::new(Shown {
            data: &self.text.as_bytes()[from..to],
            span: SourceSpan::new(from.into(), to - from),
            name: &self.name,
            line: position.line - 1,
            column: position.column - 1,
            line_count: self.text[from..to].matches('\n').count() + 1,
        }))
    }
}

struct Shown<'a> {
    data: &'a [u8],
    span: SourceSpan,
    name: &'a str,
    line: usize,
    column: usize,
    line_count: usize,
}

impl<'a> SpanContents<'a> for Shown<'a> {
    fn data(&self) -> &'a [u8] {
        self.data
    }
    fn span(&self) -> &SourceSpan {
        &self.span
    }
    fn name(&self) -> Option<&str> {
        Some(self.name)
    }
    fn line(&self) -> usize {
        self.line
    }
    fn column(&self) -> usize {
        self.column
    }
    fn line_count(&self) -> usize {
        self.line_count
    }
}

/// Replaces every character that could steer a terminal by one of the same length in bytes.
///
/// Line breaks stay (a lone carriage return does not), tabs stay.
pub(super) fn mask(text: &str) -> String {
    let mut masked = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(char) = chars.next() {
        masked.push(match char {
            '\n' | '\t' => char,
            '\r' if chars.peek() == Some(&'\n') => char,
            '\0'..='\x1f' | '\x7f' => '?',
            '\u{80}'..='\u{9f}' => '·',
            '\u{61c}' => '·',
            '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
                '\u{fffd}'
            }
            _ => char,
        });
    }
    masked
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn columns_count_characters_and_hide_the_byte_order_mark() {
        let page = PageText::new("a.md", "\u{feff}ab\r\nçéü x\n");
        assert_eq!(page.position(3), Position { line: 1, column: 1 });
        assert_eq!(page.position("\u{feff}ab\r\nçéü ".len()), Position { line: 2, column: 5 });
    }

    proptest! {
        #[test]
        fn masking_keeps_the_length_and_leaves_nothing_that_steers(text in any::<String>()) {
            let masked = mask(&text);
            prop_assert_eq!(masked.len(), text.len());
            prop_assert!(!masked.chars().any(|c| c.is_control() && !"\n\r\t".contains(c)));
        }

        #[test]
        fn any_offset_has_a_position(text in any::<String>(), offset in 0usize..200) {
            let page = PageText::new("a", &text);
            let position = page.position(offset);
            prop_assert!(position.line >= 1 && position.column >= 1);
        }
    }
}
