//! The lines `---` around a front matter, and lines that were meant to be one.

use std::ops::Range;

use crate::source::mistakes::signs::key_end;

/// Whether a line, without its line break, is `---`; blanks behind it do not count.
pub(super) fn is_fence(line: &str) -> bool {
    line.trim_end() == "---"
}

/// Whether a line was most likely meant as `---`.
fn is_nearly(line: &str) -> bool {
    let dashes = line.trim();
    let is_long = dashes.len() >= 2 && dashes.chars().all(|c| c == '-');
    let is_other = !dashes.is_empty() && dashes.chars().all(|c| "-—–−_".contains(c));
    (is_long || (is_other && !dashes.starts_with('-')) || is_fence(dashes)) && !is_fence(line)
}

/// The first line that was most likely meant as `---`, if no key stands behind it.
pub(super) fn sloppy(text: &str) -> Option<Range<usize>> {
    lines(text).find(|line| is_nearly(&text[line.clone()]))
}

/// A text whose first line was meant as `---`, with that line and the one that ends the front
/// matter put right; how far it goes in the text as it is, and as it should be.
pub(super) fn put_right(text: &str) -> Option<(usize, String)> {
    let first = lines(text).next().filter(|line| is_nearly(&text[line.clone()]))?;
    let rest = &text[first.end..];
    let close = lines(rest).find(|line| {
        let line = &rest[line.clone()];
        is_fence(line) || is_nearly(line)
    })?;
    let between = &rest[..close.start];
    let has_keys = between.lines().any(|line| key_end(line).is_some());
    has_keys.then(|| (first.end + close.end, format!("---{between}---")))
}

/// Whether keys come first and a line `---` ends them.
pub(super) fn has_keys_and_close(text: &str) -> bool {
    let mut lines = text.lines();
    lines.next().is_some_and(|line| key_end(line).is_some()) && lines.any(is_fence)
}

/// Where the keys of an open front matter end: at the first empty line, or the first that cannot
/// belong to them.
pub(super) fn end_of_keys(text: &str) -> usize {
    lines(text)
        .find(|line| {
            let line = &text[line.clone()];
            let goes_on = line.starts_with([' ', '\t', '-', '#', ']', '}']);
            line.trim().is_empty() || (!goes_on && key_end(line).is_none())
        })
        .map_or(text.len(), |line| line.start)
}

/// Where a second front matter begins in the prose: a line `---`, then a key, and later `---`.
pub(super) fn second(prose: &str) -> Option<Range<usize>> {
    let first = lines(prose).find(|line| !prose[line.clone()].trim().is_empty())?;
    let is_open = is_fence(&prose[first.clone()]);
    let rest = prose[first.end..].trim_start();
    (is_open && has_keys_and_close(rest)).then_some(first)
}

/// The lines of a text without their line breaks.
fn lines(text: &str) -> impl Iterator<Item = Range<usize>> {
    let mut at = 0;
    text.split_inclusive('\n').map(move |line| {
        let start = at;
        at += line.len();
        start..start + line.trim_end_matches(['\n', '\r']).len()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_that_are_nearly_a_fence() {
        for line in ["----", "--", " ---", "—", "–––", "___", "-----  "] {
            assert!(is_nearly(line), "{line}");
        }
        for line in ["---", "--- ", "", "- ", "-", "--x", "* * *"] {
            assert!(!is_nearly(line), "{line}");
        }
    }

    #[test]
    fn keys_end_where_prose_begins() {
        let keys = "date: 2026-02-22\nseen:\n  - a: b\n- c\n";
        for prose in ["\nThey are up.\n", "They are up.\n", ""] {
            assert_eq!(end_of_keys(&format!("{keys}{prose}")), keys.len());
        }
    }
}
