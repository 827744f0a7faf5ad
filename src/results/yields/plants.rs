//! How many plants a yield is divided by.
//!
//! Plants at planting out, whatever was lost later: what was lost belongs to the way it was grown. Of
//! what is sown where it grows: the plants left after thinning, or those that came up if nobody
//! thinned. (Common practice, no source.) Seeds are not plants: where nobody counted once they had
//! come up, there is no number.

use crate::garden::model::Garden;
use crate::garden::planting::{PlantingId, Plants, Step};
use crate::happening::Happening;
use crate::results::yields::why_not::WhyNot;
use crate::stage::Stage;

/// A number of plants to divide by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlantCount {
    /// How many, at least one.
    pub number: u32,
    /// Whether it is a guess.
    pub is_about: bool,
    /// Which plants were counted.
    pub counted: Counted,
}

/// Which plants were counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counted {
    /// Those that were planted out; cloves, sets and tubers that were planted.
    PlantedOut,
    /// Those left after thinning.
    Thinned,
    /// Those that came up, where they were never planted out or thinned.
    CameUp,
}

/// The plants of a planting that its yield is divided by.
pub fn of_planting(garden: &Garden, id: PlantingId) -> Result<PlantCount, WhyNot> {
    let planting = garden.planting(id);
    let own = planting.own_steps();
    let (plants, counted) = match set_out(garden, id, own) {
        Some(plants) => (plants, Counted::PlantedOut),
        None => came_up(own).ok_or(WhyNot::NotCounted)?,
    };
    let mut raising = planting.history.iter().take_while(|step| !is_flowering(step));
    let is_counted = raising.any(is_count_of_plants);
    match plants.number {
        Some(number) if number > 0 && is_counted => {
            Ok(PlantCount { number, is_about: plants.is_about, counted })
        }
        _ => Err(WhyNot::NotCounted),
    }
}

/// The plants that stood on the day of the first picking, where they are counted and fewer than were set out: what
/// slugs took on the fifth day was set out, and did not bear.
pub fn that_bore(garden: &Garden, id: PlantingId) -> Option<u32> {
    let set_out = of_planting(garden, id).ok()?;
    let first = garden.harvests_of(id).next()?.date;
    let steps = garden.planting(id).own_steps().iter();
    let before = steps.take_while(|step| step.date <= first);
    let lost: Option<u32> = before
        .skip_while(|step| !is_planted_out(step))
        .filter(|step| step.what == Happening::Lost)
        .map(|step| step.plants.number)
        .sum();
    let bore = set_out.number.checked_sub(lost.filter(|lost| *lost > 0)?)?;
    (bore > 0 && !set_out.is_about).then_some(bore)
}

/// Whether plants were set out.
pub(super) fn is_planted_out(step: &Step) -> bool {
    step.what == Happening::Reached(Stage::PlantedOut)
}

/// Plants that were set out, less those that went on as a planting of their own.
fn set_out(garden: &Garden, id: PlantingId, own: &[Step]) -> Option<Plants> {
    let planting = garden.planting(id);
    let inherited = planting.shared_steps();
    let mut plants = own.iter().filter(|step| is_planted_out(step)).map(|step| step.plants);
    let first = plants.next();
    let plants = match (first, inherited.iter().any(is_planted_out)) {
        (Some(first), _) => plants.fold(first, Plants::and),
        (None, true) => own.first()?.plants,
        (None, false) => return None,
    };
    let gone = garden
        .children_of(id)
        .iter()
        .filter_map(|child| garden.planting(*child).own_steps().first())
        .filter(|step| !is_planted_out(step))
        .filter(|step| own.iter().any(|own| is_planted_out(own) && own.date <= step.date))
        .map(|step| step.plants);
    Some(gone.fold(plants, |plants, gone| Plants {
        number: plants.number.zip(gone.number).map(|(all, gone)| all.saturating_sub(gone)),
        is_about: plants.is_about || gone.is_about,
    }))
}

/// What stood after the last seedlings had come up and were thinned.
fn came_up(own: &[Step]) -> Option<(Plants, Counted)> {
    let is_raising = |step: &&Step| match step.what {
        Happening::Thinned => true,
        Happening::Reached(stage) => {
            (Stage::Emerged..=Stage::HardeningOff).contains(&stage.settled())
        }
        _ => false,
    };
    let last = own.iter().rev().find(is_raising)?;
    let is_thinned = own.iter().any(|step| step.what == Happening::Thinned);
    let counted = if is_thinned { Counted::Thinned } else { Counted::CameUp };
    Some((last.plants_after, counted))
}

fn is_flowering(step: &Step) -> bool {
    matches!(step.what, Happening::Reached(stage) if stage >= Stage::Flowering)
}

/// Whether somebody counted plants, not seeds.
fn is_count_of_plants(step: &Step) -> bool {
    let is_up = matches!(step.what, Happening::Reached(stage) if stage.settled() > Stage::Sown);
    is_up && step.count.is_some_and(|count| count.number.is_some())
}
