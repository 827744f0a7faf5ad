//! A stretch of text that can be cut up and still knows where each part of it stands.

use crate::diagnostics::words;
use crate::origin::{Origin, Written};
use crate::source::front_matter::{Node, Value};

/// One value, or a part of one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Phrase<'a> {
    pub(super) text: &'a str,
    at: Origin,
    /// Whether the text is in the file as it is here; in quotes it may not be.
    is_literal: bool,
}

impl<'a> Phrase<'a> {
    pub(super) fn of_node(node: &'a Node) -> Option<Phrase<'a>> {
        let Value::Text(text) = &node.value else { return None };
        Some(Phrase::new(&text.text, node.at, text.quoted))
    }

    pub(super) fn of_key(key: &'a Written<String>) -> Phrase<'a> {
        Phrase::new(&key.value, key.at, false)
    }

    fn new(text: &'a str, at: Origin, is_quoted: bool) -> Phrase<'a> {
        // In quotes without escapes the text stands one byte further on.
        let margin = usize::from(is_quoted);
        let is_literal = at.range().is_some_and(|range| range.len() == text.len() + 2 * margin);
        let at = match (at, is_literal) {
            (Origin::Span(file, span), true) => {
                Origin::span(file, span.start as usize + margin, span.end as usize - margin)
            }
            _ => at,
        };
        Phrase { text, at, is_literal }.part(0, text.len())
    }

    /// The bytes `from..to` of it, without white space or a phone's quotation marks at the ends.
    fn part(self, from: usize, to: usize) -> Phrase<'a> {
        let piece = &self.text[from..to];
        let text = words::between_curly(piece.trim()).unwrap_or(piece.trim());
        let start = from + (text.as_ptr() as usize - piece.as_ptr() as usize);
        let at = match (self.at, self.is_literal) {
            (Origin::Span(file, span), true) => {
                let start = span.start as usize + start;
                Origin::span(file, start, start + text.len())
            }
            _ => self.at,
        };
        Phrase { text, at, is_literal: self.is_literal }
    }

    pub(super) fn written(self) -> Written<String> {
        Written::new(self.text.to_owned(), self.at)
    }

    /// Cut at its commas; one between two digits is a decimal comma and is left in.
    pub(super) fn at_commas(self) -> Vec<Phrase<'a>> {
        let bytes = self.text.as_bytes();
        let is_digit =
            |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
        let commas = self.text.match_indices(',').map(|(at, _)| at);
        let cuts = commas.filter(|at| !(is_digit(at.checked_sub(1)) && is_digit(Some(at + 1))));
        let mut parts = Vec::new();
        let mut from = 0;
        for cut in cuts.chain([self.text.len()]) {
            parts.push(self.part(from, cut));
            from = cut + 1;
        }
        parts
    }

    /// What stands before the first of these words, and what stands behind each of them.
    pub(super) fn around<'w>(self, words: &[&'w str]) -> (Phrase<'a>, Vec<(&'w str, Phrase<'a>)>) {
        let mut found: Vec<(&'w str, usize, usize)> = Vec::new();
        for (start, word) in self.words() {
            let known = words.iter().find(|known| known.eq_ignore_ascii_case(word));
            found.extend(known.map(|known| (*known, start, start + word.len())));
        }
        let head = self.part(0, found.first().map_or(self.text.len(), |(_, start, _)| *start));
        let end =
            |index: usize| found.get(index + 1).map_or(self.text.len(), |(_, start, _)| *start);
        let tails = found.iter().enumerate();
        let tails = tails.map(|(index, (word, _, from))| (*word, self.part(*from, end(index))));
        (head, tails.collect())
    }

    /// Every way to cut it in two between words, the longest second part first; the first may be empty.
    pub(super) fn in_two(self) -> impl Iterator<Item = (Phrase<'a>, Phrase<'a>)> {
        let starts: Vec<usize> = self.words().map(|(start, _)| start).collect();
        let end = self.text.len();
        starts.into_iter().map(move |start| (self.part(0, start), self.part(start, end)))
    }

    /// The same without this word at its end.
    pub(super) fn without_last(self, word: &str) -> Option<Phrase<'a>> {
        let (start, last) = self.words().last()?;
        last.eq_ignore_ascii_case(word).then(|| self.part(0, start))
    }

    fn words(self) -> impl Iterator<Item = (usize, &'a str)> {
        let mut from = 0;
        self.text.split_whitespace().map(move |word| {
            let start = from + self.text[from..].find(word).unwrap_or(0);
            from = start + word.len();
            (start, word)
        })
    }
}
