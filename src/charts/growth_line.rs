//! The growth line: a planting's life from left to right. Dotted while it is raised, solid in its place, dashed ahead;
//! as fat as each week was rich; a stub where it was lost, a stroke where somebody told of it.
//!
//! Lines are drawn as wide as [`WIDTH`](crate::charts::year_strip::WIDTH) and stretched to the room there is: strokes
//! keep their width then, and heights are those of the page.

use chrono::NaiveDate;
use serde::Serialize;

use crate::charts::axis::tenth;
use crate::charts::year_strip::{WIDTH, YearStrip};
use crate::dates::{Period, shift};

/// A drawing, one path a kind of stroke.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Drawing {
    /// How wide, in its own units.
    pub width: f64,
    /// How high, in units of the page.
    pub height: f64,
    /// Its paths; what lies behind comes first.
    pub paths: Vec<Stroke>,
}

/// A path of a drawing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stroke {
    /// What it stands for.
    pub kind: &'static str,
    /// The path, in the language of SVG.
    pub d: String,
}

/// What is drawn of a planting.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Life {
    /// While it was raised under cover.
    pub raised: Option<Period>,
    /// While it stood in its place.
    pub stood: Option<Period>,
    /// What is expected of it.
    pub ahead: Option<Period>,
    /// The first days of the weeks in which it was picked, each with how full the week was: 0 to 1.
    pub weeks: Vec<(NaiveDate, f64)>,
    /// Days of which somebody told.
    pub told: Vec<NaiveDate>,
    /// The day on which the last of it was lost.
    pub lost: Option<NaiveDate>,
    /// Whether it only stands behind another, for comparison.
    pub is_ghost: bool,
}

/// The name of a month over a drawing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthName {
    /// Its first day on the strip.
    pub day: NaiveDate,
    pub at: String,
}

/// A week that was picked and not weighed still shows.
pub const THINNEST: f64 = 0.15;

/// Lives under each other, each so high.
pub fn lives(strip: &YearStrip, lives: &[Life], pitch: f64) -> Drawing {
    let mut drawing = Drawing::new(pitch * lives.len().max(1) as f64);
    for (index, life) in lives.iter().enumerate() {
        let middle = tenth(pitch * (index as f64 + 0.5));
        add(&mut drawing, strip, life, middle, pitch / 2.0 - 1.0);
    }
    drawing
}

/// Several lives on one line: those behind first.
pub fn over_each_other(strip: &YearStrip, lives: &[Life], height: f64) -> Drawing {
    let mut drawing = Drawing::new(height);
    for life in lives {
        add(&mut drawing, strip, life, height / 2.0, height / 2.0 - 1.0);
    }
    drawing
}

/// What stands behind all lines of a figure: months, days on which frost is likely, and today.
pub fn back(strip: &YearStrip, frost: &[Period], today: NaiveDate) -> Drawing {
    let mut drawing = Drawing::new(100.0);
    for bar in frost.iter().filter_map(|days| strip.bar(*days)) {
        drawing.add("frost", format!("M{} 0h{}v100h-{}z", bar.x, bar.width, bar.width));
    }
    for month in strip.months().iter().skip(1) {
        drawing.add("months", format!("M{} 0v100", month.x));
    }
    if let Some(x) = strip.x(today) {
        drawing.add("today", format!("M{x} 0v100"));
    }
    drawing
}

/// The months over a figure.
pub fn month_names(strip: &YearStrip) -> Vec<MonthName> {
    let at = |x: f64| format!("{}%", tenth(100.0 * x / WIDTH));
    strip.months().into_iter().map(|month| MonthName { day: month.day, at: at(month.x) }).collect()
}

impl Drawing {
    fn new(height: f64) -> Drawing {
        Drawing { width: WIDTH, height, paths: Vec::new() }
    }

    /// Goes on with the path of a kind.
    pub fn add(&mut self, kind: &'static str, d: String) {
        match self.paths.iter_mut().find(|path| path.kind == kind) {
            Some(path) => path.d.push_str(&d),
            None => self.paths.push(Stroke { kind, d }),
        }
    }
}

/// How a window of a calendar is drawn, from the top.
pub const WINDOWS: [&str; 4] = ["begin-cover", "begin-outdoors", "set-out", "pick"];
const WINDOW_PITCH: f64 = 6.0;

/// Windows of a calendar, each kind on a level of its own, with strokes on days on which it was done. Days of picking
/// are drawn full, as on the growth line.
pub fn windows(
    strip: &YearStrip,
    windows: &[(&'static str, Period)],
    done: &[(&'static str, NaiveDate)],
) -> Drawing {
    let mut drawing = Drawing::new(WINDOW_PITCH * WINDOWS.len() as f64);
    let level = |kind: &str| {
        let level = WINDOWS.iter().position(|one| *one == kind).unwrap_or(0);
        WINDOW_PITCH * (level as f64 + 0.5)
    };
    for (kind, days) in windows {
        let Some(bar) = strip.bar(*days) else { continue };
        let (x, y, width) = (bar.x, level(kind), bar.width);
        let half = tenth(width / 2.0);
        drawing.add(
            kind,
            match *kind {
                "pick" => format!("M{x} {y}l{half} -3l{half} 3l-{half} 3z"),
                _ => format!("M{x} {y}h{width}"),
            },
        );
    }
    for (kind, day) in done {
        if let Some(x) = strip.x(*day) {
            drawing.add("told", format!("M{x} {}v6", tenth(level(kind) - 3.0)));
        }
    }
    drawing
}

fn add(drawing: &mut Drawing, strip: &YearStrip, life: &Life, middle: f64, half: f64) {
    let kind = |own: &'static str, ghost: &'static str| if life.is_ghost { ghost } else { own };
    let spans = [
        (life.raised, kind("raised", "ghost raised")),
        (life.stood, kind("stood", "ghost stood")),
        (life.ahead, kind("ahead", "ghost ahead")),
    ];
    for (days, kind) in spans {
        if let Some(bar) = days.and_then(|days| strip.bar(days)) {
            drawing.add(kind, format!("M{} {middle}h{}", bar.x, bar.width));
        }
    }
    for run in runs(&life.weeks) {
        if let Some(d) = swelling(strip, run, middle, half) {
            drawing.add(kind("picked", "ghost picked"), d);
        }
    }
    let mut across = |kind: &'static str, day: NaiveDate, reach: f64| {
        if let Some(x) = strip.x(day) {
            let top = tenth(middle - reach);
            drawing.add(kind, format!("M{x} {top}v{}", tenth(2.0 * reach)));
        }
    };
    if !life.is_ghost {
        life.told.iter().for_each(|day| across("told", *day, half.min(6.0)));
        life.lost.iter().for_each(|day| across("lost", *day, half.min(5.0)));
    }
}

/// Weeks that follow upon each other.
fn runs(weeks: &[(NaiveDate, f64)]) -> impl Iterator<Item = &[(NaiveDate, f64)]> {
    weeks.chunk_by(|one, next| shift(one.0, 7) == next.0)
}

/// From the first day of a run over the middles of its weeks to its last day, and back below.
fn swelling(strip: &YearStrip, run: &[(NaiveDate, f64)], middle: f64, half: f64) -> Option<String> {
    let days = strip.days();
    let shown: Vec<_> =
        run.iter().filter(|(from, _)| shift(*from, 6) >= days.from && *from <= days.to).collect();
    let (first, last) = (shown.first()?, shown.last()?);
    let x = |day: NaiveDate| strip.x(day.clamp(days.from, days.to)).unwrap_or(0.0);
    let end = strip.bar(Period { from: days.from, to: shift(last.0, 6) })?;
    let corner = |(from, share): &&(NaiveDate, f64), sign: f64| {
        let reach = half * share.clamp(THINNEST, 1.0);
        format!("L{} {}", x(shift(*from, 3)), tenth(middle + sign * reach))
    };
    let over: String = shown.iter().map(|week| corner(week, -1.0)).collect();
    let under: String = shown.iter().rev().map(|week| corner(week, 1.0)).collect();
    Some(format!("M{} {middle}{over}L{} {middle}{under}z", x(first.0), tenth(end.x + end.width)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn strip() -> YearStrip {
        YearStrip::new(Period { from: day("2026-01-01"), to: day("2026-12-31") })
    }

    #[test]
    fn each_part_of_a_life_has_its_own_stroke() {
        let life = Life {
            raised: Some(Period { from: day("2025-12-01"), to: day("2026-02-28") }),
            stood: Some(Period { from: day("2026-03-01"), to: day("2026-05-31") }),
            ahead: Some(Period { from: day("2026-06-01"), to: day("2027-02-01") }),
            lost: Some(day("2026-05-31")),
            ..Life::default()
        };
        let drawn = lives(&strip(), &[life], 14.0);
        let kinds: Vec<&str> = drawn.paths.iter().map(|path| path.kind).collect();
        assert_eq!(kinds, ["raised", "stood", "ahead", "lost"]);
        // What lies before the strip and behind it is cut off: 59 of 365 days are 161.6 of 1000.
        assert_eq!(drawn.paths[0].d, "M0 7h161.6");
        assert!(drawn.paths[2].d.starts_with("M413.7 7h586.3"), "{}", drawn.paths[2].d);
    }

    #[test]
    fn a_run_of_weeks_is_one_swelling_as_high_as_each_week_was_full() {
        let weeks =
            vec![(day("2026-06-01"), 1.0), (day("2026-06-08"), 0.5), (day("2026-07-06"), 0.0)];
        let drawn = lives(&strip(), &[Life { weeks, ..Life::default() }], 14.0);
        let picked = &drawn.paths[0].d;
        assert_eq!(picked.matches('M').count(), 2, "{picked}");
        // Half the height but one unit at the fullest week; a week nobody weighed still shows.
        assert!(picked.contains(" 1L") && picked.contains(" 4L"), "{picked}");
        assert!(picked.contains(" 6.1"), "{picked}");
    }
}
