//! The normal model of three levels, on logarithms, with censored values. Formulas: the room's front page.

use std::collections::BTreeMap;

use statrs::distribution::{ContinuousCDF, StudentsT};

use crate::agronomy::learning::estimate::{Estimate, Level};
use crate::agronomy::learning::quantity::Quantity;
use crate::agronomy::learning::table;
use crate::catalogue::Crop;

/// One value that a planting gave, above zero, in the quantity's unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sample {
    /// The folded name of its variety; empty if none was named.
    pub(super) variety: String,
    /// The value.
    pub(super) value: f64,
    /// Whether the true value is only known to be larger.
    pub(super) is_censored: bool,
    /// How many plantings it stands for.
    pub(super) plantings: u32,
}

/// Plantings that the table is worth to the crop in this garden.
const TABLE_WORTH: f64 = 2.0;
/// Plantings that the crop is worth to one of its varieties.
const CROP_WORTH: f64 = 4.0;
/// Degrees of freedom that the table's range is worth to the scatter of plantings.
const SCATTER_WORTH: f64 = 6.0;
/// The 80 % interval of a planting reaches a factor of 1.35 to either side where the table has one value,
/// or none. Trug's choice, no source.
const USUAL_REACH: f64 = 0.300_104_592_450_338_3;
/// And never less than a factor of 1.15: plantings scatter more than a narrow range on a packet.
const LEAST_REACH: f64 = 0.139_761_942_375_158_7;
/// A wait this many times the longest that the table or the grower knows is an end that nobody noted.
const UNNOTED: f64 = 2.0;

/// What the table says, as a logarithm and a reach to either side of it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Prior {
    centre: f64,
    reach: f64,
}

impl Prior {
    fn of(range: (f64, f64)) -> Prior {
        let (low, high) = (libm::log(range.0), libm::log(range.1));
        let is_single = high - low < 1e-9;
        let reach = if is_single { USUAL_REACH } else { ((high - low) / 2.0).max(LEAST_REACH) };
        Prior { centre: (low + high) / 2.0, reach }
    }
}

/// The estimate for a variety (folded name, empty for none), given what was seen of all of the crop's.
pub(super) fn estimate(
    crop: &Crop,
    quantity: Quantity,
    variety: &str,
    samples: &[Sample],
) -> Option<Estimate> {
    let range_of = |variety: &str| {
        table::range(&crop.sheet_of(Some(variety).filter(|v| !v.is_empty())), quantity)
    };
    let own_range = range_of(variety);
    let longest_seen = samples.iter().filter(|s| !s.is_censored).map(|s| s.value).reduce(f64::max);
    let mut seen: BTreeMap<&str, Seen> = BTreeMap::new();
    let mut counts = Counts::default();
    for sample in samples {
        let range = range_of(&sample.variety);
        let longest = longest_seen.into_iter().chain(range.map(|range| range.1)).reduce(f64::max);
        let is_unnoted = longest.is_none_or(|longest| sample.value > UNNOTED * longest);
        if sample.is_censored && is_unnoted {
            continue;
        }
        // Where only some varieties have a range, all are compared as they are.
        let centre = own_range.and(range).map_or(0.0, |range| Prior::of(range).centre);
        let of_variety = seen.entry(&sample.variety).or_default();
        of_variety.add(libm::log(sample.value) - centre, sample.is_censored);
        counts.add(sample, sample.variety == variety && !variety.is_empty());
    }
    let prior = own_range.map(Prior::of);
    let fit = fit(&seen, variety, prior.map_or(USUAL_REACH, |prior| prior.reach), prior.is_some())?;
    let centre = prior.map_or(0.0, |prior| prior.centre) + fit.location;
    let reach = ninetieth(fit.freedom) * fit.scale;
    Some(counts.estimate(centre, reach))
}

/// Plantings behind an estimate: `(all, unfinished)` of the variety and of the crop.
#[derive(Default)]
struct Counts {
    variety: (u32, u32),
    crop: (u32, u32),
}

impl Counts {
    fn add(&mut self, sample: &Sample, is_variety: bool) {
        let unfinished = if sample.is_censored { sample.plantings } else { 0 };
        self.crop = (self.crop.0 + sample.plantings, self.crop.1 + unfinished);
        if is_variety {
            self.variety = (self.variety.0 + sample.plantings, self.variety.1 + unfinished);
        }
    }

    fn estimate(&self, centre: f64, reach: f64) -> Estimate {
        let (level, (from_plantings, unfinished)) = match (self.variety.0, self.crop.0) {
            (0, 0) => (Level::Table, (0, 0)),
            (0, _) => (Level::Crop, self.crop),
            _ => (Level::Variety, self.variety),
        };
        Estimate {
            middle: libm::exp(centre),
            low: libm::exp(centre - reach),
            high: libm::exp(centre + reach),
            from_plantings,
            unfinished,
            level,
            is_about: false,
        }
    }
}

/// The values of one variety, counted from the middle of its table range.
#[derive(Clone, Debug, Default)]
struct Seen {
    known: Vec<f64>,
    censored: Vec<f64>,
}

impl Seen {
    fn add(&mut self, value: f64, is_censored: bool) {
        if is_censored { self.censored.push(value) } else { self.known.push(value) }
    }

    /// Weight and weighted sum, with pseudodata for what is censored.
    fn weigh(&self, theta: f64, sigma: f64) -> (f64, f64) {
        let known = (self.known.len() as f64, self.known.iter().sum::<f64>());
        self.censored.iter().fold(known, |(weight, sum), limit| {
            let z = (limit - theta) / sigma;
            let hazard = hazard(z);
            let own = hazard * (hazard - z);
            (weight + own, sum + own * theta + sigma * hazard)
        })
    }

    /// The sum of squares about `theta`, expected ones for what is censored.
    fn squares(&self, theta: f64, sigma: f64) -> f64 {
        let known: f64 = self.known.iter().map(|value| (value - theta) * (value - theta)).sum();
        let expected = self.censored.iter().map(|limit| {
            let z = (limit - theta) / sigma;
            sigma * sigma * (1.0 + z * hazard(z))
        });
        known + expected.sum::<f64>()
    }
}

/// Where the next planting lies: Student's t about a location.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Fit {
    location: f64,
    scale: f64,
    freedom: f64,
}

/// Fits all varieties together; none if there is neither a table nor a planting that came to its end.
fn fit(seen: &BTreeMap<&str, Seen>, variety: &str, reach: f64, has_table: bool) -> Option<Fit> {
    let known: usize = seen.values().map(|seen| seen.known.len()).sum();
    let all: usize = known + seen.values().map(|seen| seen.censored.len()).sum::<usize>();
    if !has_table && known == 0 {
        return None;
    }
    let table_worth = if has_table { TABLE_WORTH } else { 0.0 };
    let as_new = 1.0 + 1.0 / CROP_WORTH + 1.0 / TABLE_WORTH;
    let per_unit = reach / ninetieth(SCATTER_WORTH);
    let usual = per_unit * per_unit / as_new;
    // Without a table the crop's mean takes up one degree of freedom.
    let lost = if has_table { 0.0 } else { 1.0 };

    let start = if has_table { 0.0 } else { first_guess(seen) };
    let mut thetas: Vec<f64> = vec![start; seen.len()];
    let mut square = usual;
    let mut now = (Vec::new(), 0.0, 0.0);
    for _ in 0..ROUNDS {
        let sigma = square.sqrt();
        let weighed: Vec<(f64, f64)> =
            seen.values().zip(&thetas).map(|(seen, theta)| seen.weigh(*theta, sigma)).collect();
        let (mut worth, mut sum) = (table_worth, 0.0);
        for (weight, total) in &weighed {
            // w = 4n/(4 + n), and w ȳ = 4/(4 + n) of the sum.
            let share = CROP_WORTH / (CROP_WORTH + weight);
            worth += share * weight;
            sum += share * total;
        }
        let mean = if worth > 0.0 { sum / worth } else { 0.0 };
        let mut squares = SCATTER_WORTH * usual + table_worth * mean * mean;
        let mut moved: f64 = 0.0;
        for ((seen, theta), (weight, total)) in seen.values().zip(&mut thetas).zip(&weighed) {
            let next = (CROP_WORTH * mean + total) / (CROP_WORTH + weight);
            moved = moved.max((next - *theta).abs());
            *theta = next;
            squares += seen.squares(next, sigma) + CROP_WORTH * (next - mean) * (next - mean);
        }
        let next = squares / (SCATTER_WORTH + all as f64 - lost);
        moved = moved.max((next - square).abs());
        square = next;
        now = (weighed, worth, mean);
        if moved < SETTLED {
            break;
        }
    }
    let (weighed, worth, mean) = now;
    let own = seen.keys().position(|name| *name == variety && !variety.is_empty());
    let (own_weight, location) = own.map_or((0.0, mean), |index| (weighed[index].0, thetas[index]));
    let others = worth - CROP_WORTH * own_weight / (CROP_WORTH + own_weight);
    // κ, zero where the variety stands alone and no table holds it.
    let lent = if others > 1e-12 { 1.0 / (1.0 / others + 1.0 / CROP_WORTH) } else { 0.0 };
    let scale = (square * (1.0 + 1.0 / (lent + own_weight))).sqrt();
    Some(Fit { location, scale, freedom: SCATTER_WORTH + known as f64 - lost })
}

/// More rounds than any garden needs; without censored values two are enough.
const ROUNDS: usize = 500;
const SETTLED: f64 = 1e-11;

fn first_guess(seen: &BTreeMap<&str, Seen>) -> f64 {
    let known: Vec<f64> = seen.values().flat_map(|seen| seen.known.iter().copied()).collect();
    known.iter().sum::<f64>() / known.len() as f64
}

/// The hazard of the standard normal, φ(z)/(1 − Φ(z)); far out by its asymptote z + 1/z.
fn hazard(z: f64) -> f64 {
    const ROOT: f64 = 0.797_884_560_802_865_4; // √(2/π)
    if z > 25.0 {
        return z + 1.0 / z;
    }
    ROOT * libm::exp(-z * z / 2.0) / libm::erfc(z / std::f64::consts::SQRT_2)
}

/// What nine of ten stay below, of Student's t with so many degrees of freedom, at least 1.
fn ninetieth(freedom: f64) -> f64 {
    StudentsT::new(0.0, 1.0, freedom).map_or(1.2816, |student| student.inverse_cdf(0.9))
}
