//! Autumn planting of what stands through winter: garlic, broad beans, onion sets.
//!
//! It begins when nights have cooled to what the sheet says; without such a value, so many weeks before the
//! first frost. Frost is no danger to it, so the usual first frost counts (that of one year in two), not
//! that of the garden's risk. Where frost comes in fewer years than that, cooling alone decides.

use crate::calendar::bounds::{Bound, WindowBounds};
use crate::calendar::needs::{base_c, days_outdoors, stands_through_winter};
use crate::calendar::rules::LIGHT_NEEDED_H;
use crate::calendar::tally::Tally;
use crate::calendar::year::{GrowingYear, MIDSUMMER};
use crate::calendar::{How, Opens, Reason, Round};
use crate::catalogue::CropSheet;
use crate::catalogue::sheet::Way;
use crate::dates::Period;
use crate::units::{Celsius, Days};

/// For so many days nights must stay cool to count as having cooled.
const SETTLES_DAYS: i64 = 14;

/// The round begun in autumn, or why there is none.
pub(super) fn round(sheet: &CropSheet, year: &GrowingYear) -> Result<Round, Reason> {
    let (from, to) = window(sheet, year)?;
    let period = |from: i64, to: i64| Period { from: year.date(from), to: year.date(to) };
    let is_sown = sheet.begun_as.as_ref().is_some_and(|told| told.contains(&Way::SeedOutdoors));
    let begun = Some(period(from, to));
    let lasts = sheet.harvest_lasts.map_or(0, |range| i64::from(range.high.0));
    let harvest = days_outdoors(sheet, is_sown).and_then(|days| {
        let (first, last) = match stands_through_winter(days) {
            true => (from + days.low, to + days.high),
            false => {
                let growing = growing(sheet, year);
                let ready = |day, days: i64| growing.reached(day, days as f64);
                (ready(from, days.low)?, ready(to, days.high)?)
            }
        };
        Some(period(first, last + lasts))
    });
    Ok(Round {
        opens: Opens::AsItCools,
        plant_out: begun.filter(|_| !is_sown),
        sow_outdoors: begun.filter(|_| is_sown),
        harvest,
        bounds: vec![WindowBounds {
            how: How::BeginInAutumn,
            opens: sheet
                .autumn_night_low
                .map(|low| cooled_c(low, year))
                .map(Bound::NotCooled)
                .into_iter()
                .collect(),
            closes: Vec::new(),
        }],
        ..Round::default()
    })
}

fn window(sheet: &CropSheet, year: &GrowingYear) -> Result<(i64, i64), Reason> {
    let thresholds = year.thresholds();
    let cooled = sheet.autumn_night_low.map(|low| cooled(cooled_c(low, year), year)).transpose()?;
    let frost = year.usual_first_frost().zip(sheet.autumn_before_frost);
    let lasts = thresholds.autumn_days.round() as i64;
    match (cooled, frost) {
        (cooled, Some((frost, before))) => {
            let before = before.map(|Days(days)| i64::from(days));
            let from = cooled.unwrap_or(frost - before.high).max(MIDSUMMER);
            Ok((from, (frost - before.low).max(from + lasts - 1)))
        }
        (Some(cooled), None) => Ok((cooled, cooled + lasts - 1)),
        (None, None) => Err(Reason::SheetLacks("autumn-planting.night-low-below")),
    }
}

/// What nights have to cool to, °C.
fn cooled_c(low: Celsius, year: &GrowingYear) -> f64 {
    low.0 + year.thresholds().autumn_night_k
}

/// The first day after midsummer on which nights are this cool and stay so.
fn cooled(needs_c: f64, year: &GrowingYear) -> Result<i64, Reason> {
    let warm_nights = Tally::count(year.weather(), |day| day.low_c > needs_c);
    (MIDSUMMER..year.length() + MIDSUMMER)
        .find(|day| warm_nights.between(*day, day + SETTLES_DAYS) == 0.0)
        .ok_or_else(|| {
            let coolest_c =
                year.own_weather().iter().map(|day| day.low_c).fold(f64::INFINITY, f64::min);
            Reason::NeverCools { needs_c, coolest_c }
        })
}

/// Days on which it grows; in winter it waits.
fn growing(sheet: &CropSheet, year: &GrowingYear) -> Tally {
    let base_c = base_c(sheet);
    Tally::count(year.weather(), |day| day.mean_c >= base_c && day.light_h >= LIGHT_NEEDED_H)
}
