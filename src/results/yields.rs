//! What came of it: sums of pickings.
//!
//! Weight and number are never added to one another, fresh and cured are kept apart, and a picking
//! that nobody weighed is counted as such instead of as nothing.

pub mod book;
pub mod costs;
pub mod ground;
pub mod losses;
pub mod lot;
pub mod measures;
pub mod plants;
pub mod why_not;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::records::HarvestRecord;
use crate::units::{Mass, MassUnit};

/// A sum of pickings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Yield {
    /// Fresh weight of those that were weighed.
    pub fresh: Option<Mass>,
    /// Weight of what was weighed after drying.
    pub cured: Option<Mass>,
    /// Numbers by what was counted: fruits, heads, bunches.
    pub counts: BTreeMap<String, u32>,
    /// How many pickings there were.
    pub pickings: u32,
    /// How many of them nobody weighed.
    pub unweighed: u32,
    /// How many of them nobody counted.
    pub uncounted: u32,
    pub first: Option<NaiveDate>,
    pub last: Option<NaiveDate>,
}

impl Yield {
    /// Adds a picking.
    pub fn add(&mut self, harvest: &HarvestRecord) {
        let sum = if harvest.is_cured { &mut self.cured } else { &mut self.fresh };
        match harvest.weight {
            Some(weight) => *sum = Some(sum.unwrap_or(MassUnit::Gram.of(0.0)) + weight),
            None if harvest.is_same_picking => {}
            None => self.unweighed += 1,
        }
        match harvest.count {
            Some(count) => {
                let new = count - harvest.counted_before;
                match self.counts.get_mut(harvest.unit.as_str()) {
                    Some(number) => *number += new,
                    None => drop(self.counts.insert(harvest.unit.to_string(), new)),
                }
            }
            None if harvest.is_same_picking => {}
            None => self.uncounted += 1,
        }
        if harvest.is_same_picking {
            return;
        }
        self.pickings += 1;
        self.first = Some(self.first.map_or(harvest.date, |first| first.min(harvest.date)));
        self.last = Some(self.last.map_or(harvest.date, |last| last.max(harvest.date)));
    }

    /// The sum of pickings.
    pub fn of<'a>(harvests: impl IntoIterator<Item = &'a HarvestRecord>) -> Yield {
        let mut sum = Yield::default();
        harvests.into_iter().for_each(|harvest| sum.add(harvest));
        sum
    }
}

/// Whose a picking is: a crop's, or several crops' weighed together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Whose {
    Crop(CropId),
    /// Several crops', never split.
    Several,
}

/// Whose a picking is.
pub fn whose(garden: &Garden, harvest: &HarvestRecord) -> Whose {
    let mut crops: Vec<_> = harvest.plantings.iter().map(|id| garden.planting(*id).crop).collect();
    crops.sort_unstable();
    crops.dedup();
    match crops.as_slice() {
        [only] => Whose::Crop(*only),
        _ => Whose::Several,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::planting::PlantingId;
    use crate::garden::records::Source;
    use crate::garden::shown::Shown;
    use crate::origin::Origin;

    fn picked(day: u32, grams: Option<f64>, count: Option<u32>, is_cured: bool) -> HarvestRecord {
        HarvestRecord {
            date: NaiveDate::from_ymd_opt(2026, 7, day).unwrap(),
            plantings: vec![PlantingId(0)],
            weight: grams.map(|grams| MassUnit::Gram.of(grams)),
            count,
            unit: Shown::ours("fruits"),
            quality: None,
            is_cured,
            counted_before: 0,
            is_same_picking: false,
            note: None,
            source: Source { entry: None, at: Origin::Nowhere, is_private: false },
        }
    }

    #[test]
    fn what_was_not_weighed_is_not_nothing() {
        let sum = Yield::of(&[
            picked(1, Some(250.0), Some(2), false),
            picked(3, None, Some(3), false),
            picked(9, Some(100.0), None, true),
        ]);
        assert_eq!(sum.fresh.map(|mass| MassUnit::Gram.measure(mass)), Some(250.0));
        assert_eq!(sum.cured.map(|mass| MassUnit::Gram.measure(mass)), Some(100.0));
        assert_eq!((sum.counts["fruits"], sum.pickings, sum.unweighed), (5, 3, 1));
        assert_eq!(Yield::of(&[]).fresh, None);
    }
}
