//! The calendar feed against the outside: a byte lint of our own, a strict reader, and the crate
//! `icalendar`, which was written by other people than the crate that assembles the feed.

#[path = "reference/ics_lint.rs"]
mod ics_lint;

use std::num::NonZeroU16;

use crate::feed_bytes::ics_lint::{items, lint, read, unescape};
use chrono::{Days, NaiveDate};
use icalendar::{Component as _, EventLike as _};
use proptest::prelude::*;
use trug::render::feed::bytes;
use trug::site::feed::{EventView, FeedAbout, FeedView, TWICE_A_DAY};
use trug::site::identity::event_uid;

fn day(n: u64) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 12, 30).unwrap() + Days::new(n)
}

fn about(title: &str) -> FeedAbout {
    FeedAbout {
        day: day(0),
        title: title.into(),
        description: "Tasks of the ferry garden".into(),
        page: Some("https://example.org/ferry/tasks/".into()),
        source: Some("https://example.org/ferry/tasks.ics".into()),
        refresh_hours: TWICE_A_DAY,
    }
}

fn event(n: u64, summary: &str, description: &str) -> EventView {
    EventView {
        uid: event_uid(&["ferry garden", "feed", &n.to_string()]),
        first_day: day(n),
        last_day: day(n + n % 3),
        summary: summary.into(),
        description: description.into(),
        categories: vec!["feed".into()],
        url: Some("https://example.org/ferry/crops/celtuce/".into()),
        alarm_hours_before: NonZeroU16::new(15),
    }
}

fn feed(title: &str, events: Vec<EventView>) -> Vec<u8> {
    bytes(&FeedView::new(about(title), events).unwrap(), None)
}

/// The normalisation that `render::feed::bytes` states, said a second time in other words.
fn normalised(text: &str) -> String {
    let mut lines =
        text.replace("\r\n", "\n").replace(['\r', '\u{85}', '\u{2028}', '\u{2029}'], "\n");
    lines.retain(|c| matches!(c, '\n' | '\t') || !c.is_control());
    let mut kept = String::new();
    for c in lines.trim().chars() {
        let blank = |c: &char| c.is_whitespace() && *c != '\n';
        if !(blank(&c) && kept.chars().rev().take_while(blank).count() == 20) {
            kept.push(c);
        }
    }
    kept
}

#[test]
fn a_feed_and_an_empty_feed_have_no_fault() {
    let events = (0..40)
        .map(|n| event(n, "Feed: celtuce, on the quay; half strength", "First line\nsecond line"))
        .collect();
    assert_eq!(lint(&feed("Ferry garden", events)), Vec::<String>::new());
    assert_eq!(lint(&feed("Ferry garden", vec![])), Vec::<String>::new());
}

#[test]
fn the_same_events_in_another_order_are_the_same_bytes() {
    let events: Vec<_> = (0..9).map(|n| event(n, "Weed", "")).collect();
    let turned = events.iter().rev().cloned().collect();
    assert_eq!(feed("Ferry garden", events), feed("Ferry garden", turned));
}

/// A subscribed feed should stay well below 1 MB (the size at which a calendar service was reported to
/// lose events). A full feed with longer texts than usual is half of that.
#[test]
fn a_full_feed_stays_below_a_megabyte() {
    let advice = "Half strength after fresh mix; the label's dose otherwise. ".repeat(5);
    let events = (0..1_200)
        .map(|n| event(n, "Feed: celtuce on the quay, cardoon at the wall", &advice))
        .collect();
    let bytes = feed("Ferry garden", events);
    assert_eq!(lint(&bytes), Vec::<String>::new());
    assert_eq!(read(&bytes).unwrap().inside.len(), 1_000);
    assert!((500_000..1_000_000).contains(&bytes.len()), "{} octets", bytes.len());
}

/// RFC 5545 section 3.1: one line of text, as the standard folds it.
#[test]
fn the_strict_reader_unfolds_as_the_standard_says() {
    let folded = "BEGIN:VCALENDAR\r\nDESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n\
                  END:VCALENDAR\r\n";
    let text = read(folded.as_bytes()).unwrap().text("DESCRIPTION");
    assert_eq!(text, "This is a long description that exists on a long line.");
}

/// RFC 5545 section 3.8.1.5, the second example: the reader unescapes it, the writer gives it back.
#[test]
fn a_description_of_the_standard_comes_back() {
    let example = "BEGIN:VCALENDAR\r\nDESCRIPTION:Meeting to provide technical review for \"Phoenix\"\r\n  \
                   design.\\nHappy Face Conference Room. Phoenix design team\r\n  MUST attend this meeting.\\n\
                   RSVP to team leader.\r\nEND:VCALENDAR\r\n";
    let example = read(example.as_bytes()).unwrap();
    let text = "Meeting to provide technical review for \"Phoenix\" design.\nHappy Face Conference Room. \
                Phoenix design team MUST attend this meeting.\nRSVP to team leader.";
    assert_eq!(example.text("DESCRIPTION"), text);
    let ours = read(&feed("x", vec![event(0, "x", text)])).unwrap();
    assert_eq!(ours.inside[0].all("DESCRIPTION"), example.all("DESCRIPTION"));
}

/// A lint that finds nothing anywhere would pass every feed: each fault put into a good feed is named.
#[test]
fn the_lint_finds_every_fault_it_is_there_for() {
    let good = String::from_utf8(feed(
        "Ferry garden",
        vec![event(0, "Tie in, then water é", "x"), event(1, "Weed", "")],
    ))
    .unwrap();
    let uid = |n: &str| event_uid(&["ferry garden", "feed", n]);
    let (first, second) = (uid("0"), uid("1"));
    let long = format!("SUMMARY:{}", "Weed".repeat(17));
    let broken: [(&str, String, &str); 27] = [
        ("bare LF", good.replacen("\r\nTRANSP", "\nTRANSP", 1), "bare CR or LF"),
        ("bare CR", good.replacen("Weed", "We\red", 1), "bare CR or LF"),
        ("no last CRLF", good.trim_end().into(), "no CRLF at the end"),
        ("byte-order mark", format!("\u{feff}{good}"), "does not begin with"),
        ("blank line", good.replacen("BEGIN:VEVENT", "\r\nBEGIN:VEVENT", 1), "blank line"),
        ("76 octets", good.replacen("SUMMARY:Weed", &long, 1), "76 octets"),
        ("NUL", good.replacen("Weed", "We\0ed", 1), "control character"),
        ("DEL", good.replacen("Weed", "We\u{7f}ed", 1), "control character"),
        ("blank at the end", good.replacen("Weed", "Weed ", 1), "white space at the end"),
        ("unescaped comma", good.replacen("in\\,", "in,", 1), "unescaped ,"),
        ("unescaped semicolon", good.replacen("in\\,", "in;", 1), "unescaped ;"),
        ("unknown escape", good.replacen("in\\,", "in\\:", 1), "unknown escape"),
        ("lone backslash", good.replacen("Weed", "Weed\\", 1), "unknown escape"),
        (
            "empty category",
            good.replacen("CATEGORIES:feed", "CATEGORIES:feed,", 1),
            "empty category",
        ),
        ("no Z", good.replacen("T000000Z", "T000000", 1), "DTSTAMP is no midnight"),
        ("no UID", good.replacen(&format!("UID:{first}\r\n"), "", 1), "without UID"),
        ("same UID", good.replacen(&second, &first, 1), "UID stands twice"),
        ("telling UID", good.replacen(&second, "weed-7@court.example", 1), "UID is no UUID"),
        (
            "no such day",
            good.replacen("DTSTART;VALUE=DATE:20271230", "DTSTART;VALUE=DATE:20270229", 1),
            "no date",
        ),
        ("no value type", good.replacen("DTSTART;VALUE=DATE", "DTSTART", 1), "no date"),
        (
            "end is start",
            good.replacen("DTEND;VALUE=DATE:20271231", "DTEND;VALUE=DATE:20271230", 1),
            "not later",
        ),
        ("METHOD", good.replacen("CALSCALE", "METHOD:PUBLISH\r\nCALSCALE", 1), "METHOD"),
        (
            "stamp",
            good.replacen("TRANSP", "LAST-MODIFIED:20260101T000000Z\r\nTRANSP", 1),
            "LAST-MODIFIED",
        ),
        (
            "two summaries",
            good.replacen("TRANSP", "SUMMARY:x\r\nTRANSP", 1),
            "more than one SUMMARY",
        ),
        ("untyped interval", good.replacen(";VALUE=DURATION", "", 1), "REFRESH-INTERVAL"),
        ("late alarm", good.replacen("TRIGGER:-", "TRIGGER:", 1), "TRIGGER"),
        ("smuggled end", good.replacen("Weed", "Weed\r\nEND:VEVENT", 1), "closes nothing"),
    ];
    for (name, broken, expected) in broken {
        assert_ne!(broken, good, "{name}: nothing was broken");
        let faults = lint(broken.as_bytes());
        assert!(faults.iter().any(|fault| fault.contains(expected)), "{name}: {faults:?}");
    }
    let mut cut = good.clone().into_bytes();
    let inside = good.find('é').unwrap() + 1;
    cut.splice(inside..inside, *b"\r\n ");
    assert!(lint(&cut).iter().any(|fault| fault.contains("cut inside a character")));
    let bare = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n";
    assert!(lint(bare.as_bytes()).iter().any(|fault| fault == "no component"));
}

/// Texts made to be awkward: escapes, every kind of line end, wide and joined characters, right-to-left
/// script, white space in all widths, and property names.
fn awkward() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        4 => r"[a-z]{1,12}",
        3 => "[\\\\;,:\"' ]{1,3}",
        2 => "[\r\n\t\u{85}\u{2028}\u{2029}]{1,3}",
        2 => "[é茄🥕\u{301}\u{200d}\u{fe0f}\u{feff}]{1,4}",
        1 => "[שלוםمزرعة\u{202e}\u{202c}\u{200f}]{1,5}",
        1 => "[ \u{a0}\u{3000}\u{2003}\t]{1,40}",
        1 => "[\u{0}-\u{1f}\u{7f}-\u{9f}]{1,3}",
        1 => any::<String>(),
        1 => prop_oneof![Just("\r\nEND:VEVENT\r\n".to_string()), Just("\\n\\N\\".to_string())],
    ];
    proptest::collection::vec(piece, 0..24).prop_map(|pieces| pieces.concat())
}

/// White space and a multi-octet character moved past column 75, one octet at a time.
fn near_the_fold() -> impl Strategy<Value = String> {
    (55..80_usize, "[ \\\\,;\n\t]{0,4}", "[é茄🥕x]{1,2}", "[ y]{0,80}").prop_map(
        |(before, blank, wide, after)| format!("{}{blank}{wide}{after}", "x".repeat(before)),
    )
}

fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![awkward(), near_the_fold()]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_comes_back_from_two_readers(
        title in any_text(),
        summary in any_text(),
        description in any_text(),
        categories in proptest::collection::vec(any_text(), 0..4),
    ) {
        let view = EventView { categories: categories.clone(), ..event(0, &summary, &description) };
        let bytes = feed(&title, vec![view, event(1, &description, &summary)]);
        prop_assert_eq!(lint(&bytes), Vec::<String>::new());
        let kept: Vec<String> = categories.iter().map(|one| normalised(one)).filter(|one| !one.is_empty()).collect();

        let strict = read(&bytes).unwrap();
        prop_assert_eq!(strict.text("NAME"), normalised(&title));
        prop_assert_eq!(strict.text("X-WR-CALNAME"), normalised(&title));
        prop_assert_eq!(strict.inside.len(), 2);
        prop_assert_eq!(strict.inside[0].text("SUMMARY"), normalised(&summary));
        prop_assert_eq!(strict.inside[0].text("DESCRIPTION"), normalised(&description));
        prop_assert_eq!(strict.inside[0].inside[0].text("DESCRIPTION"), normalised(&summary));
        let lists = strict.inside[0].all("CATEGORIES");
        let read_items: Vec<String> = lists.iter().flat_map(|list| items(list)).map(|item| unescape(item).unwrap()).collect();
        prop_assert_eq!(&read_items, &kept);

        let other: icalendar::Calendar = std::str::from_utf8(&bytes).unwrap().parse().unwrap();
        // It does not know NAME (RFC 7986) as a text and hands it over escaped.
        prop_assert_eq!(unescape(other.property_value("NAME").unwrap()), Ok(normalised(&title)));
        let events: Vec<_> = other.events().collect();
        prop_assert_eq!(events.len(), 2);
        prop_assert_eq!(events[0].get_summary().unwrap_or_default(), normalised(&summary));
        prop_assert_eq!(events[0].get_description().unwrap_or_default(), normalised(&description));
        prop_assert_eq!(events[0].get_categories().unwrap_or_default(), kept);
        prop_assert_eq!(events[1].get_summary().unwrap_or_default(), normalised(&description));
    }

    #[test]
    fn days_and_identity_come_back(n in 0..3000_u64, length in 0..400_u64) {
        let view = EventView { last_day: day(n + length), ..event(n, "Weed", "") };
        let bytes = feed("Ferry garden", vec![view.clone()]);
        prop_assert_eq!(lint(&bytes), Vec::<String>::new());
        let other: icalendar::Calendar = std::str::from_utf8(&bytes).unwrap().parse().unwrap();
        let read = other.events().next().unwrap();
        prop_assert_eq!(read.get_uid(), Some(view.uid.as_str()));
        prop_assert_eq!(read.get_start(), Some(view.first_day.into()));
        prop_assert_eq!(read.get_end(), Some((view.last_day + Days::new(1)).into()));
        prop_assert_eq!(read.get_timestamp().map(|stamp| stamp.naive_utc()), day(0).and_hms_opt(0, 0, 0));
        // 10 225 days from 2000-01-01 to 2027-12-30, by Python's datetime; a thousand for each.
        prop_assert_eq!(read.get_sequence(), Some(10_225_000));
        prop_assert_eq!(read.get_url(), view.url.as_deref());
    }
}
