//! A strip of days from left to right, on which spans are bars and days are marks.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::charts::axis::tenth;
use crate::dates::Period;

/// The width of a strip in its own units; the page stretches it to whatever room there is.
pub const WIDTH: f64 = 1000.0;

/// A strip of days.
#[derive(Clone, Copy, Debug)]
pub struct YearStrip {
    days: Period,
}

/// A stretch of the strip.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bar {
    /// The left end.
    pub x: f64,
    /// From left to right.
    pub width: f64,
}

/// The beginning of a month on the strip.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MonthTick {
    pub x: f64,
    /// From this month's beginning to the next.
    pub width: f64,
    /// Its first day on the strip.
    pub day: NaiveDate,
}

impl YearStrip {
    /// A strip of these days.
    pub fn new(days: Period) -> YearStrip {
        YearStrip { days }
    }

    pub fn days(&self) -> Period {
        self.days
    }

    /// Where a day begins; nothing if it is not on the strip.
    pub fn x(&self, day: NaiveDate) -> Option<f64> {
        self.days.contains(day).then(|| self.place(day))
    }

    /// The part of a span that is on the strip, its last day included.
    pub fn bar(&self, span: Period) -> Option<Bar> {
        let span = span.overlap(&self.days)?;
        let x = self.place(span.from);
        Some(Bar { x, width: tenth(self.place(crate::dates::shift(span.to, 1)) - x) })
    }

    /// The months, from left to right.
    pub fn months(&self) -> Vec<MonthTick> {
        let mut starts: Vec<NaiveDate> = vec![self.days.from];
        starts.extend(self.days.each_day().skip(1).filter(|day| day.day() == 1));
        let ends = starts.iter().skip(1).map(|day| self.place(*day)).chain([WIDTH]);
        let ends: Vec<f64> = ends.collect();
        starts
            .iter()
            .zip(ends)
            .map(|(day, end)| {
                let x = self.place(*day);
                MonthTick { x, width: tenth(end - x), day: *day }
            })
            .collect()
    }

    fn place(&self, day: NaiveDate) -> f64 {
        let from_start = (day - self.days.from).num_days() as f64;
        tenth(WIDTH * from_start / self.days.days() as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn bars_end_with_their_last_day_and_stay_on_the_strip() {
        let strip = YearStrip::new(Period { from: date("2026-01-01"), to: date("2026-12-31") });
        let whole = Period { from: date("2025-11-01"), to: date("2027-02-01") };
        assert_eq!(strip.bar(whole), Some(Bar { x: 0.0, width: WIDTH }));
        let day = Period { from: date("2026-12-31"), to: date("2026-12-31") };
        assert_eq!(strip.bar(day), Some(Bar { x: 997.3, width: 2.7 }));
        assert_eq!(strip.bar(Period { from: date("2027-01-01"), to: date("2027-01-02") }), None);
        assert_eq!(strip.months().len(), 12);
        assert_eq!(strip.x(date("2026-01-01")), Some(0.0));
    }
}
