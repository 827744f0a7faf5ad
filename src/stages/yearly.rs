//! Perennials: this year's stages are expected around the days they came on in earlier years.

use chrono::{Datelike, NaiveDate};

use crate::dates::{MonthDay, Period, shift};
use crate::happening::Happening;
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::stages::course::Course;

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
