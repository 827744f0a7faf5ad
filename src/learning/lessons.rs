//! What was learned, put where the dates are made: crop sheets of plantings that are still under way.
//!
//! Only what a planting's own kind of beginning teaches is taken, and only if at least one planting
//! taught it; the table stays where nothing was learned.

use chrono::NaiveDate;

use crate::catalogue::sheet::AfterStage;
use crate::garden::model::Garden;
use crate::garden::planting::{Planting, Way};
use crate::garden::taught::Taught;
use crate::learning::Learned;
use crate::learning::estimate::{Estimate, Level};
use crate::learning::quantity::{Beginning, Kind, Quantity, Span};
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::units::{Days, Range};

/// Something learned that a planting's dates rest on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lesson {
    /// What.
    pub quantity: Quantity,
    /// What is expected.
    pub estimate: Estimate,
}

/// The garden with what was learned in the crop sheets of its unfinished plantings, and for each planting
/// what that was.
pub fn taught(garden: &Garden, learned: &Learned) -> (Taught, Vec<Vec<Lesson>>) {
    let mut sheets = Vec::new();
    let mut lessons = vec![Vec::new(); garden.plantings().len()];
    for (id, planting) in garden.plantings().filter(|(_, planting)| planting.finished.is_none()) {
        let mut planting = planting.clone();
        lessons[id.0] = teach(garden, learned, &mut planting);
        sheets.push((id, planting.sheet));
    }
    (Taught::new(garden, sheets), lessons)
}

fn teach(garden: &Garden, learned: &Learned, planting: &mut Planting) -> Vec<Lesson> {
    let mut lessons = Vec::new();
    let mut learn = |planting: &Planting, quantity, from| {
        let kind = kind(garden, planting, from);
        let variety = planting.variety.as_deref();
        let estimate = learned.estimate(garden, planting.crop, variety, quantity, kind)?;
        let is_learned = estimate.level != Level::Table && estimate.from_plantings > 0;
        is_learned.then(|| {
            lessons.push(Lesson { quantity, estimate });
            days(&estimate)
        })
    };
    let first = if planting.way == Way::Planted { Beginning::Planted } else { Beginning::Sown };
    let emerged = Span::new(first, Milestone::Stage(Stage::Emerged));
    if let Some(days) = learn(planting, Quantity::Days(emerged), first) {
        planting.sheet.emerges_in = Some(days);
    }
    if let Some(after) = planting.sheet.flowering {
        let from = beginning(planting, after.stage);
        let span = Span::new(from, Milestone::Stage(Stage::Flowering));
        if let Some(days) = learn(planting, Quantity::Days(span), from) {
            planting.sheet.flowering = Some(AfterStage { days, ..after });
        }
    }
    if let Some(after) = planting.sheet.first_harvest {
        let from = beginning(planting, after.stage);
        let span = Span::new(from, Milestone::FirstHarvest);
        if let Some(days) = learn(planting, Quantity::Days(span), from) {
            planting.sheet.first_harvest = Some(AfterStage { days, ..after });
        }
    }
    let from = if is_set_out(planting) { Beginning::PlantedOut } else { first };
    if planting.sheet.picking_every.is_some()
        && let Some(days) = learn(planting, Quantity::PickingInterval, from)
    {
        planting.sheet.picking_every = Some(days);
    }
    if let Some(days) = learn(planting, Quantity::SeasonLength, from) {
        planting.sheet.harvest_lasts = Some(days);
    }
    lessons
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

/// The kind of a planting's beginning: by where it stood then, else where it is meant to stand.
fn kind(garden: &Garden, planting: &Planting, from: Beginning) -> Kind {
    let day: NaiveDate = match from {
        Beginning::PlantedOut => planting.reached(Stage::PlantedOut),
        Beginning::Sown | Beginning::Planted => planting.begun(),
    }
    .unwrap_or(garden.today);
    let stood = planting.places_on(day).last().copied();
    let place = match from {
        Beginning::PlantedOut => planting.places_on(day).first().copied().or(planting.destined),
        Beginning::Sown | Beginning::Planted => stood.or(planting.first_place),
    };
    Kind::of_beginning(garden, &planting.sheet, from, day, place)
}

/// The 80 % interval in whole days, at least one.
fn days(estimate: &Estimate) -> Range<Days> {
    let whole = |value: f64| Days((value.round() as i32).max(1));
    Range { low: whole(estimate.low), high: whole(estimate.high) }
}
