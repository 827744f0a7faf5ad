//! Prose in Markdown to clean HTML.

use std::collections::{HashMap, HashSet};

use pulldown_cmark::{CowStr, Event, HeadingLevel, Options, Parser, Tag, TagEnd, html};

use crate::names;
use crate::render::plain_text::plain;

/// The same flavour that links are looked for in.
const MARKDOWN: Options = Options::ENABLE_TABLES
    .union(Options::ENABLE_STRIKETHROUGH)
    .union(Options::ENABLE_FOOTNOTES)
    .union(Options::ENABLE_SMART_PUNCTUATION);

/// HTML of a text, without scripts, styles, frames or pictures from elsewhere; headings one level
/// down, because the page has its own. `owner` tells its footnotes from those of other texts on the page.
pub fn to_html(markdown: &str, owner: &str) -> String {
    let text = plain(markdown);
    let mut notes = Footnotes { owner: names::slug(owner), numbers: HashMap::new() };
    let events = Parser::new_ext(&text, MARKDOWN).map(|event| match event {
        Event::Start(Tag::Heading { level, id, classes, attrs }) => {
            Event::Start(Tag::Heading { level: lower(level), id, classes, attrs })
        }
        Event::End(TagEnd::Heading(level)) => Event::End(TagEnd::Heading(lower(level))),
        Event::FootnoteReference(label) => Event::InlineHtml(notes.reference(label).into()),
        Event::Start(Tag::FootnoteDefinition(label)) => Event::Html(notes.begin(label).into()),
        Event::End(TagEnd::FootnoteDefinition) => Event::Html("</div>\n".into()),
        other => other,
    });
    let mut raw = String::with_capacity(text.len() * 3 / 2);
    html::push_html(&mut raw, events);
    cleaner().clean(&raw).to_string()
}

/// The footnotes of a text, numbered in the order in which they are met.
struct Footnotes<'a> {
    owner: String,
    numbers: HashMap<CowStr<'a>, usize>,
}

impl<'a> Footnotes<'a> {
    fn number(&mut self, label: CowStr<'a>) -> usize {
        let next = self.numbers.len() + 1;
        *self.numbers.entry(label).or_insert(next)
    }

    fn reference(&mut self, label: CowStr<'a>) -> String {
        let (number, owner) = (self.number(label), &self.owner);
        format!("<sup><a href=\"#{ID_PREFIX}note-{owner}-{number}\">{number}</a></sup>")
    }

    /// The prefix is put before its id by the cleaner.
    fn begin(&mut self, label: CowStr<'a>) -> String {
        let (number, owner) = (self.number(label), &self.owner);
        format!("<div id=\"note-{owner}-{number}\"><sup>{number}</sup> ")
    }
}

/// Before every id in a text, so that none is one of the page's own.
const ID_PREFIX: &str = "text-";

/// Only what prose needs. A picture from elsewhere would ask another host, so its tag goes.
fn cleaner() -> ammonia::Builder<'static> {
    let mut cleaner = ammonia::Builder::default();
    cleaner
        .rm_tags(["img", "map", "area"])
        .add_tag_attributes("div", ["id"])
        .url_schemes(HashSet::from(["http", "https", "mailto", "tel"]))
        .url_relative(ammonia::UrlRelative::PassThrough)
        .id_prefix(Some(ID_PREFIX));
    cleaner
}

fn lower(level: HeadingLevel) -> HeadingLevel {
    match level {
        HeadingLevel::H1 => HeadingLevel::H2,
        HeadingLevel::H2 => HeadingLevel::H3,
        HeadingLevel::H3 => HeadingLevel::H4,
        HeadingLevel::H4 => HeadingLevel::H5,
        HeadingLevel::H5 | HeadingLevel::H6 => HeadingLevel::H6,
    }
}

/// How long a text is that other programs show beside a link: more is cut off by most.
const GIST: usize = 160;

/// The beginning of a text without its markup, in one line, cut between words.
pub fn gist(markdown: &str) -> String {
    let markdown = plain(markdown);
    let mut text = String::new();
    for event in Parser::new_ext(&markdown, MARKDOWN) {
        match event {
            Event::Text(part) | Event::Code(part) => text.push_str(&part),
            Event::End(TagEnd::Emphasis | TagEnd::Strong | TagEnd::Link) => {}
            Event::SoftBreak | Event::HardBreak | Event::End(_) => text.push(' '),
            _ => {}
        }
    }
    let mut gist = String::new();
    for word in text.split_whitespace() {
        if gist.chars().count() + word.chars().count() > GIST {
            return gist + " …";
        }
        gist.extend((!gist.is_empty()).then_some(' '));
        gist.push_str(word);
    }
    gist
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gist_is_plain_and_ends_between_words() {
        assert_eq!(gist("The *first*\n[peas](x.html).\n\n- Hot"), "The first peas. Hot");
        let long = gist(&"word ".repeat(90));
        assert!(long.ends_with("word …") && long.chars().count() <= GIST + 2, "{long}");
    }

    #[test]
    fn prose_stays_and_danger_goes() {
        let html = to_html(
            "# Up\n\n*Yes* <script>alert(1)</script><img src=https://elsewhere.example/x.png>\n\n[x](javascript:alert(1)) [y](../a/index.html)",
            "",
        );
        assert!(html.contains("<h2>Up</h2>") && html.contains("<em>Yes</em>"), "{html}");
        assert!(html.contains("href=\"../a/index.html\""), "{html}");
        for danger in ["script", "elsewhere", "javascript"] {
            assert!(!html.contains(danger), "{html}");
        }
    }

    #[test]
    fn the_number_of_a_footnote_leads_to_it_and_to_that_of_no_other_text() {
        let text = "Netted early.[^moth] And again.[^2] See the moth.[^moth]\n\n[^2]: On 4 June.\n\n[^moth]: Codling moth.\n";
        let html = to_html(text, "2026/06/04 Nets");
        assert_eq!(html.matches("<a href=\"#text-note-2026-06-04-nets-1\"").count(), 2, "{html}");
        assert_eq!(html.matches("<div id=\"text-note-2026-06-04-nets-1\"").count(), 1, "{html}");
        assert!(html.contains("<div id=\"text-note-2026-06-04-nets-2\"><sup>2</sup>"), "{html}");
        assert!(html.contains("Codling moth.</p>\n</div>"), "{html}");
    }

    #[test]
    fn what_is_meant_for_machines_goes() {
        assert_eq!(to_html("a\0b\u{1b}[2Jc\u{9b}d", ""), "<p>ab[2Jcd</p>\n");
    }
}
