//! Bars of a figure week by week, against a line that it should stay below.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::charts::FRAME;
use crate::charts::axis::tenth;

/// The bars end here from above; the names of the months stand below.
pub const FLOOR: f64 = 90.0;
/// The line on which they are written.
const FOOT: f64 = 105.0;
/// A month's name is wider than a week: the first of two that would meet is left out.
const NAME_WIDTH: f64 = 26.0;

/// A figure week by week.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeekBars {
    /// The width of the drawing.
    pub width: f64,
    pub height: f64,
    /// The line that the bars stand on.
    pub floor: f64,
    /// The line on which the names of months are written.
    pub foot: f64,
    /// The bars, one a week that has any.
    pub bars: Vec<WeekBar>,
    /// How high the line is.
    pub line_y: f64,
    /// Where the months begin.
    pub months: Vec<MonthMark>,
    /// Where the present week begins, if it is there.
    pub now_x: Option<f64>,
}

/// A bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WeekBar {
    /// The left end.
    pub x: f64,
    /// The upper end.
    pub y: f64,
    /// From left to right.
    pub width: f64,
    /// From the upper end to the floor.
    pub height: f64,
    /// Whether it reaches over the line.
    pub is_over: bool,
}

/// The beginning of a month.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MonthMark {
    pub x: f64,
    /// A day of the month.
    pub day: NaiveDate,
}

impl WeekBars {
    /// Bars of weeks by their first day; the line at `line`, which is more than nothing.
    pub fn new(weeks: &[(NaiveDate, f64)], line: f64, today: NaiveDate) -> WeekBars {
        let step = FRAME / weeks.len().max(1) as f64;
        let most = weeks.iter().map(|(_, value)| *value).fold(line, f64::max) * 1.05;
        let height = |value: f64| tenth(FLOOR * value / most);
        let mut bars = Vec::new();
        let mut months: Vec<MonthMark> = Vec::new();
        let mut now_x = None;
        for (index, (day, value)) in weeks.iter().enumerate() {
            let x = tenth(step * index as f64);
            if (today - *day).num_days().div_euclid(7) == 0 {
                now_x = Some(x);
            }
            let is_new = months.last().is_none_or(|last| last.day.month() != day.month());
            if is_new {
                if months.last().is_some_and(|last| x - last.x < NAME_WIDTH) {
                    months.pop();
                }
                months.push(MonthMark { x, day: *day });
            }
            if *value > 0.0 {
                let (height, width) = (height(*value), tenth(step * 0.8));
                let y = tenth(FLOOR - height);
                bars.push(WeekBar { x, y, width, height, is_over: *value > line * (1.0 + 1e-9) });
            }
        }
        // A last month that would run over the edge has no room for its name.
        if months.last().is_some_and(|last| FRAME - last.x < NAME_WIDTH) {
            months.pop();
        }
        WeekBars {
            width: FRAME,
            height: FOOT + 5.0,
            floor: FLOOR,
            foot: FOOT,
            bars,
            line_y: tenth(FLOOR - height(line)),
            months,
            now_x,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_over_the_line_is_higher_than_it() {
        let day = |day| NaiveDate::from_ymd_opt(2026, 3, day).unwrap();
        let weeks = [(day(2), 5.0), (day(9), 0.0), (day(16), 20.0), (day(23), 10.0)];
        let bars = WeekBars::new(&weeks, 10.0, day(20));
        let over: Vec<bool> = bars.bars.iter().map(|bar| bar.is_over).collect();
        assert_eq!(over, [false, true, false]);
        assert!(bars.bars[1].y < bars.line_y && bars.bars[0].y > bars.line_y);
        assert_eq!(bars.bars[2].y, bars.line_y);
        assert!(bars.bars.iter().all(|bar| (bar.y + bar.height - FLOOR).abs() < 0.11));
        assert_eq!(bars.now_x, Some(180.0));
    }
}
