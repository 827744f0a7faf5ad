//! What was learned, put where the dates are made: crop sheets of plantings that are still under way.
//!
//! Only what a planting's own kind of beginning teaches is taken, and only if at least one planting
//! taught it. Where nothing was learned the table stays; flowers and first pickings then take the model's range, which
//! is wider, because the table speaks of gardens at large.

use chrono::{Datelike, NaiveDate};

use crate::catalogue::sheet::AfterStage;
use crate::climate::conditions::Conditions;
use crate::dates;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, PlantingId, Way};
use crate::garden::taught::Taught;
use crate::learning::estimate::Estimate;
use crate::learning::quantity::{Beginning, Kind, Quantity, Span};
use crate::learning::{Asked, Learned, warmth};
use crate::names;
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::stages::course;
use crate::units::{Days, Range};

/// Something learned that a planting's dates rest on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lesson {
    pub quantity: Quantity,
    /// What is expected.
    pub estimate: Estimate,
}

/// The garden with what was learned in the crop sheets of its unfinished plantings, and for each planting
/// what that was.
pub fn taught(
    garden: &Garden,
    conditions: &Conditions,
    learned: &Learned,
) -> (Taught, Vec<Vec<Lesson>>) {
    let mut sheets = Vec::new();
    let mut lessons = vec![Vec::new(); garden.plantings().len()];
    for (id, planting) in garden.plantings().filter(|(_, planting)| planting.finished.is_none()) {
        let mut planting = planting.clone();
        let all = |_| true;
        lessons[id.0] = teach(garden, conditions, learned, (id, &mut planting), garden.today, all);
        sheets.push((id, planting.sheet));
    }
    (Taught::new(garden, sheets), lessons)
}

/// Puts into a planting's sheet what was learned by the end of a day of the milestones that are wanted.
pub(super) fn teach(
    garden: &Garden,
    conditions: &Conditions,
    learned: &Learned,
    (id, planting): (PlantingId, &mut Planting),
    day: NaiveDate,
    is_wanted: impl Fn(Milestone) -> bool,
) -> Vec<Lesson> {
    let mut lessons = Vec::new();
    let variety = names::folded(planting.variety.as_deref().unwrap_or_default());
    let known = |planting: &Planting, quantity, from| {
        let (kind, begun) = kind(garden, planting, from, day);
        let asked = Asked {
            crop: planting.crop,
            variety: &variety,
            quantity,
            kind,
            season: garden.season_of(begun).days.from.year(),
            before: dates::shift(day, 1),
            own: Some(id),
        };
        learned.answer(garden, asked)
    };
    let mut learn = |planting: &Planting, quantity, from| {
        let estimate = known(planting, quantity, from)?;
        // What is only awaited has taught nothing yet.
        let is_learned = estimate.from_plantings > estimate.unfinished || estimate.neighbours > 0;
        is_learned.then(|| {
            lessons.push(Lesson { quantity, estimate });
            estimate
        })
    };
    let foretold_in = |planting: &Planting, span: Span| {
        let (kind, _) = kind(garden, planting, span.from, day);
        if warmth::usual_weather(&planting.sheet, span, conditions).is_none() {
            return Quantity::Days(span);
        }
        learned.foretold_in((planting.crop, span, kind), dates::shift(day, 1))
    };
    let first = if planting.way == Way::Planted { Beginning::Planted } else { Beginning::Sown };
    let emerged = Span::new(first, Milestone::Stage(Stage::Emerged));
    if is_wanted(emerged.to) {
        let in_warmth = Quantity::Warmth(emerged);
        if foretold_in(planting, emerged) == in_warmth && planting.sheet.emerges_in.is_none() {
            let told = learn(planting, in_warmth, first);
            let told = told.or_else(|| known(planting, in_warmth, first));
            let range = told.map(|told| Range { low: told.low, high: told.high });
            planting.sheet.emerges_after = range;
        } else if let Some(estimate) = learn(planting, Quantity::Days(emerged), first) {
            planting.sheet.emerges_in = Some(days(&estimate));
        }
    }
    let begun_as = course::beginning(garden, planting);
    let mut learn_after = |planting: &mut Planting, after: AfterStage, to: Milestone| {
        // Warmth is counted from where it grows on.
        let (from, stage) = match begun_as {
            course::Beginning::Direct => (Beginning::Sown, Stage::Sown),
            course::Beginning::Raised => (Beginning::PlantedOut, Stage::PlantedOut),
            course::Beginning::SetOut => (Beginning::Planted, Stage::PlantedOut),
        };
        let span = Span::new(from, to);
        if foretold_in(planting, span) == Quantity::Warmth(span) {
            let quantity = Quantity::Warmth(span);
            let told = learn(planting, quantity, from);
            if told.is_some() {
                forget_sums(planting);
            }
            // Where nothing was learned a sum of the sheet still comes first.
            let told = told.or_else(|| known(planting, quantity, from));
            if let Some(told) = told {
                return AfterStage { stage, days: days(&told), is_of_calendar: false };
            }
        }
        // What is raised and set out teaches from there on, whatever its sheet counts from.
        let raised = Some(Beginning::PlantedOut).filter(|_| begun_as == course::Beginning::Raised);
        let own = beginning(planting, after.stage);
        for (from, stage) in [(raised, Stage::PlantedOut), (Some(own), after.stage)] {
            let Some(from) = from else { continue };
            let span = Span::new(from, to);
            if let Some(told) = learn(planting, Quantity::Days(span), from) {
                forget_sums(planting);
                return AfterStage { stage, days: days(&told), is_of_calendar: true };
            }
        }
        // One garden's season is not all gardens' mean: the sheet's range alone holds too seldom.
        let alone = known(planting, Quantity::Days(Span::new(own, to)), own);
        alone.map_or(after, |alone| AfterStage { days: days(&alone), ..after })
    };
    let flowering = Milestone::Stage(Stage::Flowering);
    if let Some(after) = planting.sheet.flowering
        && is_wanted(flowering)
    {
        planting.sheet.flowering = Some(learn_after(planting, after, flowering));
    }
    if let Some(after) = planting.sheet.first_harvest
        && is_wanted(Milestone::FirstHarvest)
    {
        planting.sheet.first_harvest = Some(learn_after(planting, after, Milestone::FirstHarvest));
    }
    if !is_wanted(Milestone::Stage(Stage::Finished)) {
        return lessons;
    }
    let from = if is_set_out(planting) { Beginning::PlantedOut } else { first };
    if planting.sheet.picking_every.is_some()
        && let Some(told) = learn(planting, Quantity::PickingInterval, from)
    {
        planting.sheet.picking_every = Some(days(&told));
    }
    if let Some(told) = learn(planting, Quantity::SeasonLength, from) {
        planting.sheet.harvest_lasts = Some(days(&told));
    }
    lessons
}

/// The garden's own days say more of it than the table's sums of warmth.
fn forget_sums(planting: &mut Planting) {
    if let Some(sums) = &mut planting.sheet.degree_days {
        (sums.to_flowering, sums.to_harvest) = (None, None);
    }
}

/// What the days of a sheet count from, for plants that were begun in this way.
fn beginning(planting: &Planting, stage: Stage) -> Beginning {
    match (planting.way, stage) {
        (Way::Planted, _) => Beginning::Planted,
        (_, Stage::Sown) => Beginning::Sown,
        _ => Beginning::PlantedOut,
    }
}

fn is_set_out(planting: &Planting) -> bool {
    planting.way != Way::Planted && planting.reached(Stage::PlantedOut).is_some()
}

/// The kind of a planting's beginning: by where it stood then, else where it is meant to stand; and the day of it, `today` if
/// it is still to come.
fn kind(
    garden: &Garden,
    planting: &Planting,
    from: Beginning,
    today: NaiveDate,
) -> (Kind, NaiveDate) {
    let day: NaiveDate = match from {
        Beginning::PlantedOut => planting.reached(Stage::PlantedOut),
        Beginning::Sown | Beginning::Planted => planting.begun(),
    }
    .unwrap_or(today);
    let stood = planting.places_on(day);
    let place = match from {
        // What is still in its tray will not grow there.
        Beginning::PlantedOut if planting.reached(Stage::PlantedOut).is_none() => planting.destined,
        Beginning::PlantedOut => stood.first().copied().or(planting.destined),
        Beginning::Sown | Beginning::Planted => stood.last().copied().or(planting.first_place),
    };
    (Kind::of_beginning(garden, &planting.sheet, from, day, place), day)
}

/// The 80 % interval in whole days, at least one.
fn days(estimate: &Estimate) -> Range<Days> {
    let whole = |value: f64| Days((value.round() as i32).max(1));
    Range { low: whole(estimate.low), high: whole(estimate.high) }
}
