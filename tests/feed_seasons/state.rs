//! What a subscriber holds after a poll, read from the bytes, and what is wrong between two polls.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

/// A feed as it was fetched, and the tasks of the same build.
#[derive(Clone, Debug)]
pub(crate) struct State {
    /// The day it was built for.
    pub(crate) day: NaiveDate,
    /// The file.
    pub(crate) bytes: Vec<u8>,
    /// Its events by UID.
    pub(crate) events: BTreeMap<String, Event>,
    /// UIDs that stand more than once.
    pub(crate) repeated: Vec<String>,
    /// The UIDs of the events that the garden's tasks belong to.
    pub(crate) tasks: BTreeSet<String>,
}

/// An event as it stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Event {
    /// From BEGIN to END.
    pub(crate) bytes: String,
    /// The lines that say something: all but DTSTAMP and SEQUENCE.
    pub(crate) said: Vec<String>,
    pub(crate) start: String,
    pub(crate) stamp: String,
    pub(crate) sequence: u32,
}

impl State {
    pub(crate) fn read(day: NaiveDate, bytes: Vec<u8>, tasks: BTreeSet<String>) -> State {
        let text = String::from_utf8(bytes.clone()).unwrap();
        let mut state = State { day, bytes, events: BTreeMap::new(), repeated: Vec::new(), tasks };
        for block in text.split("BEGIN:VEVENT\r\n").skip(1) {
            let (block, _) = block.split_once("END:VEVENT\r\n").unwrap();
            let event = Event::read(block);
            let uid = value(block, "UID").to_owned();
            if state.events.insert(uid.clone(), event).is_some() {
                state.repeated.push(uid);
            }
        }
        state
    }
}

impl Event {
    fn read(block: &str) -> Event {
        let is_stamp = |line: &&str| line.starts_with("DTSTAMP:") || line.starts_with("SEQUENCE:");
        Event {
            bytes: block.to_owned(),
            said: block.lines().filter(|line| !is_stamp(line)).map(str::to_owned).collect(),
            start: value(block, "DTSTART;VALUE=DATE").to_owned(),
            stamp: value(block, "DTSTAMP").to_owned(),
            sequence: value(block, "SEQUENCE").parse().unwrap(),
        }
    }
}

fn value<'a>(block: &'a str, name: &str) -> &'a str {
    let line = block.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(':'));
    line.unwrap_or_else(|| panic!("no {name} in {block}"))
}

/// What is wrong with one state by itself.
pub(crate) fn faults_of(state: &State) -> Vec<String> {
    let mut faults: Vec<String> =
        state.repeated.iter().map(|uid| format!("{uid} stands twice")).collect();
    for (uid, event) in &state.events {
        if !state.tasks.contains(uid) {
            faults.push(format!("{uid} is an orphan"));
        }
        if event.start < state.day.format("%Y%m%d").to_string() {
            faults.push(format!("{uid} lies in the past"));
        }
        if event.stamp > state.day.format("%Y%m%dT000000Z").to_string() {
            faults.push(format!("{uid} was revised in the future"));
        }
    }
    let missing = state.tasks.iter().filter(|uid| !state.events.contains_key(*uid));
    // The farthest are dropped from a feed of a thousand.
    if state.events.len() < 1_000 {
        faults.extend(missing.map(|uid| format!("{uid} has a task and no event")));
    }
    faults.iter().map(|fault| format!("{}: {fault}", state.day)).collect()
}

/// What is wrong for a subscriber who holds the earlier state and polls the later one. Without a build
/// between them, what says the same must be the same bytes.
pub(crate) fn faults_between(earlier: &State, later: &State, is_next: bool) -> Vec<String> {
    let mut faults = Vec::new();
    let today = later.day.format("%Y%m%dT000000Z").to_string();
    for (uid, after) in later.events.iter().filter(|_| is_next) {
        let is_same = earlier.events.get(uid).is_some_and(|before| before.said == after.said);
        if !is_same && after.stamp != today {
            faults.push(format!("{uid} is new or changed today and dated {}", after.stamp));
        }
    }
    for (uid, before) in &earlier.events {
        let Some(after) = later.events.get(uid) else {
            if later.tasks.contains(uid) && later.events.len() < 1_000 {
                faults.push(format!("{uid} left, but still has a task"));
            }
            continue;
        };
        let is_same = before.said == after.said;
        if after.sequence < before.sequence || after.stamp < before.stamp {
            faults.push(format!("{uid} goes back"));
        }
        if !is_same && after.sequence <= before.sequence {
            faults.push(format!("{uid} changed under the same SEQUENCE"));
        }
        if is_same && before.bytes != after.bytes && is_next {
            faults.push(format!("{uid} has other bytes and says the same"));
        }
        if is_same && before.bytes != after.bytes && after.sequence == before.sequence {
            faults.push(format!("{uid} has other bytes under the same SEQUENCE"));
        }
    }
    faults.iter().map(|fault| format!("{} → {}: {fault}", earlier.day, later.day)).collect()
}
