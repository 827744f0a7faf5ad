//! What a link `[[…]]` in prose points at, and how links are found in a text.
//!
//! The reader of the journal checks them, the pages fill them in; both have to see the same links.

use std::ops::Range;

/// What a link points at, by the name that stands in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// `[[cayenne-26]]`
    Planting(String),
    /// `[[crop:leek]]`
    Crop(String),
    /// `[[place:roof-pots]]`
    Place(String),
}

impl Target {
    /// Reads what stands between the brackets.
    pub fn read(inside: &str) -> Target {
        match inside.split_once(':') {
            Some(("crop", name)) => Target::Crop(name.trim().to_owned()),
            Some(("place", name)) => Target::Place(name.trim().to_owned()),
            _ => Target::Planting(inside.trim().to_owned()),
        }
    }
}

/// Every `[[inside]]` of a text: its bytes, and what stands inside. Code is passed over.
pub fn brackets(text: &str) -> Vec<(usize, usize, &str)> {
    let mut found = Vec::new();
    for block in blocks(text) {
        let code = code_spans(&text[block.clone()]);
        let mut at = block.start;
        while let Some(open) = text[at..block.end].find("[[").map(|offset| at + offset) {
            let is_in_code = code.iter().any(|span| span.contains(&(open - block.start)));
            let inside = text[open + 2..].split(['\n', '[', ']']).next().unwrap_or("");
            let close = open + 2 + inside.len();
            if text[close..].starts_with("]]") && !inside.trim().is_empty() && !is_in_code {
                found.push((open, close + 2, inside));
            }
            at = open + 2;
        }
    }
    found
}

/// Paragraphs, headings, items and rows, as bytes; what is fenced as code is in none. A code span ends with its block.
fn blocks(text: &str) -> Vec<Range<usize>> {
    let mut blocks: Vec<Range<usize>> = Vec::new();
    let (mut fence, mut is_open, mut at) = (None, false, 0);
    for line in text.split_inclusive('\n') {
        let (from, trimmed) = (at, line.trim_start());
        at += line.len();
        let ticks = ["```", "~~~"].into_iter().find(|ticks| trimmed.starts_with(ticks));
        match (fence, ticks) {
            (Some(open), Some(ticks)) if open == ticks => fence = None,
            (None, Some(ticks)) if !trimmed[3..].contains('`') => fence = Some(ticks),
            (None, _) if !trimmed.is_empty() => {
                match blocks.last_mut().filter(|_| is_open && !begins_block(trimmed)) {
                    Some(block) => block.end = at,
                    None => blocks.push(from..at),
                }
                is_open = true;
                continue;
            }
            _ => {}
        }
        is_open = false;
    }
    blocks
}

fn begins_block(line: &str) -> bool {
    let number = line.trim_start_matches(|sign: char| sign.is_ascii_digit());
    let is_numbered = number.len() < line.len() && number.starts_with([')', '.']);
    is_numbered
        || line.starts_with(['#', '|', '>'])
        || ["- ", "* ", "+ "].iter().any(|sign| line.starts_with(sign))
}

/// From one run of backticks to the next that is as long; one that stays alone is a backtick.
fn code_spans(block: &str) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for (at, _) in block.match_indices('`') {
        match runs.last_mut().filter(|run| run.end == at) {
            Some(run) => run.end += 1,
            None => runs.push(at..at + 1),
        }
    }
    let mut spans = Vec::new();
    let mut rest = runs.as_slice();
    while let Some((open, behind)) = rest.split_first() {
        let close = behind.iter().position(|run| run.len() == open.len());
        rest = match close {
            Some(close) => {
                spans.push(open.start..behind[close].end);
                &behind[close + 1..]
            }
            None => behind,
        };
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: CommonMark 0.31.2, sections 4.5 (fenced code) and 6.1 (code spans).
    #[test]
    fn a_backtick_that_stays_alone_hides_no_link() {
        let found = |text| -> Vec<String> {
            brackets(text).into_iter().map(|(_, _, inside)| inside.to_owned()).collect()
        };
        assert_eq!(found("A lone ` here [[a]].\n\nAnd [[b]].\n"), ["a", "b"]);
        assert_eq!(found("- one ` [[a]]\n- two ` [[b]]\n"), ["a", "b"]);
        assert_eq!(found("`[[a]]` and ``x ` [[b]]`` and [[c]]"), ["c"]);
        assert_eq!(found("```\n[[a]]\n\n[[b]]\n```\n[[c]] `\nover `[[d]]\n"), ["c", "d"]);
        assert_eq!(found("It`s [[a]]\n\n~~~\n`[[b]]\n~~~\n\n[[c]]`"), ["a", "c"]);
    }
}
