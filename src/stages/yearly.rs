//! Perennials: this year's stages are expected around the days they came on in earlier years, and the first picking of
//! one that was never picked here by the warmth of the year.

use chrono::{Datelike, NaiveDate};

use crate::dates::{MonthDay, Period, shift};
use crate::happening::Happening;
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::stages::course::Course;
use crate::stages::warmth;
use crate::units::Range;

/// How far a year's stage may lie from last year's. Common practice, no source.
const YEAR_SPREAD_DAYS: i64 = 14;

/// The range around the day of the newest earlier season on which it came, in this season.
pub(super) fn as_last_year(course: &Course<'_>, what: Milestone) -> Option<Period> {
    let season = course.garden.season_of(course.today());
    let days: Vec<NaiveDate> = match what {
        Milestone::FirstHarvest => course.pickings().collect(),
        Milestone::Stage(Stage::PlantedOut | Stage::Finished) => return None,
        Milestone::Stage(stage) => course
            .planting
            .history
            .iter()
            .filter(|step| step.what == Happening::Reached(stage))
            .map(|step| step.date)
            .collect(),
    };
    let newest = days.iter().copied().filter(|day| *day < season.days.from).max()?;
    let its_season = course.garden.season_of(newest);
    // The first of that season, not the last picking of it.
    let first = days.iter().copied().find(|day| its_season.days.contains(*day))?;
    let anniversary = MonthDay::of(first);
    let this_year = anniversary.in_year(season.days.from.year());
    let day = if season.days.contains(this_year) {
        this_year
    } else {
        anniversary.in_year(season.days.from.year() + 1)
    };
    Some(Period { from: shift(day, -YEAR_SPREAD_DAYS), to: shift(day, YEAR_SPREAD_DAYS) })
}

/// How far the sum of a year may lie from the sheet's, as a share of it. Common practice, no source.
const SUM_SPREAD: f64 = 0.1;

/// Nothing grows while the mean day is not warmer than this (index GSL of the ETCCDI; from memory).
const GROWS_ABOVE_C: f64 = 5.0;
/// What is cut in its first year is ready again so long after growth begins. Common practice, no source.
const CUT_AGAIN: Range<i64> = Range { low: 28, high: 56 };
/// Who bears within so many days of planting is cut for its leaves.
const CUT_IN_FIRST_YEAR_DAYS: i32 = 200;

/// The first cut of this year of what stood here before it: leaves and stems that come with growth.
pub(super) fn by_growth(course: &Course<'_>) -> Option<Period> {
    let after = course.sheet().first_harvest.filter(|_| course.is_perennial())?;
    let season = course.garden.season_of(course.today()).days;
    let stood = course.planting.is_older_than_journal
        || course.planting.begun().is_some_and(|begun| begun < season.from);
    if !stood || after.days.high.0 > CUT_IN_FIRST_YEAR_DAYS {
        return None;
    }
    let normals = course.conditions.normals.as_ref()?;
    let mut days = season.from.iter_days().take_while(|day| season.contains(*day));
    let grows =
        |day: &NaiveDate| (normals.low_c(*day) + normals.high_c(*day)) / 2.0 > GROWS_ABOVE_C;
    let from = days.find(grows)?;
    Some(Period { from: shift(from, CUT_AGAIN.low), to: shift(from, CUT_AGAIN.high) })
}

/// The first picking of this year of a plant that is old enough to bear, by the sheet's sum since midwinter.
pub(super) fn by_warmth(course: &Course<'_>) -> Option<Period> {
    let sums = course.sheet().degree_days.filter(|_| course.is_perennial())?;
    let sum = sums.each_year?;
    let midwinter = MonthDay::new(if course.conditions.latitude_deg < 0.0 { 7 } else { 1 }, 1)?;
    let season = course.garden.season_of(course.today()).days;
    let from = midwinter.last_on_or_before(shift(season.from, season.days() / 2));
    let anchor = Period { from, to: from };
    let spread = (sum * (1.0 - SUM_SPREAD), sum * (1.0 + SUM_SPREAD));
    let period = warmth::by_sum(course, anchor, Stage::PlantedOut, spread, &sums)?;
    let bears_after = course.sheet().first_harvest.map_or(0, |after| i64::from(after.days.low.0));
    let is_grown = course.planting.is_older_than_journal
        || course.planting.begun().is_some_and(|begun| shift(begun, bears_after) <= period.to);
    is_grown.then_some(period)
}
