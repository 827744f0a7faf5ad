//! How well do these dates hold? Past forecasts, each made of what was known before it, against what came.
//!
//! A forecast is made on the day from which it counts (sown, planted out, planted), from what is dated
//! before that day: nothing of the day itself and nothing later, neither of this planting nor of another.
//! It is scored by the days between the forecast's middle and the day the milestone came. Beside it stands
//! the table's own forecast: the same model without a planting.

use chrono::NaiveDate;

use crate::dates;
use crate::garden::model::Garden;
use crate::garden::planting::PlantingId;
use crate::learning::Learned;
use crate::learning::estimate::Estimate;
use crate::learning::posterior::{self, Question, Sample};
use crate::learning::quantity::Span;
use crate::learning::spans::Wait;

/// A past forecast beside what came.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    pub planting: PlantingId,
    /// From what to what.
    pub span: Span,
    /// The day it was made, from which it counts.
    pub made: NaiveDate,
    /// The day the milestone came.
    pub came: NaiveDate,
    /// What the table alone says, in days; nothing if it has no value.
    pub table: Option<Estimate>,
    /// What was learned by then says, in days; the table's if nothing was.
    pub learned: Option<Estimate>,
}

impl Forecast {
    /// The day that an estimate in days means.
    pub fn day(&self, estimate: &Estimate) -> NaiveDate {
        dates::shift(self.made, estimate.middle.round() as i64)
    }

    /// Days by which an estimate was off: above zero if the milestone came later.
    pub fn days_off(&self, estimate: &Estimate) -> i64 {
        (self.came - self.day(estimate)).num_days()
    }

    /// Days it took.
    pub fn days(&self) -> i64 {
        (self.came - self.made).num_days()
    }

    /// Both estimates, where the table has one: only such forecasts can be compared.
    fn both(&self) -> Option<(&Estimate, &Estimate)> {
        self.table.as_ref().zip(self.learned.as_ref())
    }
}

/// How far off a number of forecasts were.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// How many forecasts; those without a table's value are not among them.
    pub number: u32,
    /// Mean absolute error of the table, days.
    pub table_days: f64,
    /// Mean absolute error of what was learned by then, days.
    pub learned_days: f64,
    /// How many of them came within the learned 80 % interval.
    pub in_interval: u32,
}

/// All past forecasts of a garden, in the order in which they were made.
pub fn forecasts(garden: &Garden, learned: &Learned) -> Vec<Forecast> {
    let mut forecasts = Vec::new();
    for group in learned.waits.values() {
        forecasts.extend(group.iter().filter_map(|wait| forecast(garden, learned, wait, group)));
    }
    forecasts.sort_by_key(|forecast| (forecast.made, forecast.planting, forecast.span));
    forecasts
}

fn forecast(garden: &Garden, lessons: &Learned, wait: &Wait, alike: &[Wait]) -> Option<Forecast> {
    let came = wait.end?;
    let crop = garden.catalogue.get(wait.crop);
    let quantity = lessons.was_foretold_in(wait, wait.start);
    let known: Vec<Sample> =
        alike.iter().filter_map(|other| other.as_of(quantity, wait.start)).collect();
    let late_days = lessons.looks.late_days(wait.start);
    let (variety, season) = (&*wait.variety, Some(wait.season));
    let question = Question { quantity, variety, season, late_days };
    let answers = &lessons.answers;
    let table = posterior::estimate(crop, question, &[], &[], answers);
    let heard = lessons.heard(wait.group(), wait.start);
    let learned = match (known.as_slice(), heard.as_slice()) {
        ([], []) => table,
        (known, heard) => {
            let known: Vec<&Sample> = known.iter().collect();
            posterior::estimate(crop, question, &known, heard, answers)
        }
    };
    let in_days = |estimate: Option<Estimate>| wait.in_days(quantity, estimate?);
    let (table, learned) = (in_days(table), in_days(learned));
    let (planting, span, made) = (wait.planting, wait.span, wait.start);
    (table.is_some() || learned.is_some()).then_some(Forecast {
        planting,
        span,
        made,
        came,
        table,
        learned,
    })
}

/// The score of some forecasts; none if there is none to compare.
pub fn score<'a>(forecasts: impl IntoIterator<Item = &'a Forecast>) -> Option<Score> {
    let mut number = 0;
    let (mut table_off, mut learned_off, mut in_interval) = (0.0, 0.0, 0);
    for forecast in forecasts {
        let Some((table, learned)) = forecast.both() else { continue };
        number += 1;
        table_off += forecast.days_off(table).abs() as f64;
        learned_off += forecast.days_off(learned).abs() as f64;
        in_interval += u32::from(learned.contains(forecast.days() as f64));
    }
    let all = f64::from(number);
    (number > 0).then(|| Score {
        number,
        table_days: table_off / all,
        learned_days: learned_off / all,
        in_interval,
    })
}

/// A score for each span that has forecasts to compare, in the order of [`Span::ALL`].
pub fn by_span(forecasts: &[Forecast]) -> Vec<(Span, Score)> {
    let of_span = |span: &Span| {
        let score = score(forecasts.iter().filter(|forecast| forecast.span == *span))?;
        Some((*span, score))
    };
    Span::ALL.iter().filter_map(of_span).collect()
}
