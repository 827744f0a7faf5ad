//! The news feed against RFC 4287: read back with quick-xml's reader into a tree, and the standard's
//! requirements looked at one by one.

use chrono::NaiveDate;
use proptest::prelude::*;
use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};
use trug::render::atom::bytes;
use trug::site::atom::{AtomAbout, AtomEntry, AtomText, AtomView, RepeatedId};
use trug::site::identity::atom_id;

#[derive(Clone, Debug, Default)]
struct Element {
    name: String,
    attributes: Vec<(String, String)>,
    text: String,
    inside: Vec<Element>,
}

impl Element {
    fn all(&self, name: &str) -> impl Iterator<Item = &Element> {
        self.inside.iter().filter(move |element| element.name == name)
    }

    fn one(&self, name: &str) -> &Element {
        let found: Vec<_> = self.inside.iter().filter(|element| element.name == name).collect();
        assert_eq!(found.len(), 1, "{name} in {}", self.name);
        found[0]
    }

    fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(own, _)| own == name).map(|(_, value)| value.as_str())
    }
}

/// The root element. Panics where the file is not well-formed.
fn read(bytes: &[u8]) -> Element {
    let text = std::str::from_utf8(bytes).unwrap();
    let mut reader = Reader::from_str(text);
    let mut open = vec![Element::default()];
    loop {
        match reader.read_event().unwrap() {
            Event::Start(start) => open.push(element(&start)),
            Event::Empty(start) => open.last_mut().unwrap().inside.push(element(&start)),
            Event::End(_) => {
                let done = open.pop().unwrap();
                open.last_mut().unwrap().inside.push(done);
            }
            Event::Text(words) => open.last_mut().unwrap().text.push_str(&words.xml10_content()),
            Event::GeneralRef(name) => {
                let entity = format!("&{};", name.as_ref());
                open.last_mut()
                    .unwrap()
                    .text
                    .push_str(&quick_xml::escape::unescape(&entity).unwrap());
            }
            Event::Decl(declaration) => {
                assert_eq!(declaration.encoding().unwrap().unwrap().as_ref(), "utf-8")
            }
            Event::Eof => break,
            other => panic!("unexpected in a feed: {other:?}"),
        }
    }
    assert_eq!(open.len(), 1, "an element is not closed");
    let mut roots = open.remove(0).inside;
    assert_eq!(roots.len(), 1);
    roots.remove(0)
}

fn element(start: &BytesStart<'_>) -> Element {
    let attributes = start.attributes().map(|attribute| {
        let attribute = attribute.unwrap();
        let key = attribute.key.as_ref().to_string();
        (key, attribute.normalized_value(XmlVersion::Implicit1_0).unwrap().into_owned())
    });
    let name = start.name().as_ref().to_string();
    Element { name, attributes: attributes.collect(), ..Element::default() }
}

fn day(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 9, day).unwrap()
}

fn about(site: Option<&str>) -> AtomAbout {
    AtomAbout {
        title: "Ferry garden & quay".into(),
        id: atom_id(&["ferry garden", "journal"]),
        author: "Ferry garden".into(),
        language: Some("en".into()),
        site: site.map(String::from),
        file: "journal.xml".into(),
        page: "journal/".into(),
        begun: day(1),
    }
}

fn entry(name: &str, published: u32, updated: u32) -> AtomEntry {
    AtomEntry {
        id: atom_id(&["ferry garden", "journal", name]),
        title: format!("{name}: <b>first</b> cardoon"),
        href: format!("journal/{name}/"),
        published: day(published),
        updated: day(updated),
        summary: Some(AtomText::Plain("Cut at a < b.".into())),
        content: Some(AtomText::Html(
            "<p>See <a href=\"../../crops/cardoon/\">cardoon</a> &amp; more.</p>".into(),
        )),
    }
}

fn feed(site: Option<&str>) -> Element {
    let entries = vec![entry("older", 4, 4), entry("mended", 2, 9), entry("newer", 7, 7)];
    read(&bytes(&AtomView::new(about(site), entries).unwrap()))
}

/// An RFC 3339 instant, as section 3.3 wants it, with the capital T and Z.
fn is_instant(text: &str) -> bool {
    text.len() == 20 && text.ends_with('Z') && chrono::DateTime::parse_from_rfc3339(text).is_ok()
}

/// Section 4.1.1: exactly one title, id and updated; an author, unless every entry has one; at most
/// one alternate link of a kind; a self link (a SHOULD); at most one generator. Section 2: the namespace.
#[test]
fn a_feed_has_what_the_standard_requires() {
    let feed = feed(None);
    assert_eq!(
        (feed.name.as_str(), feed.attribute("xmlns")),
        ("feed", Some("http://www.w3.org/2005/Atom"))
    );
    assert_eq!(feed.attribute("xml:lang"), Some("en"));
    assert_eq!(feed.one("title").text, "Ferry garden & quay");
    assert!(feed.one("id").text.starts_with("urn:uuid:"), "4.2.6: an absolute IRI");
    assert!(is_instant(&feed.one("updated").text));
    assert_eq!(feed.one("author").one("name").text, "Ferry garden", "3.2.1: exactly one name");
    let relations: Vec<_> = feed.all("link").map(|link| link.attribute("rel").unwrap()).collect();
    assert_eq!(relations, ["self", "alternate"]);
    assert_eq!(feed.one("generator").text, "trug");
}

/// Section 4.1.2: exactly one id, title and updated, at most one published, summary and content, an
/// alternate link unless there is content. Section 4.2.7: a link has an href.
#[test]
fn an_entry_has_what_the_standard_requires() {
    let feed = feed(None);
    let entries: Vec<_> = feed.all("entry").collect();
    assert_eq!(entries.len(), 3);
    for entry in entries {
        assert!(entry.one("id").text.starts_with("urn:uuid:"));
        assert!(
            entry.one("title").text.ends_with(": <b>first</b> cardoon"),
            "plain text, not markup"
        );
        assert_eq!(entry.one("title").attribute("type"), None, "3.1.1: text if not said otherwise");
        assert!(is_instant(&entry.one("updated").text) && is_instant(&entry.one("published").text));
        assert_eq!(entry.one("link").attribute("rel"), Some("alternate"));
        assert!(entry.one("link").attribute("href").unwrap().starts_with("journal/"));
        assert_eq!(entry.one("summary").attribute("type"), Some("text"));
        assert_eq!(entry.one("summary").text, "Cut at a < b.");
        // 3.1.1.2: HTML stands escaped, with no element inside.
        assert_eq!(entry.one("content").attribute("type"), Some("html"));
        assert!(entry.one("content").inside.is_empty());
        assert!(entry.one("content").text.ends_with("cardoon</a> &amp; more.</p>"));
    }
}

#[test]
fn entries_stand_newest_first_and_date_the_feed() {
    let feed = feed(None);
    let days: Vec<_> = feed.all("entry").map(|entry| entry.one("updated").text.as_str()).collect();
    assert_eq!(days, ["2026-09-09T00:00:00Z", "2026-09-07T00:00:00Z", "2026-09-04T00:00:00Z"]);
    assert_eq!(feed.one("updated").text, days[0]);
    assert_eq!(feed.all("entry").next().unwrap().one("published").text, "2026-09-02T00:00:00Z");
}

#[test]
fn addresses_are_absolute_only_with_a_site() {
    let links = |element: &Element| -> Vec<String> {
        element.all("link").map(|link| link.attribute("href").unwrap().to_string()).collect()
    };
    let (here, there) = (feed(None), feed(Some("https://example.org/ferry")));
    assert_eq!(links(&here), ["journal.xml", "journal/"]);
    assert_eq!(
        links(&there),
        ["https://example.org/ferry/journal.xml", "https://example.org/ferry/journal/"]
    );
    let first = |feed: &Element| feed.all("entry").next().unwrap().clone();
    assert_eq!(links(&first(&here)), ["journal/mended/"]);
    assert_eq!(links(&first(&there)), ["https://example.org/ferry/journal/mended/"]);
    // The base of links inside the HTML is the entry's page (section 2, xml:base).
    assert_eq!(first(&here).one("content").attribute("xml:base"), Some("journal/mended/"));
    assert_eq!(
        first(&there).one("content").attribute("xml:base"),
        Some("https://example.org/ferry/journal/mended/")
    );
}

#[test]
fn an_empty_journal_is_a_feed_and_a_repeated_id_is_none() {
    let empty = read(&bytes(&AtomView::new(about(None), vec![]).unwrap()));
    assert_eq!(empty.one("updated").text, "2026-09-01T00:00:00Z");
    assert_eq!(empty.all("entry").count(), 0);
    let twice =
        AtomView::new(about(None), vec![entry("a", 1, 1), entry("b", 2, 2), entry("a", 3, 3)]);
    assert_eq!(twice, Err(RepeatedId(atom_id(&["ferry garden", "journal", "a"]))));
}

/// What XML 1.0 can hold of a text: line ends as LF, production Char of section 2.2, and none of the
/// C1 controls it merely discourages.
fn holdable(text: &str) -> String {
    let lines = text.replace("\r\n", "\n").replace(['\r', '\u{85}', '\u{2028}', '\u{2029}'], "\n");
    let discouraged = |c: char| matches!(c, '\u{7f}'..='\u{9f}');
    let char_of_xml = |c: char| matches!(c, '\t' | '\n' | '\u{20}'..='\u{fffd}' | '\u{10000}'..);
    lines.chars().filter(|c| char_of_xml(*c) && !discouraged(*c)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_comes_back(
        title in prop_oneof![any::<String>(), "[<>&\"'\\]a \u{0}-\u{1f}\u{7f}-\u{9f}\u{2028}\u{fffd}-\u{ffff}🥕]{0,30}"],
        content in prop_oneof![any::<String>(), "(]]>|<!--|-->|<[?]|&#0;|&amp;|<p>|\r\n|\r){0,12}"],
        plain in any::<bool>(),
    ) {
        let text = if plain { AtomText::Plain(content.clone()) } else { AtomText::Html(content.clone()) };
        let entry = AtomEntry { title: title.clone(), content: Some(text), ..entry("any", 3, 3) };
        let about = AtomAbout { title: title.clone(), author: title.clone(), language: Some(title.clone()), ..about(None) };
        let feed = read(&bytes(&AtomView::new(about, vec![entry]).unwrap()));
        prop_assert_eq!(&feed.one("title").text, &holdable(&title));
        prop_assert_eq!(&feed.one("author").one("name").text, &holdable(&title));
        prop_assert_eq!(&feed.one("entry").one("title").text, &holdable(&title));
        prop_assert_eq!(&feed.one("entry").one("content").text, &holdable(&content));
    }
}
