//! Where a mix or a feed was used: steps into it, work with it.

use chrono::NaiveDate;
use serde::Serialize;

use crate::care::mixes::is_called;
use crate::garden::model::Garden;
use crate::garden::planting::StepWord;
use crate::sheets::mix::MixSheet;
use crate::site::amount::Amount;
use crate::site::frame::{EntryLink, Link};
use crate::site::message::Message;
use crate::site::moments;
use crate::site::tasks;

/// So many uses stand on a page.
const NEWEST: usize = 15;

/// A use of a mix or a feed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UseRow {
    pub date: NaiveDate,
    pub about: Vec<Link>,
    pub what: Message,
    /// How many plants, or how much of it.
    pub amounts: Vec<Amount>,
    /// The entry it is written in.
    pub entry: Option<EntryLink>,
}

/// The newest uses first, and how many there are besides.
pub(super) fn of(garden: &Garden, sheet: &MixSheet) -> (Vec<UseRow>, u64) {
    let mut uses = Vec::new();
    for (id, planting) in garden.plantings() {
        let into_it = planting.history.iter().filter(|step| {
            step.words.iter().any(|(word, text)| *word == StepWord::Mix && is_called(sheet, text))
        });
        uses.extend(into_it.map(|step| {
            let moment = moments::of_step(garden, planting, step);
            UseRow {
                date: step.date,
                about: vec![Link::planting(garden, id)],
                what: moment.what,
                amounts: moment.amounts,
                entry: moment.entry,
            }
        }));
    }
    let with_it = garden
        .care
        .iter()
        .filter(|care| care.shown_with().is_some_and(|with| is_called(sheet, with)));
    uses.extend(with_it.map(|care| {
        let places = care.about.places.iter().map(|id| Link::place(garden, *id));
        let plantings = care.about.plantings.iter().map(|id| Link::planting(garden, *id));
        let amount = care.amount.or(care.each);
        UseRow {
            date: care.date,
            // Who names a place means all that stand there.
            about: if care.about.places.is_empty() {
                plantings.collect()
            } else {
                places.collect()
            },
            what: match care.each.filter(|_| care.amount.is_none()) {
                Some(_) => Message::new("feed.each").with("job", tasks::job_with(&care.did, None)),
                None => tasks::job_with(&care.did, None),
            },
            amounts: amount
                .map(|amount| Amount::of_care(amount, garden.settings.units))
                .into_iter()
                .collect(),
            entry: care.source.entry.and_then(|entry| Link::entry(garden, entry)),
        }
    }));
    uses.sort_by(|a, b| (b.date, &a.about).cmp(&(a.date, &b.about)));
    let more = uses.len().saturating_sub(NEWEST) as u64;
    uses.truncate(NEWEST);
    (uses, more)
}
