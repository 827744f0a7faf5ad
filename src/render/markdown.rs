//! Prose in Markdown to clean HTML.

use std::collections::HashSet;

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd, html};

/// The same flavour that links are looked for in.
const MARKDOWN: Options = Options::ENABLE_TABLES
    .union(Options::ENABLE_STRIKETHROUGH)
    .union(Options::ENABLE_FOOTNOTES)
    .union(Options::ENABLE_SMART_PUNCTUATION);

/// HTML of a text, without scripts, styles, frames or pictures from elsewhere; headings one level
/// down, because the page has its own.
pub fn to_html(markdown: &str) -> String {
    let events = Parser::new_ext(markdown, MARKDOWN).map(|event| match event {
        Event::Start(Tag::Heading { level, id, classes, attrs }) => {
            Event::Start(Tag::Heading { level: lower(level), id, classes, attrs })
        }
        Event::End(TagEnd::Heading(level)) => Event::End(TagEnd::Heading(lower(level))),
        other => other,
    });
    let mut raw = String::with_capacity(markdown.len() * 3 / 2);
    html::push_html(&mut raw, events);
    cleaner().clean(&raw).to_string()
}

/// Only what prose needs. A picture from elsewhere would ask another host, so its tag goes.
fn cleaner() -> ammonia::Builder<'static> {
    let mut cleaner = ammonia::Builder::default();
    cleaner
        .rm_tags(["img", "map", "area"])
        .url_schemes(HashSet::from(["http", "https", "mailto", "tel"]))
        .url_relative(ammonia::UrlRelative::PassThrough)
        .id_prefix(Some("text-"));
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prose_stays_and_danger_goes() {
        let html = to_html(
            "# Up\n\n*Yes* <script>alert(1)</script><img src=https://elsewhere.example/x.png>\n\n[x](javascript:alert(1)) [y](../a/index.html)",
        );
        assert!(html.contains("<h2>Up</h2>") && html.contains("<em>Yes</em>"), "{html}");
        assert!(html.contains("href=\"../a/index.html\""), "{html}");
        for danger in ["script", "elsewhere", "javascript"] {
            assert!(!html.contains(danger), "{html}");
        }
    }
}
