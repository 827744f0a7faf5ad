//! How the harvest of a season grew, beside earlier ones to the same day.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::catalogue::CropId;
use crate::charts::curves::{self, Curves, Line};
use crate::dates::Period;
use crate::garden::model::{Garden, Season};
use crate::results::comparisons::curve::{self, Curve};
use crate::results::yields::measures::Weighed;
use crate::site::amount::Amount;
use crate::site::message::Message;
use crate::site::plots::{Mark, PlotUnit, PlotWords, weight};

/// More lines than these cannot be told apart; the table has all seasons.
const LINES: usize = 4;

/// Sums of seasons.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonsPlot {
    pub words: PlotWords,
    pub plot: Curves,
    /// Round values up the side.
    pub values: Vec<Mark>,
    /// Months along the foot.
    pub months: Vec<MonthMark>,
    /// The lines, newest season first.
    pub lines: Vec<SeasonLine>,
    /// All seasons, newest first.
    pub rows: Vec<SeasonRow>,
}

/// The beginning of a month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthMark {
    pub at: f64,
    /// Its first day, if its name is written there.
    pub day: Option<NaiveDate>,
}

/// The line of a season.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonLine {
    pub season: String,
    /// How many seasons ago, 0 to 3: how it is drawn.
    pub age: usize,
    pub line: Line,
}

/// A season in the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeasonRow {
    pub season: String,
    /// The last day that counts.
    pub until: NaiveDate,
    /// What had been picked by then, if anything was weighed.
    pub amount: Option<Amount>,
    pub pickings: u32,
    /// How many of them nobody weighed.
    pub unweighed: u32,
    /// The journal's first day, if the season had begun before it.
    pub journal_begins: Option<NaiveDate>,
}

/// Of a season and those before it; nothing if there is none before it, or nothing was weighed in any.
pub fn of(
    garden: &Garden,
    season: Season,
    crop: Option<CropId>,
    weighed: Weighed,
) -> Option<SeasonsPlot> {
    let told = curve::of_seasons(garden, season, crop, weighed);
    if told.len() < 2 || told.iter().all(|curve| curve.points.is_empty()) {
        return None;
    }
    let system = garden.settings.units;
    let drawn = &told[..told.len().min(LINES)];
    let ends = drawn.iter().filter_map(|curve| curve.points.last().map(|(_, grams)| *grams));
    let unit = PlotUnit::of(ends, system);
    let longest = told[0].days;
    let lines: Vec<_> = drawn.iter().map(|curve| (points(curve, unit), 1.0)).collect();
    let plot = curves::growing(&lines);
    let row = |curve: &Curve| SeasonRow {
        season: curve.season.name(),
        until: curve.days.to,
        amount: curve.points.last().map(|(_, grams)| weight(*grams, system)),
        pickings: curve.sum.pickings,
        unweighed: curve.sum.unweighed,
        journal_begins: curve.journal_begins,
    };
    let rows: Vec<SeasonRow> = told.iter().map(row).collect();
    let is_now = season == garden.season();
    let title = match is_now {
        true => Message::new("plot.seasons-to").with("day", longest.to),
        false => Message::new("plot.seasons"),
    };
    let words = PlotWords {
        title,
        unit: Message::new(match weighed {
            Weighed::Fresh => "plot.fresh",
            Weighed::Dried => "plot.dried",
        }),
        told: rows.iter().map(sentence).collect(),
        id: "seasons".to_owned(),
    };
    Some(SeasonsPlot {
        words,
        values: unit.marks(&plot.values, plot.decimals),
        months: months(longest),
        lines: drawn
            .iter()
            .zip(&plot.lines)
            .enumerate()
            .map(|(age, (curve, line))| SeasonLine {
                season: curve.season.name(),
                age,
                line: line.clone(),
            })
            .collect(),
        plot,
        rows,
    })
}

fn sentence(row: &SeasonRow) -> Message {
    let season = |key: &str| Message::new(key).with("season", row.season.as_str());
    match &row.amount {
        Some(amount) => {
            season("plot.season").with("until", row.until).with("amount", amount.clone())
        }
        None => season("plot.season-none").with("until", row.until),
    }
}

/// Sums by the share of the days that had passed on the evening of each.
fn points(curve: &Curve, unit: PlotUnit) -> Vec<curves::Point> {
    let length = curve.days.days() as f64;
    let share = |day: NaiveDate| ((day - curve.days.from).num_days() as f64 + 1.0) / length;
    curve.points.iter().map(|(day, grams)| (share(*day), unit.measure(*grams))).collect()
}

/// The months of a stretch of days; where there are many, every second has its name.
fn months(days: Period) -> Vec<MonthMark> {
    let firsts: Vec<NaiveDate> = days.each_day().filter(|day| day.day() == 1).collect();
    let every = if firsts.len() > 7 { 2 } else { 1 };
    let length = days.days() as f64;
    let share = |day: NaiveDate| (day - days.from).num_days() as f64 / length;
    // A name needs room: the month that has only just begun goes without.
    let has_room = |day: NaiveDate| (days.to - day).num_days() as f64 / length > 0.07;
    firsts
        .iter()
        .enumerate()
        .map(|(index, day)| MonthMark {
            at: curves::across(share(*day)),
            day: (index % every == 0 && has_room(*day)).then_some(*day),
        })
        .collect()
}
