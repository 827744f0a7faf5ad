//! How full the weeks of picking were, so that one can be drawn against the fullest.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};

use crate::catalogue::CropId;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::HarvestRecord;
use crate::units::MassUnit;

/// Picked weeks of every planting, by the Monday of the week, and the fullest week any planting of a crop had.
#[derive(Clone, Debug, Default)]
pub struct Weekly {
    weeks: Vec<BTreeMap<NaiveDate, f64>>,
    fullest: BTreeMap<CropId, f64>,
}

impl Weekly {
    /// Of all pickings. What was weighed together with others counts as picked, and as nothing weighed.
    pub fn of(garden: &Garden) -> Weekly {
        let mut weekly = Weekly {
            weeks: vec![BTreeMap::new(); garden.plantings().len()],
            fullest: BTreeMap::new(),
        };
        let mut is_weighed: BTreeMap<CropId, bool> = BTreeMap::new();
        for harvest in &garden.harvests {
            for id in &harvest.plantings {
                *is_weighed.entry(garden.planting(*id).crop).or_default() |=
                    harvest.weight.is_some();
            }
        }
        for harvest in &garden.harvests {
            for id in &harvest.plantings {
                let by_weight = is_weighed[&garden.planting(*id).crop];
                let much =
                    if harvest.plantings.len() == 1 { much(harvest, by_weight) } else { 0.0 };
                *weekly.weeks[id.0].entry(monday(harvest.date)).or_default() += much;
            }
        }
        for (id, planting) in garden.plantings() {
            let fullest = weekly.weeks[id.0].values().copied().fold(0.0, f64::max);
            let of_crop = weekly.fullest.entry(planting.crop).or_default();
            *of_crop = of_crop.max(fullest);
        }
        weekly
    }

    /// The weeks in which a planting was picked, each with its share of the fullest week of its crop, 0 to 1.
    pub fn shares(&self, garden: &Garden, id: PlantingId) -> Vec<(NaiveDate, f64)> {
        let fullest = self.fullest.get(&garden.planting(id).crop).copied().unwrap_or(0.0);
        let share = |much: f64| if fullest > 0.0 { much / fullest } else { 0.0 };
        self.weeks[id.0].iter().map(|(week, much)| (*week, share(*much))).collect()
    }
}

/// Grams; pieces of a crop that nobody ever weighed.
fn much(harvest: &HarvestRecord, by_weight: bool) -> f64 {
    if by_weight {
        return harvest.weight.map_or(0.0, |weight| MassUnit::Gram.measure(weight));
    }
    harvest.count.map_or(0.0, f64::from)
}

fn monday(day: NaiveDate) -> NaiveDate {
    day - Days::new(u64::from(day.weekday().num_days_from_monday()))
}
