//! The water of a place through a season: a band of what may be left, against the line at which to water.
//!
//! Left to right in days ([`YearStrip`]), from empty at the bottom to drained at the top.

use chrono::NaiveDate;
use serde::Serialize;

use crate::charts::year_strip::{Bar, MonthTick, YearStrip};
use crate::dates::Period;

/// The height of the drawing, in the units of [`crate::charts::year_strip::WIDTH`].
pub const HEIGHT: f64 = 400.0;

/// A day to be drawn: shares from 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct WaterDay {
    /// The day.
    pub date: NaiveDate,
    /// What may be left at its end, from, planned by and to; nothing if nobody knows.
    pub left: Option<(f64, f64, f64)>,
    /// Where it is to be watered.
    pub refill_at: f64,
    /// Whether it was watered.
    pub is_watered: bool,
}

/// The drawing, as numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WaterStrip {
    /// Beginnings of months.
    pub months: Vec<MonthTick>,
    /// Around what may be left, each a closed shape.
    pub bands: Vec<Vec<Point>>,
    /// What is planned by, where something is known.
    pub lines: Vec<Vec<Point>>,
    /// The line at which to water.
    pub refill: Vec<Point>,
    /// Stretches of which nobody knows.
    pub unknown: Vec<Bar>,
    /// Waterings, at their day.
    pub watered: Vec<f64>,
    /// Heights of empty, half and all.
    pub levels: [f64; 3],
}

/// A corner of a shape.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Point {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
}

impl WaterStrip {
    /// The strip of these days, which follow one another without a gap; nothing without a day.
    pub fn of(days: &[WaterDay]) -> Option<WaterStrip> {
        let span = Period { from: days.first()?.date, to: days.last()?.date };
        let strip = YearStrip::new(span);
        let middle = |date: NaiveDate| {
            let bar = strip.bar(Period { from: date, to: date })?;
            Some(tenth(bar.x + bar.width / 2.0))
        };
        let point =
            |day: &WaterDay, share: f64| Some(Point { x: middle(day.date)?, y: height(share) });
        let (mut bands, mut lines, mut unknown) = (Vec::new(), Vec::new(), Vec::new());
        for run in days.chunk_by(|a, b| a.left.is_some() == b.left.is_some()) {
            if run[0].left.is_none() {
                let span = Period { from: run[0].date, to: run[run.len() - 1].date };
                unknown.extend(strip.bar(span));
                continue;
            }
            let side = |share: fn((f64, f64, f64)) -> f64| {
                run.iter().filter_map(move |day| point(day, share(day.left?)))
            };
            let mut band: Vec<Point> = side(|left| left.2).collect();
            let mut back: Vec<Point> = side(|left| left.0).collect();
            back.reverse();
            band.extend(back);
            bands.push(band);
            lines.push(side(|left| left.1).collect());
        }
        Some(WaterStrip {
            months: strip.months(),
            bands,
            lines,
            refill: days.iter().filter_map(|day| point(day, day.refill_at)).collect(),
            unknown,
            watered: days
                .iter()
                .filter(|day| day.is_watered)
                .filter_map(|day| middle(day.date))
                .collect(),
            levels: [0.0, 0.5, 1.0].map(height),
        })
    }
}

/// Rounded to a tenth, so that the same days make the same bytes everywhere.
fn height(share: f64) -> f64 {
    tenth(HEIGHT * (1.0 - share.clamp(0.0, 1.0)))
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_nobody_knows_breaks_the_band() {
        let day = |number: u32, left| WaterDay {
            date: NaiveDate::from_ymd_opt(2026, 6, number).unwrap(),
            left,
            refill_at: 0.5,
            is_watered: number == 4,
        };
        let known = Some((0.2, 0.5, 1.0));
        let strip =
            WaterStrip::of(&[day(1, known), day(2, known), day(3, None), day(4, known)]).unwrap();
        assert_eq!((strip.bands.len(), strip.lines.len(), strip.refill.len()), (2, 2, 4));
        assert_eq!(strip.unknown, [Bar { x: 500.0, width: 250.0 }]);
        assert_eq!(strip.watered, [875.0]);
        assert_eq!(strip.bands[0][0], Point { x: 125.0, y: 0.0 });
        assert_eq!(strip.bands[0][3], Point { x: 125.0, y: 320.0 });
        assert_eq!(strip.lines[0][1], Point { x: 375.0, y: 200.0 });
        assert_eq!(WaterStrip::of(&[]), None);
    }
}
