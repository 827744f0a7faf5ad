//! What a crop sheet asks for: the ways to begin it, its hardiness, the time it takes.

use crate::calendar::How;
use crate::calendar::tally::Tally;
use crate::calendar::thresholds::Thresholds;
use crate::calendar::year::Day;
use crate::catalogue::CropSheet;
use crate::catalogue::sheet::{AfterStage, Hardiness, Way};
use crate::climate::degree_days::{self, single_sine};
use crate::stage::Stage;
use crate::units::{Days, Range};

/// The base temperature of a crop whose sheet has none, °C.
const USUAL_BASE_C: f64 = 5.0;
/// A crop that takes longer than this stands through winter; its days are the calendar's.
const OVER_WINTER_DAYS: i64 = 150;
/// A crop that so few cold days make run to seed is not begun before they are over.
const QUICK_VERNALIZATION: Days = Days(10);

/// The ways in which a crop is begun.
pub(super) fn ways(sheet: &CropSheet) -> Vec<How> {
    if is_begun_in_autumn(sheet) {
        // The sheet's days to harvest are those of a crop that stands through winter.
        return vec![How::BeginInAutumn];
    }
    let told = sheet.begun_as.as_deref().unwrap_or_default();
    let outdoors = match told {
        [] => sheet.sow_outdoors_after_frost.is_some() || sheet.sow_outdoors_soil.is_some(),
        told => told.contains(&Way::SeedOutdoors),
    };
    let planted = match told {
        [] => !outdoors || sheet.plant_out_after_frost.is_some() || sheet.under_cover.is_some(),
        told => told.iter().any(|way| *way != Way::SeedOutdoors),
    };
    let mut ways = Vec::new();
    if is_sown_under_cover(sheet) {
        ways.push(How::SowUnderCover);
    }
    if outdoors {
        ways.push(How::SowOutdoors);
    }
    if planted {
        ways.push(How::PlantOut);
    }
    ways
}

/// Whether it is planted or sown in autumn to stand through winter.
pub(super) fn is_begun_in_autumn(sheet: &CropSheet) -> bool {
    sheet.autumn_night_low.is_some() || sheet.autumn_before_frost.is_some()
}

/// Whether seed is sown under cover.
pub(super) fn is_sown_under_cover(sheet: &CropSheet) -> bool {
    match sheet.begun_as.as_deref() {
        Some(told) => told.contains(&Way::SeedUnderCover),
        None => sheet.under_cover.is_some(),
    }
}

/// Growth until the first picking.
pub(super) enum Need {
    /// Days of growth.
    Days(Range<i64>),
    /// A sum of degree days, and how much each day brings.
    Warmth(f64, Tally),
}

/// Whether so long a crop stands through winter, so that its days are the calendar's.
pub(super) fn stands_through_winter(days: Range<i64>) -> bool {
    days.low >= OVER_WINTER_DAYS
}

/// How long after the first frost a crop may still be begun.
pub(super) fn stands_frost_days(hardiness: Hardiness, thresholds: &Thresholds) -> i64 {
    let hardy = thresholds.after_frost_days.round() as i64;
    match hardiness {
        Hardiness::Tender => 0,
        Hardiness::HalfHardy => hardy / 2,
        Hardiness::Hardy => hardy,
    }
}

/// The night that kills the grown plant, °C: where its sheet does not say, common practice, no source.
pub(super) fn killed_at_c(sheet: &CropSheet, hardiness: Hardiness) -> f64 {
    let usual = match hardiness {
        Hardiness::Tender => 0.0,
        Hardiness::HalfHardy => -4.0,
        Hardiness::Hardy => -8.0,
    };
    sheet.killed_at.map_or(usual, |killed| killed.0)
}

/// Days after the last frost for a crop whose sheet does not say.
pub(super) fn usual_offset(hardiness: Hardiness) -> i64 {
    match hardiness {
        Hardiness::Tender => 0,
        Hardiness::HalfHardy => -14,
        Hardiness::Hardy => -28,
    }
}

/// The mean temperature below which nothing grows, °C.
pub(super) fn base_c(sheet: &CropSheet) -> f64 {
    let base = sheet.degree_days.map(|degree_days| degree_days.base);
    base.or(sheet.grows_at.map(|range| range.low)).map_or(USUAL_BASE_C, |base| base.0)
}

/// Growth until the first picking from the day it is begun outdoors.
pub(super) fn need(sheet: &CropSheet, days: &[Day], warmer_c: f64, sown: bool) -> Option<Need> {
    if let Some(degree_days) = sheet.degree_days
        && let Some(sum) = degree_days.to_harvest
    {
        let between = degree_days::Thresholds::celsius(
            degree_days.base.0,
            degree_days.upper.map(|upper| upper.0),
        );
        let brought = |day: &Day| single_sine(day.low_c + warmer_c, day.high_c + warmer_c, between);
        return Some(Need::Warmth(sum, Tally::sum(days, brought)));
    }
    Some(Need::Days(days_outdoors(sheet, sown)?))
}

/// Days to the first picking from sowing outdoors, or from planting out.
///
/// A plant raised under cover is so many days ahead, but by no more than half of its time: it grows more
/// slowly in its pot and stands still after the move (common practice, no source).
pub(super) fn days_outdoors(sheet: &CropSheet, sown: bool) -> Option<Range<i64>> {
    Some(days_after(sheet, sheet.first_harvest?, sown))
}

/// Days to a stage, likewise.
pub(super) fn days_after(sheet: &CropSheet, first: AfterStage, sown: bool) -> Range<i64> {
    let days = first.days.map(|Days(days)| i64::from(days));
    let under_cover =
        sheet.under_cover.map_or(Range::single(0), |range| range.map(|Days(days)| i64::from(days)));
    match (first.stage, sown) {
        (Stage::Sown, false) => Range {
            low: (days.low - under_cover.high).max(days.low / 2),
            high: (days.high - under_cover.low).max(days.high / 2),
        },
        (Stage::PlantedOut, true) => {
            Range { low: days.low + under_cover.low, high: days.high + under_cover.high }
        }
        _ => days,
    }
}

/// The mean below which a few days make even young plants run to seed, °C: celery, Chinese cabbage. Others have to be
/// larger, or the cold longer, than a cool spring makes it.
pub(super) fn no_vernalization_c(sheet: &CropSheet) -> Option<f64> {
    let bolting = sheet.bolting?;
    let is_quick = bolting.cold_days.is_some_and(|days| days.low <= QUICK_VERNALIZATION);
    bolting.cold_below.map(|below| below.0).filter(|_| is_quick)
}
