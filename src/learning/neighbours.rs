//! How long things took in other gardens, carried over to this one; what they say of it is in [`crate::learning::club`].
//!
//! What was in the open is told in warmth, too, by the usual months of theirs; and its days are carried over by warmth: the
//! days in which this garden, from the same date on, gathers as many. What happens under cover, and the days of coming up, are
//! taken as they are.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::climate::conditions::Conditions;
use crate::climate::normals::Normals;
use crate::dates;
use crate::garden::model::Garden;
use crate::learning::quantity::{Kind, Quantity, Span, TimeOfYear};
use crate::learning::{Group, warmth};
use crate::names;
use crate::neighbours::{Neighbour, Took};
use crate::stage::Stage;
use crate::stages::Milestone;
use crate::stages::usual_weather::UsualWeather;

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
    /// In the unit of what it is told in.
    pub(super) value: f64,
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
            let usual =
                warmth::usual_weather(&sheet, span, conditions).filter(|_| !kind.is_under_cover);
            let warmth = usual.and_then(|usual| carried.warmth(took, usual));
            let grows = usual.filter(|_| span.to != Milestone::Stage(Stage::Emerged));
            let days = carried.days(took, grows.zip(warmth));
            for (quantity, value) in
                [(Quantity::Days(span), days), (Quantity::Warmth(span), warmth)]
            {
                let told = value.filter(|value| *value > 0.0).map(|value| Heard {
                    garden: number,
                    likeness,
                    variety: names::folded(took.variety.as_deref().unwrap_or_default()),
                    season: took.season,
                    value,
                    came: dates::shift(took.from, took.days.round() as i64),
                });
                if let Some(told) = told {
                    all.entry((*crop, quantity, kind)).or_default().push(told);
                }
            }
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

/// From a neighbour's climate to ours.
struct Carried<'a> {
    theirs: Option<Normals>,
    ours: Option<&'a Normals>,
    /// Days by which their year lies behind ours.
    turned: i64,
    rates: Vec<(UsualWeather, [Vec<f64>; 2])>,
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
            rates: Vec::new(),
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

    /// What each day of a usual year counts there and here.
    fn rates(&mut self, usual: UsualWeather) -> Option<&[Vec<f64>; 2]> {
        let at = self.rates.iter().position(|(of, _)| *of == usual);
        let at = match at {
            Some(at) => at,
            None => {
                let both = [self.theirs.as_ref()?, self.ours?];
                self.rates.push((usual, both.map(|normals| rates_of(normals, usual))));
                self.rates.len() - 1
            }
        };
        Some(&self.rates[at].1)
    }

    /// The warmth that it took, by their usual months, in days of usual weather; nothing without a climate of both.
    fn warmth(&mut self, took: &Took, usual: UsualWeather) -> Option<f64> {
        let [theirs, _] = self.rates(usual)?;
        let day = |day| theirs[dates::shift(took.from, day).ordinal0() as usize];
        Some((0..whole_days(took)).map(day).sum())
    }

    /// The days that it would have taken here, where it keeps to so much warmth; nothing if that is not to be said.
    fn days(&mut self, took: &Took, by: Option<(UsualWeather, f64)>) -> Option<f64> {
        let Some((usual, warmth)) = by else { return Some(took.days) };
        let from = dates::shift(took.from, self.turned);
        let whole = whole_days(took);
        let [_, ours] = self.rates(usual)?;
        let mut left = warmth;
        for day in 0..2 * whole {
            let rate = ours[dates::shift(from, day).ordinal0() as usize];
            if left <= rate {
                let days = day as f64 + left / rate.max(f64::MIN_POSITIVE);
                return Some(days).filter(|days| 2.0 * days >= whole as f64);
            }
            left -= rate;
        }
        None
    }
}

fn whole_days(took: &Took) -> i64 {
    took.days.round().max(1.0) as i64
}

/// What each day of a usual year counts.
fn rates_of(normals: &Normals, usual: UsualWeather) -> Vec<f64> {
    let first = NaiveDate::from_yo_opt(YEAR, 1);
    let days = first.into_iter().flat_map(|first| first.iter_days().take(366));
    days.map(|day| usual.share(normals.low_c(day), normals.high_c(day))).collect()
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
        let usual = UsualWeather::Growth(10.0, 100.0);
        let carried = |theirs: &Normals, turned| Carried {
            theirs: Some(theirs.clone()),
            ours: Some(&cool),
            turned,
            rates: Vec::new(),
        };
        // July: means near 24 and 22 °C, nowhere below the base.
        let days = |theirs: &Normals, took: Took| {
            let mut carried = carried(theirs, 0);
            let warmth = carried.warmth(&took, usual).expect("a climate");
            carried.days(&took, Some((usual, warmth)))
        };
        let summer = days(&warm, took("2025-06-20", 40.0)).expect("days");
        assert!((summer - 40.0 * 13.4 / 11.4).abs() < 1.0, "{summer}");
        let same = days(&cool, took("2025-06-20", 40.0)).expect("days");
        assert!((same - 40.0).abs() < 1e-9);
        assert_eq!(carried(&warm, 0).days(&took("2025-06-20", 40.0), None), Some(40.0));
        // In winter nothing is gathered here, and nothing is said.
        assert_eq!(days(&warm, took("2025-10-20", 40.0)), None);
        assert!(
            carried(&cool, 0).likeness() > 0.84 && carried(&normals(22.0), 0).likeness() < LEAST
        );
    }
}
