//! Since when each event of the feeds says what it says, found by replay.
//!
//! No state is kept between builds, and none is needed: everything is dated, so a build can work out what
//! the feeds said at every earlier turn of the garden ([`crate::garden::build::past`]). It goes back from today
//! until each of today's events said something else, or was not there. From the turn after that on it
//! has said the same, without a break: that turn is its revision.
//!
//! Why this keeps what a calendar expects. Let the same journal be published on a day and on a later one,
//! and an event be in both feeds. If it never changed between, both builds find the same turn, so its
//! bytes are the same. If it did, the later build's turn lies after the earlier day, so SEQUENCE has
//! grown; it cannot go back.
//!
//! The limit: this holds for entries that come in the order of their dates. An entry that is written or
//! changed after a day later than its own has been published, and anything that is not dated (garden.yaml,
//! a crop sheet, the theme's words), changes what earlier days are taken to have said; an event may then
//! say something new under its old SEQUENCE. Programs that read the whole feed again at each poll, as
//! most do, take it over all the same.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::calendar::basis::Basis;
use crate::care::tasks::model::Task;
use crate::catalogue::CropId;
use crate::findings;
use crate::garden::build::WrittenGarden;
use crate::garden::build::past::{Past, Turn};
use crate::garden::model::Garden;
use crate::site::task_event::{Told, told};
use crate::site::task_feed::{Revision, Revisions};

/// Turns that are worked out side by side. Few, because the last of them may be in vain.
const SIDE_BY_SIDE: usize = 8;

/// The revisions of all events of a garden's feeds: of the whole garden's, and of each crop's.
///
/// It goes back no further than the feed looks ahead, because no event can be older; and it builds the
/// garden of each turn anew, so its cost grows with the journal.
pub fn of(written: WrittenGarden, garden: &Garden, tasks: &[Task]) -> Revisions {
    let past = Past::of(written);
    let basis = Basis::of(garden);
    let mut open = all_told(garden, tasks, |_| true);
    let mut revisions = Revisions::new();
    let mut turns = past.turns(garden.today);
    let Some(mut same_since) = turns.next() else { return revisions };
    while !open.is_empty() {
        let batch: Vec<Turn> = turns.by_ref().take(SIDE_BY_SIDE).collect();
        if batch.is_empty() {
            break;
        }
        let earlier = batch.par_iter().map(|turn| told_at(&past, *turn, &basis, &open));
        let earlier: Vec<BTreeMap<String, Told>> = earlier.collect();
        for (turn, before) in batch.iter().zip(earlier) {
            open.retain(|uid, told| {
                let is_same = before.get(uid) == Some(told);
                if !is_same {
                    revisions.insert(uid.clone(), revision(same_since));
                }
                is_same
            });
            same_since = *turn;
        }
    }
    revisions.extend(open.into_keys().map(|uid| (uid, revision(same_since))));
    revisions
}

/// What the events that are still open said at a turn.
fn told_at(
    past: &Past,
    turn: Turn,
    basis: &Basis,
    open: &BTreeMap<String, Told>,
) -> BTreeMap<String, Told> {
    let garden = past.garden(turn);
    let tasks = findings::tasks(&basis.moved_to(&garden), &garden);
    all_told(&garden, &tasks, |uid| open.contains_key(uid))
}

/// The events of all feeds together: their UIDs differ from feed to feed.
fn all_told(
    garden: &Garden,
    tasks: &[Task],
    is_wanted: impl Fn(&str) -> bool,
) -> BTreeMap<String, Told> {
    let crops = garden.catalogue.crops().map(|(id, _)| id);
    let grown = |crop: &CropId| garden.plantings.iter().any(|planting| planting.crop == *crop);
    let mut events = told(garden, tasks, None, &is_wanted);
    for crop in crops.filter(grown) {
        events.extend(told(garden, tasks, Some(crop), &is_wanted));
    }
    events
}

fn revision(turn: Turn) -> Revision {
    Revision { day: turn.day, turn: turn.number }
}
