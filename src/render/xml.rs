//! The skeleton that Atom and the sitemap share: quick-xml's writer, and text that XML can hold.

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

use crate::render::plain_text::plain;

/// An XML file in the making: UTF-8, LF at line ends, indented by two spaces.
pub(crate) struct XmlFile(Writer<Vec<u8>>);

/// Names and values, in the order in which they are written.
pub(crate) type Attributes<'a> = &'a [(&'a str, &'a str)];

impl XmlFile {
    /// A file that holds the XML declaration so far.
    pub(crate) fn begin() -> XmlFile {
        let mut file = XmlFile(Writer::new_with_indent(Vec::new(), b' ', 2));
        file.write(Event::Decl(BytesDecl::new("1.0", Some("utf-8"), None)));
        file
    }

    /// `<name …>`: an element that will hold others, until [`XmlFile::close`].
    pub(crate) fn open(&mut self, name: &str, attributes: Attributes<'_>) {
        self.write(Event::Start(start(name, attributes)));
    }

    /// `</name>`.
    pub(crate) fn close(&mut self, name: &str) {
        self.write(Event::End(BytesEnd::new(name)));
    }

    /// `<name …>words</name>`.
    pub(crate) fn text(&mut self, name: &str, attributes: Attributes<'_>, words: &str) {
        self.open(name, attributes);
        self.write(Event::Text(BytesText::new(&holdable(words))));
        self.close(name);
    }

    /// `<name …/>`.
    pub(crate) fn empty(&mut self, name: &str, attributes: Attributes<'_>) {
        self.write(Event::Empty(start(name, attributes)));
    }

    /// The whole file.
    pub(crate) fn end(self) -> Vec<u8> {
        let mut bytes = self.0.into_inner();
        bytes.push(b'\n');
        bytes
    }

    fn write(&mut self, event: Event<'_>) {
        self.0.write_event(event).expect("memory takes every byte");
    }
}

fn start<'a>(name: &'a str, attributes: Attributes<'_>) -> BytesStart<'a> {
    let mut start = BytesStart::new(name);
    for (key, value) in attributes {
        start.push_attribute((*key, holdable(value).as_str()));
    }
    start
}

/// What is left of a text in XML 1.0 (section 2.2, production Char): no control characters but TAB and
/// LF, and not U+FFFE nor U+FFFF. There is no escape for them, so they are dropped.
fn holdable(raw: &str) -> String {
    let mut text = plain(raw);
    text.retain(|c| !matches!(c, '\u{fffe}' | '\u{ffff}'));
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_values_cannot_break_out() {
        let mut file = XmlFile::begin();
        file.open("a", &[("b", "\"'<&>")]);
        file.text("c", &[], "]]></c><!-- & \u{0}\u{b}\u{fffe}\u{ffff}\u{1f955}\r\n-->");
        file.empty("d", &[]);
        file.close("a");
        let text = String::from_utf8(file.end()).unwrap();
        insta::assert_snapshot!(text, @r#"
        <?xml version="1.0" encoding="utf-8"?>
        <a b="&quot;&apos;&lt;&amp;&gt;">
          <c>]]&gt;&lt;/c&gt;&lt;!-- &amp; 🥕
        --&gt;</c>
          <d/>
        </a>
        "#);
    }
}
