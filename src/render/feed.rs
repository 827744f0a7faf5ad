//! The calendar feed (RFC 5545, with NAME, SOURCE and REFRESH-INTERVAL of RFC 7986) as bytes.
//!
//! The crate `ical` assembles components and properties; what it leaves open is done by
//! `render/content_line.rs` before (escaping) and after (folding). What is deliberately absent:
//!
//! - METHOD: a static host sends no `method` parameter with the file, and RFC 5545 section 3.7.2 wants
//!   both or neither. Without it the file is a plain snapshot, and DTSTAMP means 'last revised'.
//! - LAST-MODIFIED: a value that did not move with every change would freeze events on some phones.
//! - A version in PRODID: it would change every feed, and so every phone's download, with each build of
//!   trug. The identifier names the product (section 3.7.3), and the product stays the same.
//! - Time zones: all-day events have none. Only a feed without events holds one, because an object
//!   without any component is not allowed (section 3.6), and a missing file would leave old tasks in phones.

use chrono::{Days, NaiveDate};
use ical::generator::{Emitter, IcalCalendarBuilder, IcalEvent, IcalEventBuilder, Property};
use ical::parser::ical::component::{
    IcalAlarm, IcalTimeZone, IcalTimeZoneTransition, IcalTimeZoneTransitionType,
};
use ical::{ical_param, ical_property};

use crate::render::content_line::{refold, text, text_list};
use crate::render::earlier_feed::{EarlierFeed, Revision};
use crate::render::uri::absolute;
use crate::site::feed::{EventView, FeedView};

/// The product, as a formal public identifier of an unregistered owner.
const PRODUCT: &str = "-//trug//care task feed//EN";

/// The feed's file: UTF-8, CRLF at every line end, at most 75 octets a line. The same view and the same
/// `earlier` bytes, the feed that this one replaces, give the same bytes.
///
/// An event that says what it said in the earlier feed keeps its DTSTAMP and SEQUENCE; one that says
/// something else has the day and a greater SEQUENCE.
///
/// Texts are normalised: line ends to LF, control characters other than TAB dropped, white space trimmed
/// at the ends and shortened where more than 20 characters of it follow each other. An address that is
/// not a clean `http` or `https` one is left out.
pub fn bytes(feed: &FeedView, earlier: Option<&[u8]>) -> Vec<u8> {
    let new = Revision::of_day(feed.about.day);
    let fresh = written(feed, |_| new);
    let Some(earlier) = earlier.and_then(EarlierFeed::read) else { return fresh.into_bytes() };
    // Read back, so that what is compared went through the same hands on both sides.
    let now = EarlierFeed::read(fresh.as_bytes()).unwrap_or_default();
    written(feed, |uid| earlier.revision_after(&now, uid, new)).into_bytes()
}

fn written(feed: &FeedView, revision: impl Fn(&str) -> Revision) -> String {
    let about = &feed.about;
    let title = text(&about.title);
    let pause = format!("PT{}H", about.refresh_hours);

    let mut properties =
        vec![ical_property!("NAME", title.clone()), ical_property!("X-WR-CALNAME", title)];
    properties.extend(optional_text("DESCRIPTION", &about.description));
    if let Some(page) = about.page.as_deref().and_then(absolute) {
        properties.push(ical_property!("URL", page));
    }
    if let Some(source) = about.source.as_deref().and_then(absolute) {
        properties.push(ical_property!("SOURCE", source, ical_param!("VALUE", "URI")));
    }
    // RFC 7986 section 5.7: this property has no default type, so the parameter is required.
    properties.push(ical_property!(
        "REFRESH-INTERVAL",
        pause.clone(),
        ical_param!("VALUE", "DURATION")
    ));
    properties.push(ical_property!("X-PUBLISHED-TTL", pause));

    let mut calendar = IcalCalendarBuilder::version("2.0").gregorian().prodid(PRODUCT).build();
    calendar.properties.extend(properties);
    calendar.events.extend(feed.events().iter().map(|view| event(view, revision(&view.uid))));
    if calendar.events.is_empty() {
        calendar.timezones.push(universal_time());
    }
    refold(&calendar.generate())
}

fn event(view: &EventView, revision: Revision) -> IcalEvent {
    // The view ends before the year 9999, so the day after exists; DTEND names the first day that is
    // no longer part of the event (RFC 5545 section 3.6.1).
    let day_after = view.last_day + Days::new(1);
    // The time zone the builder asks for is not written with dates.
    let mut event = IcalEventBuilder::tzid("")
        .uid(text(&view.uid))
        .changed_utc(format!("{}T000000Z", date(revision.day)))
        .start_day(date(view.first_day))
        .end_day(date(day_after))
        .set(ical_property!("SUMMARY", text(&view.summary)))
        .build();
    event.properties.extend(optional_text("DESCRIPTION", &view.description));
    let categories = text_list(&view.categories);
    if !categories.is_empty() {
        event.properties.push(ical_property!("CATEGORIES", categories));
    }
    if let Some(url) = view.url.as_deref().and_then(absolute) {
        event.properties.push(ical_property!("URL", url));
    }
    event.properties.push(ical_property!("SEQUENCE", revision.sequence.to_string()));
    // A task does not keep its day from being offered to others as free.
    event.properties.push(ical_property!("TRANSP", "TRANSPARENT"));
    if let Some(hours) = view.alarm_hours_before {
        let mut alarm = IcalAlarm::new();
        alarm.properties = vec![
            ical_property!("ACTION", "DISPLAY"),
            ical_property!("DESCRIPTION", text(&view.summary)),
            ical_property!("TRIGGER", format!("-PT{hours}H")),
        ];
        event.alarms.push(alarm);
    }
    event
}

fn optional_text(name: &str, raw: &str) -> Option<Property> {
    let value = text(raw);
    (!value.is_empty()).then(|| Property { name: name.into(), params: None, value: Some(value) })
}

fn date(day: NaiveDate) -> String {
    day.format("%Y%m%d").to_string()
}

/// A time zone without daylight saving, which shows nothing on a phone.
fn universal_time() -> IcalTimeZone {
    let mut standard = IcalTimeZoneTransition::new(IcalTimeZoneTransitionType::STANDARD);
    standard.properties = vec![
        ical_property!("DTSTART", "19700101T000000"),
        ical_property!("TZOFFSETFROM", "+0000"),
        ical_property!("TZOFFSETTO", "+0000"),
        ical_property!("TZNAME", "UTC"),
    ];
    let mut zone = IcalTimeZone::new();
    zone.properties.push(ical_property!("TZID", "Etc/UTC"));
    zone.transitions.push(standard);
    zone
}

#[cfg(test)]
mod tests {
    use std::num::NonZeroU16;

    use super::*;
    use crate::site::feed::{FeedAbout, TWICE_A_DAY};

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    fn about() -> FeedAbout {
        FeedAbout {
            day: day(2026, 12, 24),
            title: "Harbour steps: tasks".into(),
            description: "Care tasks; no frost warnings.".into(),
            page: Some("https://example.org/steps/tasks/".into()),
            source: Some("https://example.org/steps/tasks.ics".into()),
            refresh_hours: TWICE_A_DAY,
        }
    }

    #[test]
    fn one_event_in_full() {
        let event = EventView {
            uid: "1742b22e-7eb2-506e-a48a-a6f11fbf09dd".into(),
            first_day: day(2026, 12, 31),
            last_day: day(2026, 12, 31),
            summary: "Water: kohlrabi, beets".into(),
            description: "Two cans; by the hose.\nCommon practice.".into(),
            categories: vec!["water".into(), "quay, north".into()],
            url: Some("https://example.org/steps/crops/kohlrabi/?a=b,c;d".into()),
            alarm_hours_before: NonZeroU16::new(15),
        };
        let feed = FeedView::new(about(), vec![event]).unwrap();
        let text = String::from_utf8(bytes(&feed, None)).unwrap();
        insta::assert_snapshot!(text.replace("\r\n", "\n"), @r#"
        BEGIN:VCALENDAR
        VERSION:2.0
        CALSCALE:GREGORIAN
        PRODID:-//trug//care task feed//EN
        NAME:Harbour steps: tasks
        X-WR-CALNAME:Harbour steps: tasks
        DESCRIPTION:Care tasks\; no frost warnings.
        URL:https://example.org/steps/tasks/
        SOURCE;VALUE=URI:https://example.org/steps/tasks.ics
        REFRESH-INTERVAL;VALUE=DURATION:PT12H
        X-PUBLISHED-TTL:PT12H
        BEGIN:VEVENT
        UID:1742b22e-7eb2-506e-a48a-a6f11fbf09dd
        DTSTAMP:20261224T000000Z
        DTSTART;VALUE=DATE:20261231
        DTEND;VALUE=DATE:20270101
        SUMMARY:Water: kohlrabi\, beets
        DESCRIPTION:Two cans\; by the hose.\nCommon practice.
        CATEGORIES:water,quay\, north
        URL:https://example.org/steps/crops/kohlrabi/?a=b,c;d
        SEQUENCE:9854000
        TRANSP:TRANSPARENT
        BEGIN:VALARM
        ACTION:DISPLAY
        DESCRIPTION:Water: kohlrabi\, beets
        TRIGGER:-PT15H
        END:VALARM
        END:VEVENT
        END:VCALENDAR
        "#);
    }

    #[test]
    fn an_empty_plan_is_a_calendar_that_shows_nothing() {
        let quiet = FeedAbout {
            description: String::new(),
            page: None,
            source: Some("tasks.ics".into()),
            ..about()
        };
        let text = String::from_utf8(bytes(&FeedView::new(quiet, vec![]).unwrap(), None)).unwrap();
        insta::assert_snapshot!(text.replace("\r\n", "\n"), @r#"
        BEGIN:VCALENDAR
        VERSION:2.0
        CALSCALE:GREGORIAN
        PRODID:-//trug//care task feed//EN
        NAME:Harbour steps: tasks
        X-WR-CALNAME:Harbour steps: tasks
        REFRESH-INTERVAL;VALUE=DURATION:PT12H
        X-PUBLISHED-TTL:PT12H
        BEGIN:VTIMEZONE
        TZID:Etc/UTC
        BEGIN:STANDARD
        DTSTART:19700101T000000
        TZOFFSETFROM:+0000
        TZOFFSETTO:+0000
        TZNAME:UTC
        END:STANDARD
        END:VTIMEZONE
        END:VCALENDAR
        "#);
    }

    /// RFC 5545 section 3.6.1, the jazz festival: 28 June to 8 July 2007 inclusive has DTEND 9 July.
    #[test]
    fn the_end_is_the_day_after() {
        let festival = EventView {
            uid: "20070423T123432Z-541111@example.com".into(),
            first_day: day(2007, 6, 28),
            last_day: day(2007, 7, 8),
            summary: "Festival International de Jazz de Montreal".into(),
            description: String::new(),
            categories: vec![],
            url: None,
            alarm_hours_before: None,
        };
        let feed = FeedView::new(about(), vec![festival]).unwrap();
        let text = String::from_utf8(bytes(&feed, None)).unwrap();
        assert!(
            text.contains("\r\nDTSTART;VALUE=DATE:20070628\r\nDTEND;VALUE=DATE:20070709\r\n"),
            "{text}"
        );
    }
}
