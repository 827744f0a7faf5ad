//! In which weeks of a season each crop was picked, and how fully.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::catalogue::CropId;
use crate::charts::weeks::{self, Cell, WeekSum, Weeks};
use crate::dates::{Period, shift};
use crate::garden::model::Garden;
use crate::results::yields::{self, Whose, Yield};
use crate::site::amount::Amount;
use crate::site::frame::Link;
use crate::site::message::Message;
use crate::site::plots::{PlotWords, weight};
use crate::units::MassUnit;

/// A longer name does not fit before its row.
const LETTERS: usize = 15;

/// Weeks of picking.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeeksPlot {
    /// What it says.
    pub words: PlotWords,
    /// Its measures.
    pub plot: Weeks,
    /// The crops, by name.
    pub rows: Vec<WeeksRow>,
}

/// A crop's weeks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeeksRow {
    /// The crop.
    pub crop: Link,
    /// Its name, cut where there is no room.
    pub short: String,
    /// The line its cells stand on.
    pub ground: f64,
    /// Its weeks.
    pub cells: Vec<Cell>,
    /// In how many weeks it was picked.
    pub weeks: usize,
    /// The first day of the fullest week, if any was weighed.
    pub fullest: Option<NaiveDate>,
    /// What was picked in that week.
    pub amount: Option<Amount>,
}

/// Of a season; nothing if nothing was picked.
pub fn of_season(garden: &Garden, days: Period) -> Option<WeeksPlot> {
    let mut crops: BTreeMap<CropId, BTreeMap<usize, Yield>> = BTreeMap::new();
    for harvest in garden.harvests_in(days) {
        if let Whose::Crop(crop) = yields::whose(garden, harvest) {
            let week = weeks::week_of(days, harvest.date);
            crops.entry(crop).or_default().entry(week).or_default().add(harvest);
        }
    }
    if crops.is_empty() {
        return None;
    }
    let mut named: Vec<(Link, Vec<WeekSum>)> =
        crops.into_iter().map(|(crop, weeks)| (Link::crop(garden, crop), sums(weeks))).collect();
    named.sort_by(|a, b| a.0.cmp(&b.0));
    let weeks: Vec<_> = named.iter().map(|(_, weeks)| weeks.clone()).collect();
    let plot = weeks::strip(days, &weeks);
    let rows: Vec<WeeksRow> = named
        .into_iter()
        .zip(&plot.rows)
        .map(|((crop, weeks), row)| {
            let weighed =
                weeks.iter().filter_map(|(week, grams)| grams.map(|grams| (*week, grams)));
            let fullest = weighed.reduce(|best, next| if next.1 > best.1 { next } else { best });
            WeeksRow {
                short: cut(&crop.text),
                crop,
                ground: row.ground,
                cells: row.cells.clone(),
                weeks: weeks.len(),
                fullest: fullest.map(|(week, _)| shift(days.from, week as i64 * 7)),
                amount: fullest.map(|(_, grams)| weight(grams, garden.settings.units)),
            }
        })
        .collect();
    let words = PlotWords {
        title: Message::new("plot.weeks"),
        unit: Message::new("plot.weeks-unit"),
        told: rows.iter().map(sentence).collect(),
        id: "weeks".to_owned(),
    };
    Some(WeeksPlot { words, plot, rows })
}

/// Fresh weights; of a crop that is weighed after drying only, those.
fn sums(weeks: BTreeMap<usize, Yield>) -> Vec<WeekSum> {
    let is_fresh = weeks.values().any(|sum| sum.fresh.is_some());
    let weight = |sum: Yield| if is_fresh { sum.fresh } else { sum.cured };
    let grams = |sum| weight(sum).map(|mass| MassUnit::Gram.measure(mass));
    weeks.into_iter().map(|(week, sum)| (week, grams(sum))).collect()
}

fn sentence(row: &WeeksRow) -> Message {
    let weeks = row.weeks as u64;
    let message = |key: &str| Message::new(key).with("crop", row.crop.text.as_str());
    match (row.fullest, &row.amount) {
        (Some(day), Some(amount)) => message("plot.week")
            .with("count", weeks)
            .with("day", day)
            .with("amount", amount.clone()),
        _ => message("plot.week-unweighed").with("count", weeks),
    }
}

fn cut(name: &str) -> String {
    if name.chars().count() <= LETTERS {
        return name.to_owned();
    }
    let kept: String = name.chars().take(LETTERS - 1).collect();
    format!("{}…", kept.trim_end())
}
