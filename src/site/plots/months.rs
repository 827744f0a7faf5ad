//! What was picked month by month, as lying bars.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::catalogue::CropId;
use crate::charts::bars::{self, Bar, Bars};
use crate::dates::Period;
use crate::garden::model::Garden;
use crate::results::yields::measures::Weighed;
use crate::results::yields::{self, Whose, Yield};
use crate::site::amount::Amount;
use crate::site::message::Message;
use crate::site::plots::{PlotWords, weight};
use crate::units::MassUnit;

/// Weight by month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthsPlot {
    pub words: PlotWords,
    pub plot: Bars,
    /// The months, from the first to the last with a picking.
    pub months: Vec<MonthBar>,
    /// Whether some pickings of a month that has a weight were not weighed.
    pub is_part: bool,
}

/// A month.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonthBar {
    /// Its first day in the season.
    pub day: NaiveDate,
    pub bar: Bar,
    /// What was picked; nothing if nothing was weighed.
    pub amount: Option<Amount>,
    /// How many pickings nobody weighed.
    pub unweighed: u32,
}

/// Of a season: of all crops, or of one. Nothing if only one month has a weight.
pub fn of_season(
    garden: &Garden,
    days: Period,
    crop: Option<CropId>,
    weighed: Weighed,
) -> Option<MonthsPlot> {
    let mut sums: BTreeMap<(i32, u32), Yield> = BTreeMap::new();
    for harvest in garden.harvests_in(days).iter().filter(|harvest| {
        crop.is_none_or(|crop| yields::whose(garden, harvest) == Whose::Crop(crop))
    }) {
        let month = (harvest.date.year(), harvest.date.month());
        sums.entry(month).or_default().add(harvest);
    }
    let grams = |sum: &Yield| sum.weight(weighed).map(|mass| MassUnit::Gram.measure(mass));
    if sums.values().filter_map(grams).count() < 2 {
        return None;
    }
    let (first, last) = (*sums.keys().next()?, *sums.keys().next_back()?);
    let mut months: Vec<NaiveDate> = days.each_day().collect();
    months.dedup_by_key(|day| (day.year(), day.month()));
    months.retain(|day| (first..=last).contains(&(day.year(), day.month())));
    let sum_of = |day: &NaiveDate| sums.get(&(day.year(), day.month()));
    let values: Vec<Option<f64>> = months.iter().map(|day| sum_of(day).and_then(grams)).collect();
    let plot = bars::lying(&values);
    let system = garden.settings.units;
    let bar = |(index, day): (usize, &NaiveDate)| MonthBar {
        day: *day,
        bar: plot.bars[index],
        amount: values[index].map(|grams| weight(grams, system)),
        unweighed: sum_of(day).map_or(0, |sum| sum.unweighed),
    };
    let months: Vec<MonthBar> = months.iter().enumerate().map(bar).collect();
    let is_part = months.iter().any(|month| month.amount.is_some() && month.unweighed > 0);
    let told = months.iter().filter_map(|month| {
        let amount = month.amount.clone()?;
        Some(Message::new("plot.month").with("month", month.day).with("amount", amount))
    });
    let key = match weighed {
        Weighed::Fresh => "plot.fresh",
        Weighed::Dried => "plot.dried",
    };
    let words = PlotWords {
        title: Message::new("plot.months"),
        unit: Message::new(key),
        told: told.collect(),
        id: "months".to_owned(),
    };
    Some(MonthsPlot { words, plot, months, is_part })
}
