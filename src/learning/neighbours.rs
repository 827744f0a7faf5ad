//! What plantings in neighbours' gardens say of where a crop lies in this one.
//!
//! Days in the open are first carried over by warmth: the days in which this garden, from the same date on, gathers as many
//! degree days as theirs did, by the usual months of both. What happens under cover, and coming up, are taken as they are.
//!
//! Gardens lie about the middle of the club with a standard deviation that is not known: it is summed over a grid, and so is
//! the middle, which starts at the table. A garden may be a stranger to the rest, and is the more likely one the more its
//! warm months differ from ours; then it says nothing (a mixture of normals as in I. Verdinelli & L. Wasserman,
//! *Statistics and Computing* 1 (1991) 105–117, from memory). So may this garden itself: a part of it stays with the table.
//! Seasons are counted as one draw for the whole club, because neighbours share their weather. The scales are trug's choice,
//! no source; `learning/trials.rs` states what they come to.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};

use crate::climate::conditions::Conditions;
use crate::climate::degree_days::{Thresholds, single_sine};
use crate::climate::normals::Normals;
use crate::dates;
use crate::garden::model::Garden;
use crate::learning::Group;
use crate::learning::model::{self, Club, Shift};
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

/// A value of a neighbour's planting, as a difference of logarithms from the table.
#[derive(Clone, Copy, Debug)]
pub(super) struct Value {
    pub(super) garden: usize,
    pub(super) likeness: f64,
    pub(super) season: i32,
    pub(super) log: f64,
}

/// The standard deviation between gardens of a club as shares of the table's own, and the scale of its half-normal prior.
const BETWEEN: [f64; 5] = [0.1, 0.3, 0.6, 1.0, 1.6];
const BETWEEN_SCALE: f64 = 0.6;
/// What seasons and plantings differ by where little was seen, in the same shares, and how many values that is worth.
const SEASONS: f64 = 0.8;
const PLANTINGS: f64 = 0.5;
const WORTH: f64 = 4.0;
/// How far a stranger may lie from the table.
const STRANGER: f64 = 4.0;
/// How likely this garden itself is a stranger to the club.
const APART: f64 = 0.1;
/// Points at which the middle of the club is looked for, and how far beyond the gardens.
const POINTS: usize = 81;
const BEYOND: f64 = 4.0;

/// What the club says; none if nobody tells anything.
///
/// `unit` is the standard deviation that the table's range means; without a table the middle may lie anywhere.
pub(super) fn club(values: &[Value], unit: f64, has_table: bool) -> Option<Club> {
    let mut club = Club::default();
    let gardens = gardens(values, unit, &mut club);
    let means = || gardens.iter().map(|told| told.mean);
    let mut least = means().reduce(f64::min)?;
    let mut most = means().reduce(f64::max)?;
    if has_table {
        (least, most) = (least.min(0.0), most.max(0.0));
    }
    let (low, high) = (least - BEYOND * unit, most + BEYOND * unit);
    let middle = if has_table { 0.0 } else { (least + most) / 2.0 };
    let table = model::table_shifts(unit);
    let prior = |at: f64| -> f64 {
        let of = |shift: &Shift| libm::exp(shift.weight) * density(at, shift.deviation);
        if has_table { table.iter().map(of).sum() } else { 1.0 }
    };
    let points: Vec<(f64, f64)> = (0..POINTS)
        .map(|point| low + (high - low) * point as f64 / (POINTS - 1) as f64)
        .map(|at| (at, prior(at)))
        .collect();
    // What all of its seasons together may be off by.
    let common = gardens.iter().map(|told| told.seasons_variance).reduce(f64::min)?;
    for (between, weight) in model::weighed(BETWEEN, BETWEEN_SCALE) {
        let between = between * unit;
        let log = |(at, prior): &(f64, f64)| {
            let of = |told: &Told| {
                let like = (between * between + told.variance).sqrt();
                let strange = (STRANGER * STRANGER * unit * unit + told.variance).sqrt();
                told.likeness * density(told.mean - at, like)
                    + (1.0 - told.likeness) * density(told.mean - middle, strange)
            };
            let of = |told: &Told| libm::log(of(told).max(f64::MIN_POSITIVE));
            libm::log(prior.max(f64::MIN_POSITIVE)) + gardens.iter().map(of).sum::<f64>()
        };
        let logs: Vec<f64> = points.iter().map(log).collect();
        let heaviest = logs.iter().copied().reduce(f64::max)?;
        let (mut all, mut sum, mut squares) = (0.0, 0.0, 0.0);
        for ((at, _), log) in points.iter().zip(logs) {
            let weight = libm::exp(log - heaviest);
            all += weight;
            sum += weight * at;
            squares += weight * at * at;
        }
        let mean = sum / all;
        let variance = (squares / all - mean * mean).max(0.0) + between * between + common;
        club.shifts.push(Shift {
            weight: weight + heaviest + libm::log(all),
            mean,
            deviation: variance.sqrt(),
        });
    }
    club.shifts = apart(club.shifts, table, has_table);
    Some(club)
}

/// The club's shifts with those of a garden that is none of its kind.
fn apart(mut shifts: Vec<Shift>, table: Vec<Shift>, has_table: bool) -> Vec<Shift> {
    let heaviest = shifts.iter().map(|shift| shift.weight).fold(f64::NEG_INFINITY, f64::max);
    let all: f64 = shifts.iter().map(|shift| libm::exp(shift.weight - heaviest)).sum();
    let share = if has_table { 1.0 - APART } else { 1.0 };
    let whole = heaviest + libm::log(all) - libm::log(share);
    shifts.iter_mut().for_each(|shift| shift.weight -= whole);
    if has_table {
        let lighter = |shift: Shift| Shift { weight: shift.weight + libm::log(APART), ..shift };
        shifts.extend(table.into_iter().map(lighter));
    }
    shifts
}

fn density(off: f64, deviation: f64) -> f64 {
    let z = off / deviation;
    libm::exp(-z * z / 2.0) / deviation
}

/// What one garden tells.
struct Told {
    mean: f64,
    variance: f64,
    likeness: f64,
    /// Of the mean of the seasons of the whole club.
    seasons_variance: f64,
}

/// What each garden tells; what seasons and plantings differ by is put into the club.
fn gardens(values: &[Value], unit: f64, club: &mut Club) -> Vec<Told> {
    let mut by_garden: BTreeMap<usize, BTreeMap<i32, Vec<f64>>> = BTreeMap::new();
    let mut likeness: BTreeMap<usize, f64> = BTreeMap::new();
    for value in values {
        let seasons = by_garden.entry(value.garden).or_default();
        seasons.entry(value.season).or_default().push(value.log);
        likeness.insert(value.garden, value.likeness);
    }
    let means_of = |seasons: &BTreeMap<i32, Vec<f64>>| -> Vec<f64> {
        seasons.values().map(|values| mean(values)).collect()
    };
    let means: Vec<Vec<f64>> = by_garden.values().map(means_of).collect();
    club.plantings = squares(by_garden.values().flat_map(BTreeMap::values));
    club.seasons = squares(&means);
    let shrunk = |scale: f64, (sum, free): (f64, f64)| {
        (WORTH * scale * scale * unit * unit + sum) / (WORTH + free)
    };
    let planting = shrunk(PLANTINGS, club.plantings);
    let season = shrunk(SEASONS, club.seasons);
    let of_all: usize = means.iter().map(Vec::len).sum();
    club.share = of_all as f64 / values.len().max(1) as f64;
    // The same weather in as many gardens is one weather.
    let number = means.len().max(1) as f64;
    club.seasons = (club.seasons.0 / number, club.seasons.1 / number);
    let all: BTreeSet<i32> = values.iter().map(|value| value.season).collect();
    let of_garden =
        |((garden, seasons), means): ((&usize, &BTreeMap<i32, Vec<f64>>), &Vec<f64>)| {
            let number = means.len() as f64;
            let of_season = |values: &Vec<f64>| season + planting / values.len() as f64;
            let whole: f64 = seasons.values().map(of_season).sum();
            Told {
                mean: mean(means),
                variance: whole / (number * number),
                likeness: likeness[garden],
                seasons_variance: season / all.len() as f64,
            }
        };
    by_garden.iter().zip(&means).map(of_garden).collect()
}

fn mean(of: &[f64]) -> f64 {
    of.iter().sum::<f64>() / of.len() as f64
}

/// The sum of squares of groups about their means, and how many of them are free.
fn squares<'a>(groups: impl IntoIterator<Item = &'a Vec<f64>>) -> (f64, f64) {
    let (mut sum, mut free) = (0.0, 0.0);
    for group in groups {
        let mean = mean(group);
        sum += group.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>();
        free += group.len() as f64 - 1.0;
    }
    (sum, free)
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

    /// Whatever is told, the result is finite.
    #[test]
    fn nonsense_stays_finite() {
        for (log, likeness) in [(7.0, 0.85), (-7.0, 0.06), (7.0, 0.5)] {
            let of = |garden| Value { garden, likeness, season: 1, log };
            let values: Vec<Value> = (0..30).map(of).collect();
            for has_table in [true, false] {
                let club = club(&values, 0.074, has_table).expect("thirty gardens");
                let is_finite = |shift: &Shift| {
                    shift.weight.is_finite() && shift.mean.is_finite() && shift.deviation > 0.0
                };
                assert!(club.shifts.iter().all(is_finite), "{club:?}");
            }
        }
    }
}
