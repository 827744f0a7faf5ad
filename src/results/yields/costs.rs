//! What was spent, and what a kilogram came to.
//!
//! A planting's costs are the lines that name it alone; a crop's are those that name it or any of its
//! plantings. What names a place or nothing (compost, tools, a seed order) is in no cost of a kilogram:
//! to divide it among crops would be a guess.

use crate::catalogue::CropId;
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::garden::place::PlaceId;
use crate::garden::planting::PlantingId;
use crate::garden::records::CostRecord;
use crate::results::yields::Yield;
use crate::results::yields::why_not::WhyNot;
use crate::units::MassUnit;

/// Whom a cost line is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum For {
    Planting(PlantingId),
    /// A crop: all its plantings.
    Crop(CropId),
    Place(PlaceId),
    /// Nobody said.
    Nobody,
}

/// Money spent, in the garden's currency.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spent {
    /// The sum of the prices.
    pub sum: f64,
    pub lines: u32,
}

/// Whom a cost line is about.
pub fn whom(garden: &Garden, cost: &CostRecord) -> For {
    match (cost.about.plantings.as_slice(), cost.about.places.as_slice()) {
        ([only], []) => For::Planting(*only),
        ([first, ..], []) => For::Crop(garden.planting(*first).crop),
        ([], [place]) => For::Place(*place),
        _ => For::Nobody,
    }
}

/// What was spent by those of some lines whose whom passes.
pub fn spent<'a>(
    garden: &Garden,
    lines: impl IntoIterator<Item = &'a CostRecord>,
    is_wanted: impl Fn(For) -> bool,
) -> Spent {
    let lines = lines.into_iter().filter(|cost| is_wanted(whom(garden, cost)));
    lines.fold(Spent::default(), |spent, cost| Spent {
        sum: spent.sum + cost.price,
        lines: spent.lines + 1,
    })
}

/// What was spent on a planting.
pub fn of_planting(garden: &Garden, id: PlantingId) -> Spent {
    spent(garden, garden.costs_of(id), |_| true)
}

/// What was spent on a crop and its plantings, in all years.
pub fn of_crop(garden: &Garden, id: CropId) -> Spent {
    spent(garden, garden.costs_of_crop(id), |_| true)
}

/// The same without plantings that may still give something and gave nothing yet: what they cost is
/// in no kilogram so far.
pub fn of_crop_so_far(garden: &Garden, id: CropId) -> Spent {
    let gave = |planting: PlantingId| {
        garden.planting(planting).finished.is_some()
            || garden.harvests_of(planting).next().is_some()
    };
    spent(
        garden,
        garden.costs_of_crop(id),
        |whom| !matches!(whom, For::Planting(planting) if !gave(planting)),
    )
}

/// What was spent within some days on whatever names no crop: in no cost of a kilogram.
pub fn on_no_crop(garden: &Garden, days: Period) -> Spent {
    spent(garden, garden.costs_in(days), |whom| matches!(whom, For::Place(_) | For::Nobody))
}

/// Whether it is about a crop or one of its plantings.
pub fn is_of_crop(garden: &Garden, whom: For, id: CropId) -> bool {
    match whom {
        For::Crop(crop) => crop == id,
        For::Planting(planting) => garden.planting(planting).crop == id,
        For::Place(_) | For::Nobody => false,
    }
}

/// What a kilogram of what was weighed came to, in the garden's currency. Where some pickings were not
/// weighed it is more than it was.
pub fn per_kilogram(spent: Spent, sum: &Yield) -> Result<f64, WhyNot> {
    let weight = sum.weight(sum.weighed()?).ok_or(WhyNot::NothingWeighed)?;
    if spent.lines == 0 {
        return Err(WhyNot::NoCosts);
    }
    let kilograms = MassUnit::Kilogram.measure(weight);
    if kilograms > 0.0 { Ok(spent.sum / kilograms) } else { Err(WhyNot::NothingWeighed) }
}
