//! Whether a crop keeps to days or to warmth in this garden.
//!
//! Warmth is believed before anything was grown. From two seasons on the garden's own plantings decide: each season is
//! foretold from the others, in days and by warmth, and what was nearer to the days they took is used from then on
//! (cross-validation with a season left out: S. Arlot & A. Celisse, *Statistics Surveys* 4 (2010) 40–79, from memory).

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::learning::quantity::{Quantity, Span};
use crate::learning::spans::{Known, Wait};

/// Fewer plantings than this do not decide.
const FEWEST: usize = 4;

/// One planting that came so far.
struct Came {
    season: i32,
    log_days: f64,
    log_warmth: f64,
}

/// The quantity in which a group of waits is foretold, by what was known before a day.
pub(super) fn quantity(span: Span, waits: &[Wait], before: NaiveDate) -> Quantity {
    let came: Vec<(&Wait, Came)> =
        waits.iter().filter_map(|wait| Some((wait, came(wait, before)?))).collect();
    let mut seasons: BTreeMap<i32, (f64, f64, f64)> = BTreeMap::new();
    let mut all = (0.0, 0.0, 0.0);
    for (_, one) in &came {
        let own = seasons.entry(one.season).or_default();
        for sums in [own, &mut all] {
            *sums = (sums.0 + 1.0, sums.1 + one.log_days, sums.2 + one.log_warmth);
        }
    }
    if came.len() < FEWEST || seasons.len() < 2 {
        return Quantity::Warmth(span);
    }
    let (mut by_days, mut by_warmth) = (0.0, 0.0);
    for (wait, one) in &came {
        let own = seasons[&one.season];
        let others = all.0 - own.0;
        let (log_days, log_warmth) = ((all.1 - own.1) / others, (all.2 - own.2) / others);
        let foretold = wait.days_until(libm::exp(log_warmth));
        let off = foretold.map_or(f64::INFINITY, |days| libm::log(days.max(0.5)) - one.log_days);
        by_days += (log_days - one.log_days) * (log_days - one.log_days);
        by_warmth += off * off;
    }
    if by_days < by_warmth { Quantity::Days(span) } else { Quantity::Warmth(span) }
}

fn came(wait: &Wait, before: NaiveDate) -> Option<Came> {
    let Known::Ended(end) = wait.known_before(before)? else { return None };
    let days = wait.value(Quantity::Days(wait.span), end)?;
    let warmth = wait.value(Quantity::Warmth(wait.span), end)?;
    Some(Came { season: wait.season, log_days: libm::log(days), log_warmth: libm::log(warmth) })
}
