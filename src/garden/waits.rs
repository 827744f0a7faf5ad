//! Waiting times after a treatment, and pickings that fell into one.

use chrono::NaiveDate;

use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::{CareRecord, HarvestRecord};

/// A picking inside the waiting time of a treatment.
#[derive(Clone, Copy, Debug)]
pub struct BrokenWait<'a> {
    pub planting: PlantingId,
    /// What it was treated with, and when.
    pub treatment: &'a CareRecord,
    /// Days to wait, from the product's label.
    pub wait_days: u32,
    /// What was picked of it, by itself or together with others.
    pub harvest: &'a HarvestRecord,
}

impl BrokenWait<'_> {
    /// The day of the treatment.
    pub fn treated(&self) -> NaiveDate {
        self.treatment.date
    }

    /// The day of the picking.
    pub fn picked(&self) -> NaiveDate {
        self.harvest.date
    }
}

/// Every picking of a planting inside a waiting time: on the day of the treatment, or fewer days after it than the
/// label asks for.
pub fn broken(garden: &Garden, id: PlantingId) -> impl Iterator<Item = BrokenWait<'_>> {
    let harvests: Vec<&HarvestRecord> = garden.harvests_of(id).collect();
    let treatments = garden.care_of(id).filter_map(|care| Some((care, care.wait_days?)));
    treatments.flat_map(move |(treatment, wait_days)| {
        let from = harvests.partition_point(|harvest| harvest.date < treatment.date);
        let is_inside = |harvest: &&HarvestRecord| {
            (harvest.date - treatment.date).num_days() < i64::from(wait_days)
        };
        let inside: Vec<&HarvestRecord> =
            harvests[from..].iter().copied().take_while(is_inside).collect();
        inside.into_iter().map(move |harvest| BrokenWait {
            planting: id,
            treatment,
            wait_days,
            harvest,
        })
    })
}
