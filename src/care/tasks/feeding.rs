//! What decides about a feed besides its rule: fresh mix, the feed before it, nitrogen.

use chrono::NaiveDate;

use crate::care::manure;
use crate::care::mixes::is_called;
use crate::care::tasks::model::Cause;
use crate::care::tasks::outlook::Outlook;
use crate::catalogue::Purpose;
use crate::dates::shift;
use crate::garden::model::Garden;
use crate::garden::planting::StepWord;
use crate::garden::records::CareRecord;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::names::folded;
use crate::sheets::mix::{FeedLabel, MixKind, MixSheet};
use crate::stage::Stage;

/// Fresh mix feeds for four weeks. Common practice, no source.
const FRESH_MIX_DAYS: f64 = 28.0;

/// Fresh mix that a planting stands in.
#[derive(Clone, Copy, Debug)]
pub(super) struct FreshMix {
    pub(super) date: NaiveDate,
    pub(super) feeds_until: NaiveDate,
    pub(super) cause: Cause,
}

/// A feed that was given.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fed {
    pub(super) date: NaiveDate,
    pub(super) cause: Cause,
}

/// The fresh mix that feeds longest: plants were potted on, set out into a mix that was named, or their
/// container was refilled. Where part of the old mix stays, it feeds for so much shorter.
pub(super) fn fresh_mix(outlook: &Outlook<'_>) -> Option<FreshMix> {
    let fresh = |date: NaiveDate, share: f64, cause: Cause| FreshMix {
        date,
        feeds_until: shift(date, (FRESH_MIX_DAYS * share.clamp(0.0, 1.0)) as i64),
        cause,
    };
    let steps = outlook.course.planting.history.iter().filter(|step| match step.what {
        Happening::Reached(Stage::PottedOn) => true,
        Happening::Reached(Stage::PrickedOut | Stage::PlantedOut) | Happening::Moved => {
            step.words.iter().any(|(word, _)| *word == StepWord::Mix)
        }
        _ => false,
    });
    let steps = steps.map(|step| fresh(step.date, 1.0, outlook.cause_of(&step.source, step.date)));
    let place = outlook.course.planting.places_on(outlook.today());
    let garden = outlook.garden();
    let here = place.iter().flat_map(|place| garden.care_in(*place));
    let refills = outlook.care().chain(here).filter(|care| care.did == Job::Refill);
    let refills = refills.map(|care| {
        let cause = outlook.cause_of(&care.source, care.date);
        fresh(care.date, 1.0 - care.old_share.unwrap_or(0.0), cause)
    });
    steps.chain(refills).max_by_key(|fresh| (fresh.feeds_until, fresh.date))
}

/// The last feed of any kind before a day.
pub(super) fn last_before(outlook: &Outlook<'_>, day: NaiveDate) -> Option<Fed> {
    let feeds = outlook.care().filter(|care| care.did == Job::Feed && care.date < day);
    feeds
        .map(|care| Fed { date: care.date, cause: outlook.cause_of(&care.source, care.date) })
        .max_by_key(|fed| fed.date)
}

/// The garden's own product for a purpose: of several the one that was given last, to this planting or else to any; none
/// if none serves.
pub(super) fn product_for(outlook: &Outlook<'_>, purpose: Purpose) -> Option<String> {
    let garden = outlook.garden();
    let feeds = || garden.mixes.iter().filter_map(|mix| Some((mix, label_in(mix)?)));
    let serving: Vec<&MixSheet> =
        feeds().filter(|(_, label)| serves(label, purpose)).map(|(mix, _)| mix).collect();
    let is_given = |mix: &MixSheet, care: &CareRecord| {
        care.did == Job::Feed && care.with.as_deref().is_some_and(|with| is_called(mix, with))
    };
    let last = |care: &CareRecord| serving.iter().find(|mix| is_given(mix, care)).copied();
    let own: Vec<&CareRecord> = outlook.care().collect();
    let found = own.iter().rev().find_map(|care| last(care));
    let found = found.or_else(|| garden.care.iter().rev().find_map(last));
    found.or(serving.first().copied()).map(|mix| mix.name.value.clone())
}

/// Whether a feed serves a purpose: for fruit it holds more potassium than nitrogen, for leaves not less nitrogen
/// (common practice, no source).
pub(super) fn serves(label: &FeedLabel, purpose: Purpose) -> bool {
    match purpose {
        Purpose::Leaves => label.n > 0.0 && label.n >= label.k2o,
        Purpose::Fruit => label.k2o > label.n,
    }
}

/// The label of a feed by its name.
pub(super) fn label_of<'a>(garden: &'a Garden, with: &str) -> Option<&'a FeedLabel> {
    garden.mixes.iter().find(|mix| is_called(mix, with)).and_then(label_in)
}

fn label_in(mix: &MixSheet) -> Option<&FeedLabel> {
    match &mix.is {
        MixKind::Feed { label, .. } => Some(label),
        _ => None,
    }
}

/// Whether a feed is given for its nitrogen: by its label if it has one, else by its name. A feed without
/// a name may be.
pub(super) fn is_of_nitrogen(garden: &Garden, with: Option<&str>) -> bool {
    let Some(with) = with else { return true };
    match label_of(garden, with) {
        Some(label) => label.n > 0.0 && label.n >= label.p2o5.max(label.k2o),
        None => manure::class_of(garden, with).is_some() || folded(with).contains("leaf-feed"),
    }
}
