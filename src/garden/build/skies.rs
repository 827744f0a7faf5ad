//! The weather of each day: from the tables, else from the day's entry.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::diagnostics::problem::Problems;
use crate::garden::build::problems;
use crate::garden::records::Weather;
use crate::journal::entry::Entry;
use crate::origin::{Origin, Written};
use crate::sheets::weather::WeatherRow;
use crate::units::LengthUnit;

/// Temperatures and rain that differ by less are the same reading, written in another way.
const SAME: f64 = 0.5;

/// Weather by day up to `today`; the tables count where an entry differs.
pub(super) fn weather(
    entries: &[Entry],
    rows: &[WeatherRow],
    today: NaiveDate,
    problems: &mut Problems,
) -> BTreeMap<NaiveDate, Weather> {
    let mut days: BTreeMap<NaiveDate, Weather> = BTreeMap::new();
    let mut origins: BTreeMap<NaiveDate, Origin> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.date <= today) {
        if let Some(first) = origins.get(&row.date) {
            problems.add(problems::repeated_day(row.date, row.at, *first));
            continue;
        }
        origins.insert(row.date, row.at);
        let (low_c, high_c, rain_mm) = (row.low_c, row.high_c, row.rain_mm);
        days.insert(row.date, Weather { low_c, high_c, rain_mm, ground_frost: None });
    }
    for entry in entries {
        let Some(note) = &entry.weather else { continue };
        let date = entry.date.value;
        let day = days.entry(date).or_default();
        let row = origins.get(&date).copied();
        let low = note.low.map(|low| low.map(|low| low.0));
        let high = note.high.map(|high| high.map(|high| high.0));
        let rain = note.rain.map(|rain| rain.map(|rain| LengthUnit::Millimetre.measure(rain)));
        let mut compare = |what: &str, table: &mut Option<f64>, here: Option<Written<f64>>| {
            let Some(here) = here else { return };
            match (*table, row) {
                (Some(table), Some(row)) if (table - here.value).abs() >= SAME => problems
                    .add(problems::weather_differs(here.at, what, date, here.value, table, row)),
                (Some(_), _) => {}
                (None, _) => *table = Some(here.value),
            }
        };
        compare("low", &mut day.low_c, low);
        compare("high", &mut day.high_c, high);
        compare("rain", &mut day.rain_mm, rain);
        let frost = note.ground_frost.map(|frost| frost.value);
        day.ground_frost = day.ground_frost.or(frost);
    }
    days
}
