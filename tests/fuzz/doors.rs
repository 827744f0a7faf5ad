//! Where bytes come in, each with what must hold of what goes out.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use trug::diagnostics::report::{self, Drawing, Page};
use trug::origin::FileId;
use trug::output::DiskSite;
use trug::publish::{self, Day, Inputs};
use trug::render::markdown;
use trug::render::sink::{MemorySink, Sink};
use trug::render::site_path::SitePath;
use trug::source::files::Files;
use trug::source::theme;
use trug::{dates, units};

const GARDEN: &str = "name: Quarry Steps\n\
    place: {latitude: 43.5, longitude: 5.4, time-zone: Europe/Paris}\n";
const SOWN: &str = "---\ndate: 2026-04-10\nplantings: [{id: pea, crop: pea, sown: 24}]\n---\n";

fn inputs(files: &[(&str, &[u8])], earlier_feed: Option<&[u8]>) -> Inputs {
    let mut all = BTreeMap::from([
        ("garden.yaml", GARDEN.as_bytes()),
        ("journal/2026-04-10.md", SOWN.as_bytes()),
    ]);
    all.extend(files.iter().copied());
    let files = all.into_iter().map(|(path, bytes)| (path.to_owned(), bytes.to_vec()));
    let content = Files::new(FileId(0), files);
    let theme = theme::laid_over(&Files::default(), content.next_id());
    let feed = earlier_feed.map(|feed| ("tasks.ics".to_owned(), feed.to_vec()));
    Inputs {
        content,
        theme,
        day: Day::Fixed(NaiveDate::from_ymd_opt(2026, 6, 20).expect("a day")),
        earlier_feeds: feed.into_iter().collect(),
        earlier_photos: BTreeMap::new(),
    }
}

/// Everything is read and checked, and the report drawn in every form: no sign for machines in it.
fn proof(files: &[(&str, &[u8])]) {
    let inputs = inputs(files, None);
    let (_, problems) = publish::proof(&inputs);
    let texts: Vec<(String, String)> = inputs
        .content
        .iter()
        .map(|file| (file.path.clone(), file.text_to_show().into_owned()))
        .collect();
    let look_up = |id: FileId| texts.get(id.0 as usize).map(|(name, text)| Page { name, text });
    let drawing = Drawing { colour: false, width: 80 };
    let lines = report::lines(&problems, &look_up);
    for form in [lines, report::human(&problems, &look_up, drawing), report::tally(&problems)] {
        assert!(!form.contains(|c: char| c.is_control() && c != '\n' && c != '\t'), "{form:?}");
    }
    let json = report::json(&problems, &[], &look_up);
    serde_json::from_str::<serde_json::Value>(&json).expect("valid JSON");
}

pub(crate) fn entry(bytes: &[u8]) {
    proof(&[("journal/2026-05-10-a-day.md", bytes)]);
}

pub(crate) fn settings(bytes: &[u8]) {
    proof(&[("garden.yaml", bytes)]);
}

pub(crate) fn table(bytes: &[u8]) {
    proof(&[("weather/2026.csv", bytes), ("harvests/2026.csv", bytes)]);
}

/// Every reader of a figure: what it gives is a number, what it says of the others can be shown.
pub(crate) fn quantity(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let mut read: Vec<String> = Vec::new();
    macro_rules! read {
        ($($reader:path),+ $(,)?) => {
            $(match $reader(&text) {
                Ok(value) => read.push(format!("{value:?}")),
                Err(trouble) => drop(format!("{trouble:?}")),
            })+
        };
    }
    read!(
        units::number,
        units::price,
        units::whole,
        units::sun_hours,
        units::density,
        units::dose,
        units::pot,
        units::fill,
        units::count,
        units::uses,
        units::days_range,
        units::offset_range,
        units::length_range,
        units::temperature_range,
        units::hours_range,
        units::number_range,
        units::mass,
        units::volume,
        units::length,
        units::elevation,
        units::temperature,
        units::percent,
        units::hours,
        dates::date,
    );
    for form in read {
        assert!(!form.contains("NaN") && !form.contains(": inf"), "{text:?}: {form}");
    }
}

const ELEMENTS: &[&str] = &[
    "a",
    "abbr",
    "acronym",
    "article",
    "aside",
    "b",
    "bdi",
    "bdo",
    "blockquote",
    "br",
    "caption",
    "center",
    "cite",
    "code",
    "col",
    "colgroup",
    "data",
    "dd",
    "del",
    "details",
    "dfn",
    "div",
    "dl",
    "dt",
    "em",
    "figcaption",
    "figure",
    "footer",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "header",
    "hgroup",
    "hr",
    "i",
    "ins",
    "kbd",
    "li",
    "mark",
    "nav",
    "ol",
    "p",
    "pre",
    "q",
    "rp",
    "rt",
    "rtc",
    "ruby",
    "s",
    "samp",
    "small",
    "span",
    "strike",
    "strong",
    "sub",
    "summary",
    "sup",
    "table",
    "tbody",
    "td",
    "th",
    "thead",
    "time",
    "tr",
    "tt",
    "u",
    "ul",
    "var",
    "wbr",
    "tfoot",
];

/// Only elements of prose, no attribute that runs anything, no address but of a page or a person: by a reader of our own, since the cleaner
/// cannot be its own judge. Whatever `<` stands in the text is escaped, so each begins a tag.
pub(crate) fn prose(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let html = markdown::to_html(&text, "2026-05-10");
    assert!(!html.contains(|c: char| c.is_control() && c != '\n' && c != '\t'), "{html:?}");
    let mut rest = html.as_str();
    while let Some((_, after)) = rest.split_once('<') {
        let mut end = None;
        let mut is_quoted = false;
        for (at, sign) in after.char_indices() {
            match sign {
                '"' => is_quoted = !is_quoted,
                '>' if !is_quoted => {
                    end = Some(at);
                    break;
                }
                _ => {}
            }
        }
        let end = end.unwrap_or_else(|| panic!("a tag without end: {after}"));
        check_tag(&after[..end]);
        rest = &after[end + 1..];
    }
    markdown::gist(&text);
}

fn check_tag(tag: &str) {
    let tag = tag.strip_prefix('/').unwrap_or(tag);
    let (element, attributes) = tag.split_once(' ').unwrap_or((tag, ""));
    assert!(ELEMENTS.contains(&element), "<{tag}>");
    let mut parts = attributes.split('"');
    while let (Some(name), Some(value)) = (parts.next(), parts.next()) {
        let name = name.trim().trim_end_matches('=');
        assert!(!name.starts_with("on") && !["style", "src", "srcset"].contains(&name), "<{tag}>");
        if ["href", "cite"].contains(&name) {
            let is_plain = scheme(value)
                .is_none_or(|scheme| ["http", "https", "mailto", "tel"].contains(&scheme.as_str()));
            assert!(is_plain, "<{tag}>");
        }
        if name == "id" {
            assert!(value.starts_with("text-"), "<{tag}>");
        }
    }
}

/// The scheme of an address as a browser reads it (URL Standard, 'scheme start state'): tabs and line ends are passed over.
fn scheme(address: &str) -> Option<String> {
    let address: String =
        address.chars().filter(|sign| !['\t', '\n', '\r'].contains(sign)).collect();
    let (scheme, _) = address.trim_start_matches(|sign| sign <= ' ').split_once(':')?;
    let is_scheme = scheme.starts_with(|sign: char| sign.is_ascii_alphabetic())
        && scheme.chars().all(|sign| sign.is_ascii_alphanumeric() || "+-.".contains(sign));
    is_scheme.then(|| scheme.to_ascii_lowercase())
}

/// Whatever feed stands in the site folder, the new one can be read.
pub(crate) fn feed(bytes: &[u8]) {
    let mut sink = MemorySink::new();
    let published = publish::publish(&inputs(&[], Some(bytes)), &mut sink).expect("room in memory");
    assert!(published.is_complete, "{:?}", published.problems);
    let feed = &sink.files()[&SitePath::new("tasks.ics").expect("a path")];
    let feed = std::str::from_utf8(feed).expect("text");
    icalendar::parser::read_calendar(&icalendar::parser::unfold(feed)).expect("a calendar");
}

/// Whatever the list says: what somebody else put into the folder or beside it stays.
#[expect(clippy::disallowed_methods, reason = "the list lies in a folder")]
pub(crate) fn list(bytes: &[u8]) {
    let place = tempfile::tempdir().expect("a folder");
    let site = place.path().join("site");
    let theirs =
        [place.path().join("mine.txt"), site.join("mine.txt"), site.join("folder/mine.txt")];
    std::fs::create_dir_all(site.join("folder")).expect("a folder");
    theirs.iter().for_each(|file| std::fs::write(file, "mine").expect("a file"));
    std::fs::write(site.join(".trug-manifest"), bytes).expect("a file");
    if let Ok(mut open) = DiskSite::open(&site) {
        let path = SitePath::new("index.html").expect("a path");
        let put = open.put(&path, b"page".to_vec());
        drop(put.is_ok().then(|| open.finish()));
    }
    for file in theirs {
        assert_eq!(
            std::fs::read(&file).ok().as_deref(),
            Some(b"mine".as_slice()),
            "{}",
            file.display()
        );
    }
}
