//! Waiting times after a treatment, and pickings that fell into one.

use chrono::NaiveDate;

use crate::garden::planting::PlantingId;
use crate::garden::records::{CareRecord, HarvestRecord, Source};

/// A picking inside the waiting time of a treatment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BrokenWait {
    /// Of which planting.
    pub planting: PlantingId,
    /// The day of the treatment.
    pub treated: NaiveDate,
    /// Days to wait, from the product's label.
    pub wait_days: u32,
    /// The day of the picking.
    pub picked: NaiveDate,
    /// Where the treatment is written.
    pub treatment: Source,
    /// Where the picking is written.
    pub harvest: Source,
}

/// Every picking inside a waiting time: on the day of the treatment, or fewer days after it than the label
/// asks for. One for each treatment and picking, at the first planting they share.
pub fn broken(care: &[CareRecord], harvests: &[HarvestRecord]) -> Vec<BrokenWait> {
    let mut found = Vec::new();
    for (treatment, wait_days) in care.iter().filter_map(|care| Some((care, care.wait_days?))) {
        for harvest in harvests {
            let days = (harvest.date - treatment.date).num_days();
            let is_inside = (0..i64::from(wait_days)).contains(&days);
            let shared = harvest.plantings.iter().find(|id| treatment.about.plantings.contains(id));
            if let (true, Some(planting)) = (is_inside, shared) {
                found.push(BrokenWait {
                    planting: *planting,
                    treated: treatment.date,
                    wait_days,
                    picked: harvest.date,
                    treatment: treatment.source,
                    harvest: harvest.source,
                });
            }
        }
    }
    found
}
