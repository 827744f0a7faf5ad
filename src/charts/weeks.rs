//! A season as a strip of weeks, one row a crop: the fuller a week, the higher and stronger its cell.

use chrono::NaiveDate;
use serde::Serialize;

use crate::charts::FRAME;
use crate::charts::axis::tenth;
use crate::dates::Period;

/// Room for names before the weeks.
const NAMES: f64 = 96.0;
const PITCH: f64 = 21.0;
const TALLEST: f64 = 16.0;
/// So many steps from an empty week to the fullest.
const STEPS: f64 = 4.0;
const HEAD: f64 = 18.0;

/// Rows of weeks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Weeks {
    /// The width of the drawing.
    pub width: f64,
    /// Its height.
    pub height: f64,
    /// Where the weeks begin.
    pub left: f64,
    /// Months, by their first day on the strip.
    pub months: Vec<Month>,
    /// The rows, from the top.
    pub rows: Vec<Row>,
}

/// The beginning of a month.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Month {
    /// From the left.
    pub x: f64,
    /// Its first day on the strip.
    pub day: NaiveDate,
    /// Whether there is room for its name: of many months every second has one.
    pub is_named: bool,
}

/// A crop's weeks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// The line on which its name stands, and on which its cells stand.
    pub ground: f64,
    /// The weeks in which something was picked.
    pub cells: Vec<Cell>,
}

/// A week in which something was picked.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Cell {
    /// From the left.
    pub x: f64,
    /// Its upper end.
    pub y: f64,
    /// How wide.
    pub width: f64,
    /// How high.
    pub height: f64,
    /// 1 to 4: up to a quarter, a half, three quarters of the row's fullest week, and more. 0: picked, not weighed.
    pub step: u8,
}

/// What was picked in a week: which week of the season, and its weight if it was weighed.
pub type WeekSum = (usize, Option<f64>);

/// The week of a season that a day lies in, counted from 0 at its first day.
pub fn week_of(days: Period, day: NaiveDate) -> usize {
    usize::try_from((day - days.from).num_days() / 7).unwrap_or(0)
}

/// Rows of weeks of a season: for each row the sums by week; a sum of nothing was picked and not weighed.
pub fn strip(days: Period, rows: &[Vec<WeekSum>]) -> Weeks {
    let number = week_of(days, days.to) + 1;
    let pitch = (FRAME - NAMES) / number as f64;
    let drawn = rows.iter().enumerate().map(|(index, weeks)| {
        let ground = tenth(HEAD + (index as f64 + 1.0) * PITCH - 3.0);
        let fullest = weeks.iter().filter_map(|(_, sum)| *sum).fold(0.0, f64::max);
        let cells = weeks.iter().map(|(week, sum)| {
            let step = sum.map_or(0, |sum| step_of(sum, fullest));
            let height = if step == 0 { 2.0 } else { TALLEST * f64::from(step) / STEPS };
            Cell {
                x: tenth(NAMES + *week as f64 * pitch),
                y: tenth(ground - height),
                width: tenth((pitch - 0.7).max(1.0)),
                height: tenth(height),
                step,
            }
        });
        Row { ground, cells: cells.collect() }
    });
    let shares = |day: NaiveDate| (day - days.from).num_days() as f64 / days.days() as f64;
    let is_first = |day: &NaiveDate| chrono::Datelike::day(day) == 1 || *day == days.from;
    let firsts: Vec<NaiveDate> = days.each_day().filter(is_first).collect();
    let every = if firsts.len() > 7 { 2 } else { 1 };
    let month = |(index, day): (usize, &NaiveDate)| {
        let x = tenth(NAMES + shares(*day) * (FRAME - NAMES));
        Month { x, day: *day, is_named: index % every == 0 }
    };
    Weeks {
        width: FRAME,
        height: tenth(HEAD + rows.len() as f64 * PITCH + 2.0),
        left: NAMES,
        months: firsts.iter().enumerate().map(month).collect(),
        rows: drawn.collect(),
    }
}

fn step_of(sum: f64, fullest: f64) -> u8 {
    if fullest <= 0.0 {
        return 1;
    }
    (1..=3).find(|step| sum <= fullest * f64::from(*step) / STEPS).unwrap_or(4)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn season() -> Period {
        Period { from: "2026-01-01".parse().unwrap(), to: "2026-12-31".parse().unwrap() }
    }

    #[test]
    fn weeks_are_counted_from_the_first_day_of_the_season() {
        let week = |day: &str| week_of(season(), day.parse().unwrap());
        assert_eq!((week("2026-01-01"), week("2026-01-07"), week("2026-01-08")), (0, 0, 1));
        assert_eq!(week("2026-12-31"), 52);
    }

    #[test]
    fn steps_are_quarters_of_the_fullest_week() {
        let sums =
            [(3, Some(100.0)), (4, Some(25.0)), (5, Some(25.1)), (6, Some(76.0)), (52, None)];
        let drawn = strip(season(), &[sums.to_vec()]);
        let cells = &drawn.rows[0].cells;
        let steps: Vec<u8> = cells.iter().map(|cell| cell.step).collect();
        assert_eq!(steps, [4, 1, 2, 4, 0]);
        assert_eq!((cells[0].height, cells[1].height), (TALLEST, TALLEST / 4.0));
        let last = cells[4];
        assert!(last.x + last.width <= FRAME && last.y + last.height == drawn.rows[0].ground);
        let named = drawn.months.iter().filter(|month| month.is_named).count();
        assert_eq!((drawn.months.len(), named), (12, 6));
    }
}
