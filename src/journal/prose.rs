//! The links `[[…]]` in an entry's prose, with their places.

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use crate::origin::{FileId, Origin};

/// The flavour of Markdown that entries are written in.
pub const MARKDOWN: Options = Options::ENABLE_TABLES
    .union(Options::ENABLE_STRIKETHROUGH)
    .union(Options::ENABLE_FOOTNOTES)
    .union(Options::ENABLE_SMART_PUNCTUATION);

/// A link `[[target]]`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// From the first bracket to the last.
    pub at: Origin,
    /// What it points at.
    pub target: Target,
}

/// What a link points at.
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

/// The links in a prose that starts at byte `start` of its file. Code is left alone.
pub(super) fn links(file: FileId, prose: &str, start: usize) -> Vec<Link> {
    let mut links = Vec::new();
    let mut in_code = false;
    for (event, range) in Parser::new_ext(prose, MARKDOWN).into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(_)) => in_code = true,
            Event::End(TagEnd::CodeBlock) => in_code = false,
            Event::Start(Tag::Paragraph | Tag::Heading { .. } | Tag::Item | Tag::TableCell)
                if !in_code =>
            {
                for (from, to, inside) in brackets(&prose[range.clone()]) {
                    let at =
                        Origin::span(file, start + range.start + from, start + range.start + to);
                    links.push(Link { at, target: Target::read(inside) });
                }
            }
            _ => {}
        }
    }
    // An item holds its paragraphs, so a link can be met twice.
    links.sort_by_key(|link| link.at.reading_order());
    links.dedup();
    links
}

/// Every `[[inside]]` of a text: its bytes, and what stands inside. Code spans are passed over.
pub fn brackets(text: &str) -> Vec<(usize, usize, &str)> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find("[[").map(|offset| at + offset) {
        let is_in_code = text[..open].matches('`').count() % 2 == 1;
        let inside = text[open + 2..].split(['\n', '[', ']']).next().unwrap_or("");
        let close = open + 2 + inside.len();
        if text[close..].starts_with("]]") && !inside.trim().is_empty() && !is_in_code {
            found.push((open, close + 2, inside));
        }
        at = open + 2;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn links_are_found_with_their_bytes_but_not_in_code() {
        let prose =
            "Über [[tom-26]] and `[[not]]`.\n\n- see [[crop:leek]]\n\n```\n[[nor this]]\n```\n";
        let found = links(FileId(0), prose, 100);
        let texts: Vec<_> = found
            .iter()
            .map(|link| {
                let range = link.at.range().unwrap();
                &prose[range.start - 100..range.end - 100]
            })
            .collect();
        assert_eq!(texts, ["[[tom-26]]", "[[crop:leek]]"]);
        assert_eq!(found[1].target, Target::Crop("leek".to_owned()));
    }
}
