//! Why a crop has no window, found by asking which of its rules no day passes.

use crate::calendar::needs::Need;
use crate::calendar::rules::Trial;
use crate::calendar::year::Day;
use crate::calendar::{How, Reason};

/// The reason that no day of the year will do.
pub(super) fn why_none(trial: &Trial<'_>) -> Reason {
    let warm: Vec<i64> = (0..trial.year.length()).filter(|day| trial.is_warm(*day)).collect();
    if warm.is_empty() {
        return match unmet_warmth(trial) {
            Some((needs_c, warmest_c)) => Reason::NeverWarmEnough { needs_c, warmest_c },
            // Warm enough, but for less than it takes to settle.
            None => too_short(trial, &[]),
        };
    }
    let safe: Vec<i64> = warm.into_iter().filter(|day| trial.is_frost_safe(*day)).collect();
    if safe.is_empty() {
        return too_short(trial, &[]);
    }
    let begun: Vec<i64> =
        safe.iter().copied().filter(|day| !trial.is_too_hot_to_begin(*day)).collect();
    let is_in_time = |day: &i64| {
        trial
            .ready(*day, true)
            .is_some_and(|ready| trial.end(*day).is_none_or(|end| ready + trial.worth_days <= end))
    };
    if begun.is_empty() || begun.iter().any(is_in_time) {
        return Reason::TooHot;
    }
    too_short(trial, &safe)
}

fn too_short(trial: &Trial<'_>, safe: &[i64]) -> Reason {
    let best = safe.iter().copied().max_by_key(|day| trial.growth_days(*day));
    if let Some((needs, has)) = best.and_then(|day| trial.warmth(day)) {
        return Reason::TooLittleWarmth { needs_degree_days_c: needs, has_degree_days_c: has };
    }
    let needs_days = match &trial.need {
        Some(Need::Days(range)) => range.low + trial.worth_days,
        Some(Need::Warmth(..)) | None => trial.worth_days,
    };
    Reason::SeasonTooShort { needs_days, has_days: best.map_or(0, |day| trial.growth_days(day)) }
}

/// The first need of warmth that no day of the year meets: what it needs and the most there is, °C.
fn unmet_warmth(trial: &Trial<'_>) -> Option<(f64, f64)> {
    let warmest = |of: &dyn Fn(&Day) -> f64| {
        let own = trial.year.own_weather().iter();
        own.map(of).fold(f64::NEG_INFINITY, f64::max) + trial.shelter.warmer_c
    };
    let soil_k_per_h = trial.year.thresholds().soil_k_per_h;
    let most = match trial.how {
        How::SowOutdoors => warmest(&|day| day.bare_soil_c(soil_k_per_h)),
        _ => warmest(&|day| day.low_c),
    };
    [(trial.wanted_c, most), (Some(trial.mean_c), warmest(&|day| day.soil_c))]
        .into_iter()
        .find_map(|(needs, most)| needs.filter(|needs| most < *needs).map(|needs| (needs, most)))
}
