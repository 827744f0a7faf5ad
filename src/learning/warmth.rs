//! Warmth between two days, where plants stand in the open: in days of the weather that their sheet means, by the temperatures
//! as observed, else usual.
//!
//! The day of the beginning counts, that of the milestone does not, as in the dates that are made of it ([`crate::stages`]): as
//! many days are summed as lie between the two.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::catalogue::CropSheet;
use crate::climate::conditions::Conditions;
use crate::dates;
use crate::garden::model::Garden;
use crate::garden::planting::Planting;
use crate::learning::quantity::{Beginning, Span};
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::stages::usual_weather::UsualWeather;

/// How far beyond the garden's day sums are followed.
const AHEAD_DAYS: i64 = 400;

/// The weather of which a span is told; nothing for what a grower does, and for sets and tubers that come up, which are no
/// seed.
pub(super) fn usual_weather(
    sheet: &CropSheet,
    span: Span,
    conditions: &Conditions,
) -> Option<UsualWeather> {
    let is_told = match span.to {
        Milestone::Stage(Stage::Emerged) => span.from == Beginning::Sown,
        to => !to.is_work(),
    };
    UsualWeather::of(sheet, span.to, conditions).filter(|_| is_told)
}

/// The sums of warmth of a garden, one for each kind of usual weather.
#[derive(Debug, Default)]
pub(super) struct Warmth(Vec<(UsualWeather, Arc<Sums>)>);

impl Warmth {
    /// The sums that count towards a span's end; nothing where the sheet or the garden knows no temperatures.
    pub(super) fn towards(
        &mut self,
        garden: &Garden,
        conditions: &Conditions,
        (planting, span): (&Planting, Span),
    ) -> Option<Arc<Sums>> {
        let usual = usual_weather(&planting.sheet, span, conditions)?;
        if let Some((_, sums)) = self.0.iter().find(|(of, _)| *of == usual) {
            return Some(sums.clone());
        }
        let sums = Arc::new(Sums::of(garden, conditions, usual)?);
        self.0.push((usual, sums.clone()));
        Some(sums)
    }
}

/// Running totals of warmth from the journal's first day on, in days of usual weather before each day.
#[derive(Debug)]
pub(super) struct Sums {
    first: NaiveDate,
    /// As observed, else as it is in usual years.
    came: Vec<f64>,
    /// As it is in usual years.
    usual: Vec<f64>,
}

impl Sums {
    fn of(garden: &Garden, conditions: &Conditions, usual: UsualWeather) -> Option<Sums> {
        let first = garden.entries.first()?.date;
        let last = dates::shift(garden.today, AHEAD_DAYS);
        let mut totals = (0.0, 0.0);
        let (mut came, mut as_usual) = (vec![0.0], vec![0.0]);
        for day in first.iter_days().take_while(|day| *day <= last) {
            let normal = conditions.normal_temperatures(day)?;
            let seen = conditions.temperatures(garden, day).unwrap_or(normal);
            totals.0 += usual.share(seen.0, seen.1);
            totals.1 += usual.share(normal.0, normal.1);
            came.push(totals.0);
            as_usual.push(totals.1);
        }
        Some(Sums { first, came, usual: as_usual })
    }

    /// Days of usual weather from the beginning of one day to that of another.
    pub(super) fn between(&self, from: NaiveDate, to: NaiveDate) -> Option<f64> {
        Some(self.came.get(self.index(to)?)? - self.came.get(self.index(from)?)?)
    }

    /// Days from the beginning of a day until so many days of usual weather are over, as it was to be foretold on that day.
    pub(super) fn days_until(&self, from: NaiveDate, usual_days: f64) -> Option<f64> {
        let totals = &self.usual;
        let wanted = totals.get(self.index(from)?)? + usual_days;
        let after = totals.partition_point(|total| *total < wanted);
        let (low, high) = (totals.get(after.checked_sub(1)?)?, totals.get(after)?);
        let part = (wanted - low) / (high - low);
        Some((after - 1) as f64 + part - (from - self.first).num_days() as f64)
    }

    fn index(&self, day: NaiveDate) -> Option<usize> {
        usize::try_from((day - self.first).num_days()).ok()
    }
}
