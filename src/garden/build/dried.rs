//! What was picked and is weighed once more when it is dry.

use std::collections::BTreeMap;

use chrono::Days;

use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::garden::records::HarvestRecord;
use crate::garden::shown::Shown;

/// Drying is over so soon after the picking (common practice, no source): bulbs hang for weeks, chillies and beans for
/// months. What is weighed later is of another year.
const DRYING_DAYS: u64 = 120;

/// Notes which pieces of a dried weight were counted when they were fresh: the same garlic, weighed twice, is one
/// picking. Where each plant gives one piece and there were plants for both, some were eaten fresh and others dried.
pub(super) fn note_dried(garden: &Garden, harvests: &mut [HarvestRecord]) {
    let mut earlier: BTreeMap<(Vec<PlantingId>, Shown), Vec<usize>> = BTreeMap::new();
    for index in 0..harvests.len() {
        let (before, rest) = harvests.split_at_mut(index);
        let harvest = &mut rest[0];
        let key = (harvest.plantings.clone(), harvest.unit.clone());
        let of_them = earlier.entry(key).or_default();
        let from = harvest.date.checked_sub_days(Days::new(DRYING_DAYS));
        let lately = of_them.iter().map(|index| &before[*index]);
        let lately: Vec<_> =
            lately.filter(|one| from.is_none_or(|from| from <= one.date)).collect();
        if harvest.is_cured && lately.iter().any(|one| !one.is_cured) {
            let new =
                |one: &&HarvestRecord| one.count.map_or(0, |count| count - one.counted_before);
            let fresh: u32 = lately.iter().filter(|one| !one.is_cured).map(new).sum();
            let dried: u32 = lately.iter().map(|one| one.counted_before).sum();
            let all: u32 = lately.iter().map(new).sum();
            let count = harvest.count.unwrap_or(0);
            let is_room = plants(garden, &harvest.plantings)
                .is_some_and(|plants| all.saturating_add(count) <= plants);
            if !is_room {
                harvest.counted_before = count.min(fresh.saturating_sub(dried));
            }
            harvest.is_same_picking = harvest.count.is_none() || harvest.counted_before == count;
        }
        of_them.push(index);
    }
}

/// How many plants there were, where each gives one piece.
fn plants(garden: &Garden, ids: &[PlantingId]) -> Option<u32> {
    let most = |id: &PlantingId| {
        let planting = garden.planting(*id);
        let stood = planting.history.iter().filter_map(|step| step.plants_after.number).max();
        stood.filter(|_| planting.sheet.most_pieces() == Some(1))
    };
    ids.iter().map(most).sum()
}
