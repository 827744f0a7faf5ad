//! The task feed that a new one replaces, read for what a phone has seen of each event.

use std::collections::BTreeMap;

use chrono::NaiveDate;

/// When an event was last revised, and a number that grows with each revision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Revision {
    /// DTSTAMP.
    pub(crate) day: NaiveDate,
    pub(crate) sequence: u32,
}

/// Room for the revisions of a day, so that what comes anew tomorrow is above all that was revised today.
const REVISIONS_OF_A_DAY: u32 = 1_000;

/// INTEGER goes to 2 147 483 647 (RFC 5545 section 3.3.8).
const HIGHEST: u32 = i32::MAX.unsigned_abs();

impl Revision {
    /// The revision of an event of which no earlier one is known: it grows from day to day, also where
    /// every build starts in an empty folder.
    pub(crate) fn of_day(day: NaiveDate) -> Revision {
        let epoch = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap_or_default();
        let days = u32::try_from((day - epoch).num_days()).unwrap_or(0);
        Revision { day, sequence: days.saturating_mul(REVISIONS_OF_A_DAY).min(HIGHEST) }
    }
}

/// The events of a feed that was published before, by UID.
#[derive(Debug, Default)]
pub(crate) struct EarlierFeed(BTreeMap<String, EarlierEvent>);

#[derive(Debug)]
struct EarlierEvent {
    revision: Revision,
    /// Its lines without DTSTAMP and SEQUENCE.
    said: Vec<String>,
}

impl EarlierFeed {
    /// Reads a feed that trug wrote; none if it is damaged, or not one.
    pub(crate) fn read(bytes: &[u8]) -> Option<EarlierFeed> {
        // A host or an editor may have changed the line ends.
        let text = std::str::from_utf8(bytes).ok()?.replace("\r\n", "\n").replace("\n ", "");
        let inside = text.strip_prefix("BEGIN:VCALENDAR\n")?.strip_suffix("\nEND:VCALENDAR\n")?;
        let mut events = BTreeMap::new();
        for part in inside.split("\nBEGIN:VEVENT\n").skip(1) {
            let (lines, _) = part.split_once("\nEND:VEVENT")?;
            let (uid, event) = EarlierEvent::read(lines)?;
            events.insert(uid, event);
        }
        Some(EarlierFeed(events))
    }

    /// The revision of an event of the feed `now`, whose events are `new` unless they stood in this one.
    pub(crate) fn revision_after(&self, now: &EarlierFeed, uid: &str, new: Revision) -> Revision {
        let Some(before) = self.0.get(uid) else { return new };
        if now.0.get(uid).is_some_and(|event| event.said == before.said) {
            return before.revision;
        }
        let next = before.revision.sequence.saturating_add(1).min(HIGHEST);
        Revision { day: new.day, sequence: new.sequence.max(next) }
    }
}

impl EarlierEvent {
    fn read(lines: &str) -> Option<(String, EarlierEvent)> {
        let (mut uid, mut day, mut sequence) = (None, None, None);
        let mut said = Vec::new();
        for line in lines.lines() {
            match line.split_once(':')? {
                ("DTSTAMP", stamp) => {
                    day = Some(NaiveDate::parse_from_str(stamp, "%Y%m%dT000000Z").ok()?);
                }
                ("SEQUENCE", number) => sequence = Some(number.parse().ok()?),
                (name, value) => {
                    if name == "UID" {
                        uid = Some(value.to_owned());
                    }
                    said.push(line.to_owned());
                }
            }
        }
        let revision = Revision { day: day?, sequence: sequence? };
        Some((uid?, EarlierEvent { revision, said }))
    }
}

#[cfg(test)]
mod tests {
    use std::num::NonZeroU16;

    use chrono::Days;
    use proptest::prelude::*;

    use super::*;
    use crate::render::feed::bytes;
    use crate::site::feed::{EventView, FeedAbout, FeedView, TWICE_A_DAY};

    fn day(n: u64) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 2, 26).unwrap() + Days::new(n)
    }

    /// A feed of a day with these events, by UID and summary, after another.
    fn feed(n: u64, events: &[(&str, &str)], earlier: Option<&[u8]>) -> Vec<u8> {
        let about = FeedAbout {
            day: day(n),
            title: "Weir cottage".into(),
            description: String::new(),
            page: None,
            source: None,
            refresh_hours: TWICE_A_DAY,
        };
        let event = |(uid, summary): &(&str, &str)| EventView {
            uid: (*uid).into(),
            first_day: day(9),
            last_day: day(9),
            summary: (*summary).into(),
            description: format!("{summary}; ").repeat(9),
            categories: vec![],
            url: None,
            alarm_hours_before: NonZeroU16::new(15),
        };
        bytes(&FeedView::new(about, events.iter().map(event).collect()).unwrap(), earlier)
    }

    fn revision(feed: &[u8], uid: &str) -> Revision {
        EarlierFeed::read(feed).unwrap().0[uid].revision
    }

    #[test]
    fn what_says_the_same_keeps_its_revision_and_what_does_not_is_revised() {
        let first = feed(0, &[("a", "Weed"), ("b", "Water")], None);
        assert_eq!(revision(&first, "a").day, day(0));
        let second =
            feed(1, &[("a", "Weed"), ("b", "Water: sorrel"), ("c", "Mulch")], Some(&first));
        assert_eq!(revision(&second, "a"), revision(&first, "a"));
        for uid in ["b", "c"] {
            assert_eq!(revision(&second, uid), Revision::of_day(day(1)));
        }
        assert!(revision(&second, "b").sequence > revision(&first, "b").sequence);
    }

    #[test]
    fn twice_on_one_day_is_a_revision_of_its_own() {
        let morning = feed(3, &[("a", "Weed")], None);
        let evening = feed(3, &[("a", "Weed: sorrel")], Some(&morning));
        let night = feed(3, &[("a", "Weed")], Some(&evening));
        let sequences = [&morning, &evening, &night].map(|feed| revision(feed, "a").sequence);
        assert!(sequences.is_sorted_by(|one, next| one < next), "{sequences:?}");
        // Nor does it go back if the clock does.
        let back = feed(1, &[("a", "Weed: lovage")], Some(&night));
        assert!(revision(&back, "a").sequence > revision(&night, "a").sequence);
        assert!(revision(&feed(4, &[("a", "Weed")], None), "a").sequence > sequences[2]);
    }

    #[test]
    fn what_cannot_be_read_counts_as_none() {
        let events = [("a", "Weed")];
        let fresh = feed(1, &events, None);
        let good = String::from_utf8(feed(0, &events, None)).unwrap();
        let damaged = [
            String::new(),
            "<!doctype html>".into(),
            good[..good.len() / 2].into(),
            good.replace("DTSTAMP:", "DTSTAMP:x"),
            good.replace("SEQUENCE:", "SEQUENCE:-"),
            good.replace("UID:a\r\n", ""),
            good.replace("END:VEVENT\r\n", ""),
        ];
        for damaged in damaged {
            assert_eq!(feed(1, &events, Some(damaged.as_bytes())), fresh, "{damaged}");
        }
        assert_eq!(feed(1, &events, Some(b"\xff\xfe")), fresh);
        // And what can be read is not: line ends alone do not matter.
        assert_eq!(feed(1, &events, Some(good.replace("\r\n", "\n").as_bytes())), good.as_bytes());
    }

    proptest! {
        #[test]
        fn publishing_twice_changes_nothing(summary in any::<String>(), n in 0..40_000_u64) {
            let once = feed(0, &[("a", &summary)], None);
            prop_assert_eq!(feed(n, &[("a", &summary)], Some(&once)), once);
        }
    }
}
