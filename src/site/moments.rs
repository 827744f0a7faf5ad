//! Things that happened, were done, picked or seen, as lines of a page.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId, Step, StepWord};
use crate::garden::records::{
    CareRecord, CostRecord, HarvestRecord, SightRecord, Source, TestRecord,
};
use crate::garden::shown::Kept;
use crate::happening::Happening;
use crate::jobs::Job;
use crate::site::amount::Amount;
use crate::site::frame::{EntryLink, Link};
use crate::site::message::Message;
use crate::site::tasks;
use crate::stage::Stage;
use crate::units::Uses;

/// Something in the line of time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moment {
    pub date: NaiveDate,
    /// Which kind, for a style: `stage`, `care`, `harvest`, `seen`, `test`, `cost`.
    pub kind: &'static str,
    pub what: Message,
    /// How many, how much.
    pub amounts: Vec<Amount>,
    pub place: Option<Link>,
    /// More, in the grower's words.
    pub words: Vec<Message>,
    /// The entry it is written in.
    pub entry: Option<EntryLink>,
}

/// A month with what happened in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthOfMoments {
    /// Its first day.
    pub month: NaiveDate,
    /// What happened, oldest first.
    pub moments: Vec<Moment>,
}

/// History of a planting on some days, and care, pickings and pests on others, in one line of time, month by month,
/// oldest first.
pub(super) fn timeline(
    garden: &Garden,
    id: PlantingId,
    history: Period,
    rest: Period,
) -> Vec<MonthOfMoments> {
    let planting = garden.planting(id);
    let steps = planting.written_steps().filter(|step| history.contains(step.date));
    let mut moments: Vec<Moment> = steps.map(|step| of_step(garden, planting, step)).collect();
    let has_plan = planting.plan_note.is_some() && history.contains(planting.noted);
    moments.extend(has_plan.then(|| of_plan(garden, planting)));
    let care = garden.care_of(id).filter(|care| rest.contains(care.date));
    moments.extend(care.map(|care| of_care(garden, care, care.about.plantings.len() == 1)));
    let harvests = garden.harvests_of(id).filter(|harvest| rest.contains(harvest.date));
    moments.extend(harvests.map(|harvest| of_harvest(garden, harvest)));
    let sights = garden.sights_of(id).filter(|sight| rest.contains(sight.date));
    moments.extend(sights.map(|sight| of_sight(garden, sight)));
    moments.sort_by_key(|moment| moment.date);
    let month_of = |moment: &Moment| moment.date.with_day(1).unwrap_or(moment.date);
    let months = moments.chunk_by(|one, next| month_of(one) == month_of(next));
    months
        .map(|moments| MonthOfMoments { month: month_of(&moments[0]), moments: moments.to_vec() })
        .collect()
}

/// The days of its care, pickings and pests, in no order.
pub(super) fn days(garden: &Garden, id: PlantingId) -> impl Iterator<Item = NaiveDate> {
    let care = garden.care_of(id).map(|care| care.date);
    let harvests = garden.harvests_of(id).map(|harvest| harvest.date);
    care.chain(harvests).chain(garden.sights_of(id).map(|sight| sight.date))
}

/// A step of a planting's history.
pub(super) fn of_step(garden: &Garden, planting: &Planting, step: &Step) -> Moment {
    let what = match step.what {
        Happening::Reached(stage) | Happening::Showed(stage) => tasks::stage(stage),
        other => Message::new(format!("happening.{}", tasks::key(other.word()))),
    };
    let noun = match step.what {
        Happening::Reached(Stage::Sown | Stage::SownAgain) => "seeds",
        _ => "plants",
    };
    let room = step.uses.map(|uses| room(garden, uses));
    let year = planting.year_alone(step.date).map(|year| year.to_string());
    let year = year.map(|year| Message::new("word.some-day").with("year", year));
    let words = step
        .words
        .iter()
        .map(|(kind, text)| match kind {
            StepWord::Pot => Message::new("word.pot").with("what", &**text),
            StepWord::Mix => Message::new("word.mix").with("what", &**text),
            StepWord::Because => Message::new("word.because").with("what", &**text),
            StepWord::Note => note(text),
        })
        .chain(room)
        .chain(year)
        .collect();
    Moment {
        date: step.date,
        kind: "stage",
        what,
        amounts: step.count.and_then(|count| Amount::plants_as(count, noun)).into_iter().collect(),
        place: step.place.map(|id| Link::place(garden, id)),
        words,
        entry: entry_of(garden, &step.source),
    }
}

/// A planting that is only intended.
pub(super) fn of_plan(garden: &Garden, planting: &Planting) -> Moment {
    Moment {
        date: planting.noted,
        kind: "plan",
        what: tasks::stage(Stage::Intended),
        amounts: planting.aim.map(|aim| Amount::count(aim, "plants")).into_iter().collect(),
        place: planting.destined.map(|id| Link::place(garden, id)),
        words: planting.plan_note.as_deref().map(note).into_iter().collect(),
        entry: entry_of(garden, &planting.source),
    }
}

/// Work that was done; the total is shown only where it was all for the one it is shown with.
pub(super) fn of_care(garden: &Garden, care: &CareRecord, with_total: bool) -> Moment {
    let system = garden.settings.units;
    let mut words = Vec::new();
    let each = care.each.map(|each| Amount::of_care(each, system));
    words.extend(each.map(|each| Message::new("word.each").with("amount", each)));
    let against = care.against.as_deref();
    words.extend(against.map(|what| Message::new("word.against").with("what", what)));
    let wait = care.wait_days;
    words.extend(wait.map(|days| Message::new("word.wait").with("count", u64::from(days))));
    let old = care.old_share.map(Amount::percent);
    words.extend(old.map(|share| Message::new("word.old-mix").with("share", share)));
    let task = care.task.as_ref().and_then(Kept::shown);
    words.extend(task.map(|task| Message::new("word.task").with("what", task)));
    words.extend(care.note.as_deref().map(note));
    let total = care.amount.filter(|_| with_total);
    Moment {
        date: care.date,
        kind: if care.did == Job::Treat { "treat" } else { "care" },
        what: tasks::job_with(&care.did, care.shown_with()),
        amounts: total.map(|total| Amount::of_care(total, system)).into_iter().collect(),
        place: None,
        words,
        entry: entry_of(garden, &care.source),
    }
}

pub(super) fn of_harvest(garden: &Garden, harvest: &HarvestRecord) -> Moment {
    let mut words = Vec::new();
    if harvest.plantings.len() > 1 {
        words.push(Message::new("word.together"));
    }
    if harvest.is_cured {
        words.push(Message::new("word.cured"));
    }
    words.extend(harvest.quality.as_deref().map(note));
    words.extend(harvest.note.as_deref().map(note));
    let weight = harvest.weight.map(|weight| Amount::mass(weight, garden.settings.units));
    let count = harvest.count.map(|count| Amount::count(count, &harvest.unit));
    Moment {
        date: harvest.date,
        kind: "harvest",
        what: Message::new("moment.picked"),
        amounts: weight.into_iter().chain(count).collect(),
        place: None,
        words,
        entry: entry_of(garden, &harvest.source),
    }
}

/// Something seen.
pub(super) fn of_sight(garden: &Garden, sight: &SightRecord) -> Moment {
    Moment {
        date: sight.date,
        kind: "seen",
        what: Message::new("moment.seen").with("what", &*sight.what),
        amounts: Vec::new(),
        place: None,
        words: sight.how_bad.iter().chain(&sight.note).map(|text| note(text)).collect(),
        entry: entry_of(garden, &sight.source),
    }
}

/// Seed that was tried.
pub(super) fn of_test(garden: &Garden, test: &TestRecord) -> Moment {
    let mut words = vec![
        Message::new("seedbox.result")
            .with("sprouted", Amount::whole(f64::from(test.sprouted)))
            .with("tried", Amount::whole(f64::from(test.tried))),
    ];
    let days = test.days.map(|days| Amount::count(days, "days"));
    words.extend(days.map(|days| Message::new("word.in-days").with("days", days)));
    words.extend(test.note.as_deref().map(note));
    Moment {
        date: test.date,
        kind: "test",
        what: Message::new("moment.tested").with("what", test.seed.shown().unwrap_or_default()),
        amounts: Vec::new(),
        place: None,
        words,
        entry: entry_of(garden, &test.source),
    }
}

pub(super) fn of_cost(garden: &Garden, cost: &CostRecord) -> Moment {
    let (currency, system) = (garden.settings.currency.as_deref(), garden.settings.units);
    let amount = cost.amount.map(|amount| Amount::of_care(amount, system));
    Moment {
        date: cost.date,
        kind: "cost",
        what: Message::new("moment.bought").with("what", &*cost.what),
        amounts: amount.into_iter().chain([Amount::money(cost.price, currency)]).collect(),
        place: None,
        words: cost.note.as_deref().map(note).into_iter().collect(),
        entry: entry_of(garden, &cost.source),
    }
}

fn room(garden: &Garden, uses: Uses) -> Message {
    Message::new("word.room").with("room", Amount::uses(uses, garden.settings.units))
}

fn entry_of(garden: &Garden, source: &Source) -> Option<EntryLink> {
    source.entry.and_then(|entry| Link::entry(garden, entry))
}

fn note(text: &str) -> Message {
    Message::new("word.note").with("what", text)
}
