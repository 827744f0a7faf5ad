//! Autumn planting of what stands through winter: garlic, broad beans, onion sets.
//!
//! It begins when nights have cooled to what the sheet says, and no more weeks before the first frost than it says. Frost
//! is no danger to it, so the usual first frost counts (that of one year in two), not that of the garden's risk. Where frost
//! comes in fewer years than that, cooling alone decides.

use crate::calendar::bounds::{Bound, WindowBounds};
use crate::calendar::day_length::bulbs_ripen;
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
    let Window { from, to, opens, closes } = window(sheet, year)?;
    let period = |from: i64, to: i64| Period { from: year.date(from), to: year.date(to) };
    let is_sown = sheet.begun_as.as_ref().is_some_and(|told| told.contains(&Way::SeedOutdoors));
    let begun = Some(period(from, to));
    let lasts = sheet.harvest_lasts.map_or(0, |range| i64::from(range.high.0));
    let harvest = days_outdoors(sheet, is_sown).and_then(|days| {
        let (first, last) = match stands_through_winter(days) {
            true => match bulbs_ripen(sheet, year, from + days.low / 2) {
                Some(ripe) => (ripe.low, ripe.high),
                None => (from + days.low, to + days.high),
            },
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
            opens: vec![opens],
            closes: vec![closes],
        }],
        ..Round::default()
    })
}

/// The first and the last day, and what sets them.
struct Window {
    from: i64,
    to: i64,
    opens: Bound,
    closes: Bound,
}

fn window(sheet: &CropSheet, year: &GrowingYear) -> Result<Window, Reason> {
    let cool_c = sheet.autumn_night_low.map(|low| cooled_c(low, year));
    let cooled =
        cool_c.map(|cool_c| cooled(cool_c, year).map(|day| (day, Bound::NotCooled(cool_c))));
    let lasts = year.thresholds().autumn_days.round() as i64;
    let frost = year.usual_first_frost().zip(sheet.autumn_before_frost);
    let before = frost.map(|(frost, before)| (frost, before.map(|Days(days)| i64::from(days))));
    let (from, opens) = match (cooled.transpose()?, before) {
        (Some((day, bound)), None) => (day, bound),
        // Nights may be cool all summer: then it is the frost ahead that says when.
        (Some((day, _)), Some((frost, before))) if frost - before.high > day => {
            (frost - before.high, Bound::UsualFrost(before.high))
        }
        (Some((day, bound)), Some(_)) => (day, bound),
        (None, Some((frost, before))) => {
            ((frost - before.high).max(MIDSUMMER), Bound::UsualFrost(before.high))
        }
        (None, None) => return Err(Reason::SheetLacks("autumn-planting.night-low-below")),
    };
    let roots = (from + lasts - 1, Bound::LateForRoots(lasts));
    let (to, closes) = match before.map(|(frost, before)| (frost - before.low, before.low)) {
        Some((to, days)) if to > roots.0 => (to, Bound::UsualFrost(days)),
        _ => roots,
    };
    Ok(Window { from, to, opens, closes })
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
