//! The water of a place through a season: a band of what may be left, against the line at which to water.
//!
//! Left to right in days ([`YearStrip`]), from empty at the bottom to drained at the top.

use chrono::NaiveDate;
use serde::Serialize;

use crate::charts::axis::tenth;
use crate::charts::year_strip::{Bar, MonthTick, WIDTH, YearStrip};
use crate::dates::Period;

/// The height of the drawing, in the units of [`crate::charts::year_strip::WIDTH`].
pub const HEIGHT: f64 = 400.0;
/// The whole drawing: with the names of levels at its left, those of months below, waterings above.
const VIEW_BOX: &str = "-120 -40 1134 490";
/// The line on which months are named, and how wide one has to be for that.
const FOOT: f64 = 438.0;
const NAMED_WIDTH: f64 = 60.0;
/// From one line of the hatching to the next.
const HATCH: usize = 17;

/// A day to be drawn: shares from 0 to 1.
#[derive(Clone, Copy, Debug)]
pub struct WaterDay {
    pub date: NaiveDate,
    /// What may be left at its end, from, planned by and to; nothing if nobody knows.
    pub left: Option<(f64, f64, f64)>,
    /// Where it is to be watered.
    pub refill_at: f64,
    pub is_watered: bool,
}

/// The drawing, as numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WaterStrip {
    /// What there is to see of the drawing's plane.
    pub view_box: &'static str,
    /// From the first day to the last.
    pub width: f64,
    /// From drained to empty.
    pub height: f64,
    /// The line on which months are named.
    pub foot: f64,
    /// Beginnings of months.
    pub months: Vec<MonthMark>,
    /// Around what may be left, each a closed shape.
    pub bands: Vec<Vec<Point>>,
    /// What is planned by, where something is known.
    pub lines: Vec<Vec<Point>>,
    /// The line at which to water.
    pub refill: Vec<Point>,
    /// Stretches of which nobody knows, hatched; paths in the language of SVG.
    pub unknown: Vec<String>,
    /// Waterings, each a drop over its day; a path.
    pub watered: String,
    /// Empty, half and full.
    pub levels: [Level; 3],
}

/// The beginning of a month.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MonthMark {
    pub x: f64,
    /// Where its name begins, if there is room for it.
    pub name_at: Option<f64>,
    /// Its first day on the strip.
    pub day: NaiveDate,
}

/// A height with a name.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Level {
    /// `empty`, `half` or `full`.
    pub key: &'static str,
    pub y: f64,
}

/// A corner of a shape.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Point {
    pub x: f64,
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
                unknown.extend(strip.bar(span).map(hatched));
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
            view_box: VIEW_BOX,
            width: WIDTH,
            height: HEIGHT,
            foot: FOOT,
            months: strip.months().iter().map(named).collect(),
            bands,
            lines,
            refill: days.iter().filter_map(|day| point(day, day.refill_at)).collect(),
            unknown,
            watered: days
                .iter()
                .filter(|day| day.is_watered)
                .filter_map(|day| middle(day.date))
                .map(|x| format!("M{x} -6l-10 -22h20z"))
                .collect(),
            levels: [("empty", 0.0), ("half", 0.5), ("full", 1.0)]
                .map(|(key, share)| Level { key, y: height(share) }),
        })
    }
}

fn named(month: &MonthTick) -> MonthMark {
    let has_room = month.width > NAMED_WIDTH;
    MonthMark { x: month.x, name_at: has_room.then(|| tenth(month.x + 6.0)), day: month.day }
}

/// Slanting lines from the top to the bottom, cut at the sides.
fn hatched(bar: Bar) -> String {
    let (left, right) = (bar.x, bar.x + bar.width);
    let last = (bar.width + HEIGHT) as usize;
    let lines = (0..=last).step_by(HATCH).map(|step| {
        let foot = left + step as f64;
        let (from, to) = (foot.min(right), (foot - HEIGHT).max(left));
        let (low, high) = (HEIGHT - (foot - from), HEIGHT - (foot - to));
        format!("M{} {}L{} {}", tenth(from), tenth(low), tenth(to), tenth(high))
    });
    lines.collect()
}

/// Rounded to a tenth, so that the same days make the same bytes everywhere.
fn height(share: f64) -> f64 {
    tenth(HEIGHT * (1.0 - share.clamp(0.0, 1.0)))
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
        let [hatched] = strip.unknown.as_slice() else { panic!("one stretch") };
        assert!(hatched.starts_with("M500 400L500 400M517 400L500 383"), "{hatched}");
        let places = hatched.split(['M', 'L']).filter_map(|at| at.split_once(' '));
        let places: Vec<[f64; 2]> =
            places.map(|(x, y)| [x, y].map(|number| number.parse().unwrap())).collect();
        assert!(
            places.iter().all(|[x, y]| (500.0..=750.0).contains(x) && (0.0..=400.0).contains(y))
        );
        assert_eq!(strip.watered, "M875 -6l-10 -22h20z");
        assert_eq!(strip.bands[0][0], Point { x: 125.0, y: 0.0 });
        assert_eq!(strip.bands[0][3], Point { x: 125.0, y: 320.0 });
        assert_eq!(strip.lines[0][1], Point { x: 375.0, y: 200.0 });
        assert_eq!(WaterStrip::of(&[]), None);
    }
}
