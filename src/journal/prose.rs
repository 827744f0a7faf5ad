//! The links `[[…]]` in an entry's prose, with their places.

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use crate::link_target::{Target, brackets};
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
