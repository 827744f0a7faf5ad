//! How long things took in other gardens, carried over to this one; what they say of it is in [`crate::learning::club`].
//!
//! Days in the open are first carried over by warmth: the days in which this garden, from the same date on, gathers as many
//! degree days as theirs did, by the usual months of both. What happens under cover, and coming up, are taken as they are.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::climate::conditions::Conditions;
use crate::climate::degree_days::{Thresholds, single_sine};
use crate::climate::normals::Normals;
use crate::dates;
use crate::garden::model::Garden;
use crate::learning::Group;
use crate::learning::quantity::{Kind, Quantity, Span, TimeOfYear};
use crate::names;
use crate::neighbours::{Neighbour, Took};
use crate::stage::Stage;
use crate::stages::Milestone;

/// How long something took in another garden, carried over to this one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Heard {
    /// The number of the garden.
    pub(super) garden: usize,
    /// How likely it is, before any value, that crops lie there as they do here: 0 to 1.
    pub(super) likeness: f64,
    /// A folded name; empty for none.
    pub(super) variety: String,
    pub(super) season: i32,
    pub(super) days: f64,
    /// The day it came.
    pub(super) came: NaiveDate,
}

/// Chances that a garden of the same climate is like ours, and one of which no climate is known.
const LIKE: f64 = 0.85;
const PERHAPS: f64 = 0.5;
/// The difference of the warm months, °C, at which that chance is 0.6 of what it was.
const CLIMATE_C: f64 = 2.5;
/// A garden that is less likely to be like ours is not listened to.
const LEAST: f64 = 0.05;

/// Everything that neighbours tell, by what may be pooled.
pub(super) fn heard(garden: &Garden, conditions: &Conditions) -> BTreeMap<Group, Vec<Heard>> {
    let mut all: BTreeMap<Group, Vec<Heard>> = BTreeMap::new();
    let slugs: BTreeMap<&str, _> =
        garden.catalogue.crops().map(|(id, crop)| (crop.slug.as_str(), id)).collect();
    for (number, neighbour) in garden.neighbours.iter().enumerate() {
        let mut carried = Carried::of(neighbour, conditions);
        let likeness = carried.likeness();
        if likeness < LEAST {
            continue;
        }
        for took in &neighbour.took {
            let (Some(crop), Some((span, kind))) = (slugs.get(took.crop.as_str()), meant(took))
            else {
                continue;
            };
            let sheet = garden.catalogue.get(*crop).sheet_of(took.variety.as_deref());
            let thermal = sheet.degree_days.filter(|_| is_by_warmth(span, kind));
            let thresholds = thermal.map(|thermal| {
                Thresholds::celsius(thermal.base.0, thermal.upper.map(|upper| upper.0))
            });
            let Some(days) = carried.days(took, thresholds) else { continue };
            all.entry((*crop, Quantity::Days(span), kind)).or_default().push(Heard {
                garden: number,
                likeness,
                variety: names::folded(took.variety.as_deref().unwrap_or_default()),
                season: took.season,
                days,
                came: dates::shift(took.from, took.days.round() as i64),
            });
        }
    }
    all
}

/// What a neighbour's words mean; nothing for what a grower does when it suits.
fn meant(took: &Took) -> Option<(Span, Kind)> {
    let comes = |span: &&Span| {
        matches!(
            span.to,
            Milestone::FirstHarvest | Milestone::Stage(Stage::Emerged | Stage::Flowering)
        )
    };
    let span = Span::ALL.iter().filter(comes).find(|span| span.key() == took.what)?;
    let times = [TimeOfYear::Spring, TimeOfYear::Summer, TimeOfYear::Autumn];
    let time = times.into_iter().find(|time| time.word() == took.half)?;
    Some((*span, Kind { is_under_cover: took.under_cover, time }))
}

fn is_by_warmth(span: Span, kind: Kind) -> bool {
    !kind.is_under_cover && span.to != Milestone::Stage(Stage::Emerged)
}

/// From a neighbour's climate to ours.
struct Carried<'a> {
    theirs: Option<Normals>,
    ours: Option<&'a Normals>,
    /// Days by which their year lies behind ours.
    turned: i64,
    rates: BTreeMap<(u64, Option<u64>), [Vec<f64>; 2]>,
}

/// Half a year.
const HALF: i64 = 182;
/// Any year that has a 29th of February.
const YEAR: i32 = 2024;

impl<'a> Carried<'a> {
    fn of(neighbour: &Neighbour, conditions: &'a Conditions) -> Carried<'a> {
        let is_turned = (neighbour.latitude_deg < 0.0) != (conditions.latitude_deg < 0.0);
        let theirs = neighbour.months_c.map(|months| {
            Normals::new(months.map(|month| month.0), months.map(|month| month.1), None)
        });
        Carried {
            theirs,
            ours: conditions.normals.as_ref(),
            turned: if is_turned { HALF } else { 0 },
            rates: BTreeMap::new(),
        }
    }

    /// By the six warmest months of ours.
    fn likeness(&self) -> f64 {
        let (Some(theirs), Some(ours)) = (&self.theirs, self.ours) else { return PERHAPS };
        let means = |normals: &Normals| normals.months_c().map(|(low, high)| (low + high) / 2.0);
        let (theirs, ours) = (means(theirs), means(ours));
        let turned = if self.turned == 0 { 0 } else { 6 };
        let mut months: Vec<usize> = (0..12).collect();
        months.sort_by(|a, b| ours[*b].total_cmp(&ours[*a]));
        let off = |month: &usize| ours[*month] - theirs[(month + turned) % 12];
        let square = months[..6].iter().map(|month| off(month) * off(month)).sum::<f64>() / 6.0;
        LIKE * libm::exp(-square / (2.0 * CLIMATE_C * CLIMATE_C))
    }

    /// The days that it would have taken here; nothing if that is not to be said.
    fn days(&mut self, took: &Took, thresholds: Option<Thresholds>) -> Option<f64> {
        let (Some(theirs), Some(ours), Some(thresholds)) = (&self.theirs, self.ours, thresholds)
        else {
            return Some(took.days);
        };
        let key = (thresholds.base_c.to_bits(), thresholds.upper_c.map(f64::to_bits));
        let [theirs, ours] = self
            .rates
            .entry(key)
            .or_insert_with(|| [theirs, ours].map(|normals| rates(normals, thresholds)));
        let on = |rates: &[f64], day: NaiveDate| rates[day.ordinal0() as usize];
        let whole = took.days.round().max(1.0) as i64;
        let wanted: f64 = (1..=whole).map(|day| on(theirs, dates::shift(took.from, day))).sum();
        let from = dates::shift(took.from, self.turned);
        let mut left = wanted;
        for day in 1..=2 * whole {
            let rate = on(ours, dates::shift(from, day));
            if left <= rate {
                let days = (day - 1) as f64 + left / rate.max(f64::MIN_POSITIVE);
                return Some(days).filter(|days| 2.0 * days >= whole as f64);
            }
            left -= rate;
        }
        None
    }
}

/// Degree days of each day of a usual year.
fn rates(normals: &Normals, thresholds: Thresholds) -> Vec<f64> {
    let first = NaiveDate::from_yo_opt(YEAR, 1);
    let days = first.into_iter().flat_map(|first| first.iter_days().take(366));
    days.map(|day| single_sine(normals.low_c(day), normals.high_c(day), thresholds)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn normals(mean: f64) -> Normals {
        // A year from 0 to 20 °C about it, warmest in July.
        let month = |month: usize| {
            mean - 10.0 * libm::cos(2.0 * std::f64::consts::PI * (month as f64 - 0.5) / 12.0)
        };
        let of = |off: f64| std::array::from_fn(|index| month(index) + off);
        Normals::new(of(-5.0), of(5.0), None)
    }

    fn took(from: &str, days: f64) -> Took {
        Took {
            crop: "a".to_owned(),
            variety: None,
            what: "planted out to first harvest".to_owned(),
            under_cover: false,
            half: "spring".to_owned(),
            season: 2025,
            from: from.parse().expect("a date"),
            days,
        }
    }

    /// A crop that needs so much warmth takes as many days more as each day has less of it: above the base and without an
    /// upper threshold a day that is warm throughout has its mean less the base (UC IPM, 'Degree-days: methods').
    #[test]
    fn days_are_carried_over_by_warmth() {
        let (warm, cool) = (normals(14.0), normals(12.0));
        let thresholds = Some(Thresholds::celsius(10.0, None));
        let carried = |theirs: &Normals, turned| Carried {
            theirs: Some(theirs.clone()),
            ours: Some(&cool),
            turned,
            rates: BTreeMap::new(),
        };
        // July: means near 24 and 22 °C, nowhere below the base.
        let days = carried(&warm, 0).days(&took("2025-06-20", 40.0), thresholds).expect("days");
        assert!((days - 40.0 * 13.4 / 11.4).abs() < 1.0, "{days}");
        let same = carried(&cool, 0).days(&took("2025-06-20", 40.0), thresholds).expect("days");
        assert!((same - 40.0).abs() < 1e-9);
        assert_eq!(carried(&warm, 0).days(&took("2025-06-20", 40.0), None), Some(40.0));
        // In winter nothing is gathered here, and nothing is said.
        assert_eq!(carried(&warm, 0).days(&took("2025-10-20", 40.0), thresholds), None);
        assert!(
            carried(&cool, 0).likeness() > 0.84 && carried(&normals(22.0), 0).likeness() < LEAST
        );
    }
}
