//! Where a crop may lie in this garden, by what plantings in neighbours' gardens took.
//!
//! Gardens lie about the middle of the club with a standard deviation that is not known: it is summed over a grid, and so is
//! the middle, which starts at the table. A garden may be a stranger to the rest, and is the more likely one the more its
//! warm months differ from ours; then it says nothing (a mixture of normals as in I. Verdinelli & L. Wasserman,
//! *Statistics and Computing* 1 (1991) 105–117, from memory). So may this garden itself: a part of it stays with the table.
//! Seasons are counted as one draw for the whole club, because neighbours share their weather. The scales are trug's choice,
//! no source; `learning/trials.rs` states what they come to.

use std::collections::{BTreeMap, BTreeSet};

use crate::learning::model::{self, Club, Shift};

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
pub(super) fn of(values: &[Value], unit: f64, has_table: bool) -> Option<Club> {
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

/// A garden's values by season.
type Seasons = BTreeMap<i32, Vec<f64>>;

/// What each garden tells; what seasons and plantings differ by is put into the club.
fn gardens(values: &[Value], unit: f64, club: &mut Club) -> Vec<Told> {
    let mut by_garden: BTreeMap<usize, Seasons> = BTreeMap::new();
    let mut likeness: BTreeMap<usize, f64> = BTreeMap::new();
    for value in values {
        let seasons = by_garden.entry(value.garden).or_default();
        seasons.entry(value.season).or_default().push(value.log);
        likeness.insert(value.garden, value.likeness);
    }
    let means_of =
        |seasons: &Seasons| -> Vec<f64> { seasons.values().map(|values| mean(values)).collect() };
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
    let of_garden = |((garden, seasons), means): ((&usize, &Seasons), &Vec<f64>)| {
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

    /// Whatever is told, the result is finite.
    #[test]
    fn nonsense_stays_finite() {
        for (log, likeness) in [(7.0, 0.85), (-7.0, 0.06), (7.0, 0.5)] {
            let value = |garden| Value { garden, likeness, season: 1, log };
            let values: Vec<Value> = (0..30).map(value).collect();
            for has_table in [true, false] {
                let club = of(&values, 0.074, has_table).expect("thirty gardens");
                let is_finite = |shift: &Shift| {
                    shift.weight.is_finite() && shift.mean.is_finite() && shift.deviation > 0.0
                };
                assert!(club.shifts.iter().all(is_finite), "{club:?}");
            }
        }
    }
}
