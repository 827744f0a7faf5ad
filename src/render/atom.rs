//! The journal as an Atom feed (RFC 4287): bytes from a view.

use chrono::NaiveDate;

use crate::render::uri::on_site;
use crate::render::xml::XmlFile;
use crate::site::atom::{AtomEntry, AtomText, AtomView};

/// The feed's file. Without a site address its links are relative, which RFC 4287 allows wherever it
/// wants an IRI reference; `xml:base` on a text says from where its own links are counted.
///
/// Characters that XML 1.0 cannot hold are dropped, and every line end becomes LF.
pub fn bytes(feed: &AtomView) -> Vec<u8> {
    let about = &feed.about;
    let site = about.site.as_deref();
    let mut file = XmlFile::begin();
    let mut attributes = vec![("xmlns", "http://www.w3.org/2005/Atom")];
    attributes.extend(about.language.as_deref().map(|language| ("xml:lang", language)));
    file.open("feed", &attributes);
    file.text("title", &[], &about.title);
    file.text("id", &[], &about.id);
    file.text("updated", &[], &midnight(feed.updated()));
    file.open("author", &[]);
    file.text("name", &[], &about.author);
    file.close("author");
    let (own, page) = (on_site(site, &about.file), on_site(site, &about.page));
    file.empty("link", &[("rel", "self"), ("type", "application/atom+xml"), ("href", &own)]);
    file.empty("link", &[("rel", "alternate"), ("type", "text/html"), ("href", &page)]);
    file.text("generator", &[], "trug");
    for entry in feed.entries() {
        write_entry(&mut file, site, entry);
    }
    file.close("feed");
    file.end()
}

fn write_entry(file: &mut XmlFile, site: Option<&str>, entry: &AtomEntry) {
    let href = on_site(site, &entry.href);
    file.open("entry", &[]);
    file.text("title", &[], &entry.title);
    file.text("id", &[], &entry.id);
    file.empty("link", &[("rel", "alternate"), ("type", "text/html"), ("href", &href)]);
    file.text("published", &[], &midnight(entry.published));
    file.text("updated", &[], &midnight(entry.updated));
    for (name, text) in [("summary", &entry.summary), ("content", &entry.content)] {
        match text {
            Some(AtomText::Plain(words)) => file.text(name, &[("type", "text")], words),
            Some(AtomText::Html(html)) => {
                file.text(name, &[("type", "html"), ("xml:base", &href)], html)
            }
            None => {}
        }
    }
    file.close("entry");
}

/// A journal knows days, Atom wants an instant (RFC 4287 section 3.3): midnight, in universal time.
fn midnight(day: NaiveDate) -> String {
    format!("{}T00:00:00Z", day.format("%Y-%m-%d"))
}
