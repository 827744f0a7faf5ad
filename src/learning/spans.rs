//! Waits between milestones, as the histories of plantings tell them.
//!
//! A wait can be read as it was known on any day, so that a forecast can be judged by what was known then.
//!
//! *Left out, because it cannot be read:* what began before the journal did; perennials; a milestone that
//! nobody noted although a later one was (from the day of the later one); a tray that ended without a
//! seedling (that is a loss, not a long wait); a first picking that was weighed together with others.
//! *Censored* at the end of a planting: one that was cleared or died before it came so far; and at the day
//! of asking: one that is still growing.
//! *Split plantings* count from a beginning of their own; for what they share with the planting they were
//! split from, that one counts, and the first of them that comes so far ends its wait.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use crate::catalogue::CropId;
use crate::climate::conditions::Conditions;
use crate::dates::shift;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId, Step, Way};
use crate::happening::Happening;
use crate::learning::estimate::Estimate;
use crate::learning::posterior::{End, Sample};
use crate::learning::quantity::{Beginning, Kind, Quantity, Span, is_for_raising};
use crate::learning::warmth::{Sums, Warmth};
use crate::names;
use crate::stage::Stage;
use crate::stages::Milestone;

/// A wait of one planting from a beginning to a milestone.
#[derive(Clone, Debug)]
pub(super) struct Wait {
    pub(super) planting: PlantingId,
    pub(super) crop: CropId,
    /// The folded name of the variety; empty if none was named.
    pub(super) variety: Arc<str>,
    pub(super) span: Span,
    pub(super) kind: Kind,
    pub(super) start: NaiveDate,
    /// The year of the first day of the season in which it began.
    pub(super) season: i32,
    /// The day the milestone came.
    pub(super) end: Option<NaiveDate>,
    /// From this day on it is known that the milestone cannot be read.
    void: Option<NaiveDate>,
    /// The day after which there were no plants that could reach it.
    stop: Option<NaiveDate>,
    /// The warmth it gathers, where it stands in the open.
    warmth: Option<Arc<Sums>>,
}

/// A wait as it was known on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Known {
    /// It ended on this day.
    Ended(NaiveDate),
    /// It had not ended after this day, the last on which it could.
    Gone(NaiveDate),
    /// It had not ended after this day, and still may.
    After(NaiveDate),
}

impl Known {
    /// The last day that counts.
    pub(super) fn last(self) -> NaiveDate {
        match self {
            Known::Ended(day) | Known::Gone(day) | Known::After(day) => day,
        }
    }
}

impl Wait {
    /// What was known of it from days before `day`; nothing if it had not begun, or cannot be read.
    pub(super) fn known_before(&self, day: NaiveDate) -> Option<Known> {
        let is_past = |date: Option<NaiveDate>| date.filter(|date| *date < day);
        if self.start >= day {
            return None;
        }
        if let Some(end) = is_past(self.end) {
            return Some(Known::Ended(end));
        }
        if is_past(self.void).is_some() {
            return None;
        }
        let known = match is_past(self.stop) {
            Some(stop) => Known::Gone(stop),
            None => Known::After(self.whole_weeks(day.pred_opt()?)),
        };
        (known.last() > self.start).then_some(known)
    }

    /// The last day until a day on which whole weeks were over: what is awaited says something new once a week, or every date
    /// would move a little each day.
    fn whole_weeks(&self, day: NaiveDate) -> NaiveDate {
        shift(self.start, (day - self.start).num_days() / 7 * 7)
    }

    /// What was known of it from days before `day`, in days or in warmth. An end on the day of the beginning counts as
    /// half a day; one before anything warm came says nothing of warmth.
    pub(super) fn as_of(&self, quantity: Quantity, day: NaiveDate) -> Option<Sample> {
        let known = self.known_before(day)?;
        let value = self.value(quantity, known.last())?;
        let end = match known {
            Known::Ended(_) => End::Came,
            Known::Gone(_) => End::Longer,
            Known::After(_) => End::Awaited,
        };
        let (variety, season) = (self.variety.clone(), self.season);
        Some(Sample { variety, season, value, end, plantings: 1 })
    }

    /// An estimate of a quantity in days from its beginning, as it was to be foretold on that day.
    pub(super) fn in_days(&self, quantity: Quantity, estimate: Estimate) -> Option<Estimate> {
        if !matches!(quantity, Quantity::Warmth(_)) {
            return Some(estimate);
        }
        let [low, middle, high] =
            [estimate.low, estimate.middle, estimate.high].map(|usual| self.days_until(usual));
        Some(Estimate { low: low?, middle: middle?, high: high?, ..estimate })
    }

    /// From its beginning to a day.
    pub(super) fn value(&self, quantity: Quantity, last: NaiveDate) -> Option<f64> {
        match quantity {
            Quantity::Warmth(_) => {
                self.warmth.as_ref()?.between(self.start, last).filter(|days| *days > 0.0)
            }
            _ => Some(((last - self.start).num_days() as f64).max(0.5)),
        }
    }

    /// Whether its warmth is known.
    pub(super) fn has_warmth(&self) -> bool {
        self.warmth.is_some()
    }

    /// Days from its beginning until so many days of usual weather are over.
    pub(super) fn days_until(&self, usual_days: f64) -> Option<f64> {
        self.warmth.as_ref()?.days_until(self.start, usual_days)
    }

    pub(super) fn quantity(&self) -> Quantity {
        Quantity::Days(self.span)
    }

    /// What it may be pooled with.
    pub(super) fn group(&self) -> (CropId, Quantity, Kind) {
        (self.crop, self.quantity(), self.kind)
    }
}

/// All waits of a garden.
pub(super) fn waits(garden: &Garden, conditions: &Conditions) -> Vec<Wait> {
    let Some(first_entry) = garden.entries.first().map(|entry| entry.date) else {
        return Vec::new();
    };
    let pickings = Pickings::of(garden);
    let splits = splits(garden);
    let mut warmth = Warmth::default();
    let mut waits = Vec::new();
    for (id, planting) in garden.plantings() {
        if planting.is_perennial || planting.is_older_than_journal {
            continue;
        }
        for span in Span::ALL {
            let beginnings = beginnings(garden, planting, span.from);
            for (index, step) in beginnings.iter().enumerate() {
                let again = beginnings.get(index + 1).map(|step| step.date);
                let wait = wait(garden, (&pickings, &splits), id, *span, step, again);
                waits.extend(wait.filter(|wait| wait.start >= first_entry).map(|wait| {
                    let is_open = !wait.kind.is_under_cover;
                    let of = || warmth.towards(garden, conditions, (planting, *span));
                    Wait { warmth: is_open.then(of).flatten(), ..wait }
                }));
            }
        }
    }
    waits
}

fn is_same(one: &Step, other: &Step) -> bool {
    one.date == other.date && one.what == other.what && one.source.at == other.source.at
}

/// The way the first of a line of splits was begun.
fn first_way(garden: &Garden, planting: &Planting) -> Way {
    // A split names a planting that stood before, so the line ends; the bound is for broken data.
    let mut at = planting;
    for _ in 0..garden.plantings().len() {
        match at.parent {
            Some(parent) => at = garden.planting(parent),
            None => break,
        }
    }
    at.way
}

/// The steps from which a planting's own waits count: every sowing, or the first planting out.
fn beginnings<'a>(garden: &Garden, planting: &'a Planting, from: Beginning) -> Vec<&'a Step> {
    let way = first_way(garden, planting);
    let is_fitting = match from {
        Beginning::Sown => way == Way::Sown,
        Beginning::PlantedOut => matches!(way, Way::Sown | Way::Bought),
        Beginning::Planted => way == Way::Planted,
    };
    let stage = if from == Beginning::Sown { Stage::Sown } else { Stage::PlantedOut };
    let own = planting.own_steps();
    let steps = own.iter().filter(
        |step| matches!(step.what, Happening::Reached(reached) if reached.settled() == stage),
    );
    match from {
        _ if !is_fitting => Vec::new(),
        Beginning::Sown => steps.collect(),
        // What was planted out before the split is not planted out anew.
        _ if planting.shared_steps().iter().any(|step| step.what == Happening::Reached(stage)) => {
            Vec::new()
        }
        _ => steps.take(1).collect(),
    }
}

fn wait(
    garden: &Garden,
    (pickings, splits): (&Pickings, &Splits),
    id: PlantingId,
    span: Span,
    step: &Step,
    sown_again: Option<NaiveDate>,
) -> Option<Wait> {
    let planting = garden.planting(id);
    let start = step.date;
    let kind = Kind::of_beginning(garden, &planting.sheet, span.from, start, step.place);
    if span.to == Milestone::Stage(Stage::Flowering) && planting.sheet.flowering.is_none() {
        return None;
    }
    if span.is_of_direct_sowing() && is_to_move(garden, planting, step) {
        return None;
    }
    let family = family(garden, splits, id, step);
    let steps = || {
        let of_member = |member: &PlantingId| garden.planting(*member).own_steps().iter();
        family.iter().flat_map(of_member).filter(|step| step.date >= start)
    };
    let first_step = |is_it: &dyn Fn(Stage) -> bool| {
        let dates = steps().filter_map(|step| match step.what {
            Happening::Reached(stage) if is_it(stage.settled()) => Some(step.date),
            _ => None,
        });
        dates.min()
    };
    let first_of = |dates: &[Option<NaiveDate>]| dates.iter().flatten().min().copied();
    let (picked, picked_together) = pickings.first(&family, start);
    let (end, later) = match span.to {
        Milestone::Stage(stage) => {
            let is_later = |other: Stage| other > stage && other != Stage::Finished;
            (
                first_step(&|other| other == stage),
                first_of(&[first_step(&is_later), picked, picked_together]),
            )
        }
        Milestone::FirstHarvest => (picked, picked_together),
    };
    let moved = if span.is_of_direct_sowing() {
        first_step(&|stage| stage == Stage::PlantedOut)
    } else {
        None
    };
    let ends: Vec<Option<NaiveDate>> =
        family.iter().map(|member| garden.planting(*member).finished).collect();
    let stop = if ends.contains(&None) { None } else { ends.into_iter().flatten().max() };
    let dead = stop.filter(|_| span.to == Milestone::Stage(Stage::Emerged));
    let given_up = sown_again;
    let void = first_of(&[later, moved, dead, given_up]);
    // A milestone noted on the day on which it turned out unreadable is still noted, unless it is another
    // sowing's or another place's.
    let is_spoilt = |end: NaiveDate| {
        given_up.is_some_and(|again| again <= end)
            || moved.is_some_and(|moved| moved <= end)
            || (span.to == Milestone::FirstHarvest && later.is_some_and(|later| later < end))
    };
    Some(Wait {
        planting: id,
        crop: planting.crop,
        variety: names::folded(planting.variety.as_deref().unwrap_or_default()).into(),
        span,
        kind,
        start,
        season: garden.season_of(start).days.from.year(),
        end: end.filter(|end| !is_spoilt(*end)),
        void,
        stop,
        warmth: None,
    })
}

/// Whether what is sown here is meant to go elsewhere.
fn is_to_move(garden: &Garden, planting: &Planting, sown: &Step) -> bool {
    let is_raised = sown.place.is_some_and(|place| is_for_raising(garden, place));
    is_raised || planting.destined.is_some_and(|destined| sown.place != Some(destined))
}

/// A planting and all that were split from it after a step, which they share.
fn family(garden: &Garden, splits: &Splits, id: PlantingId, step: &Step) -> Vec<PlantingId> {
    let mut family = vec![id];
    let mut next = 0;
    while let Some(parent) = family.get(next) {
        next += 1;
        let Some(children) = splits.get(parent) else { continue };
        let shares = |child: &&PlantingId| {
            let shared = garden.planting(**child).shared_steps();
            shared.iter().any(|shared| is_same(shared, step))
        };
        family.extend(children.iter().filter(shares));
    }
    family
}

/// The plantings that were split from a planting.
type Splits = BTreeMap<PlantingId, Vec<PlantingId>>;

fn splits(garden: &Garden) -> Splits {
    let mut splits = Splits::new();
    for (id, planting) in garden.plantings() {
        if let Some(parent) = planting.parent {
            splits.entry(parent).or_default().push(id);
        }
    }
    splits
}

/// The days on which each planting was picked: by itself, and together with others.
struct Pickings {
    alone: Vec<Vec<NaiveDate>>,
    together: Vec<Vec<NaiveDate>>,
}

impl Pickings {
    fn of(garden: &Garden) -> Pickings {
        let none = vec![Vec::new(); garden.plantings().len()];
        let mut pickings = Pickings { alone: none.clone(), together: none };
        for harvest in &garden.harvests {
            match harvest.plantings.as_slice() {
                [id] => pickings.alone[id.0].push(harvest.date),
                many => many.iter().for_each(|id| pickings.together[id.0].push(harvest.date)),
            }
        }
        pickings
    }

    /// The first picking of any of them from a day on: by itself, together with others.
    fn first(
        &self,
        family: &[PlantingId],
        from: NaiveDate,
    ) -> (Option<NaiveDate>, Option<NaiveDate>) {
        let first = |of: &[Vec<NaiveDate>]| {
            let days = family.iter().flat_map(|id| &of[id.0]).filter(|day| **day >= from);
            days.min().copied()
        };
        (first(&self.alone), first(&self.together))
    }
}
