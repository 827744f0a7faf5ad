//! Frost dates where only the usual lows are known.
//!
//! *Method*: the low of a night is its normal plus a deviation that persists from night to night: a first-order
//! autoregressive series (C. W. Richardson, 'Stochastic simulation of daily precipitation, temperature, and solar
//! radiation', *Water Resources Research* 17 (1981) 182–190, from memory), whose first crossing of 0 °C after the
//! summer, and last before it, have a distribution: followed from night to night over a fixed grid of deviations. The time-reversed
//! series is the same series, so that spring is followed backwards.
//!
//! *Spread*: nights vary the more, the faster the air grows colder towards the pole
//! ([`crate::climate::poleward`]), and the farther the season is from its warmest: there are more storms then to bring it. The
//! square root of both together has the unit of a temperature. Where there are hardly seasons they vary less. Its two figures are fitted to published dates of North American
//! towns; how well towns fare that were left out of the fit stands in `tests/reference/README.md` and in the test below.

use crate::climate::frost::FrostModel;
use crate::climate::frost_record::FREEZING_C;
use crate::climate::half_year::{Half, HalfYear};
use crate::climate::normals::{MonthlyCurve, Normals};

/// How far the lows of a day differ from year to year.
#[derive(Clone, Copy, Debug)]
struct Spread {
    /// Standard deviation in the warmest time of the year, °C.
    warmest_c: f64,
    /// More for the root of: °C that it grows colder for each 100 km towards the pole, times °C that the normal low lies below the
    /// warmest one.
    of_cold_air: f64,
}

const SPREAD: Spread = Spread { warmest_c: 2.0, of_cold_air: 0.9 };

/// Where lows differ less than this over the year there are no seasons to speak of, and nights are much alike.
const SEASONS_C: f64 = 12.0;

/// The part of [`Spread::warmest_c`] that is left without seasons: some 1 °C, from memory.
const WITHOUT_SEASONS: f64 = 0.45;

/// Correlation of a night's deviation with the next one's. Daily lows of Clemson, Seattle and Chicago: 0.6 to 0.7.
const PERSISTENCE: f64 = 0.65;

/// Frost rarer than this is none.
const RAREST: f64 = 0.01;

const NOMINAL_YEAR: i32 = 2001;

/// Cells of the grid, from −4 to 4 standard deviations.
const CELLS: usize = 41;
const CELL: f64 = 8.0 / CELLS as f64;

/// The frost of one half of the year out of the normal low of each day, where the lows of each month fall so much for each
/// 100 km towards the pole, °C.
pub fn frost_of_normals(
    half: Half,
    latitude_deg: f64,
    normals: &Normals,
    poleward_c: [f64; 12],
) -> FrostModel {
    with_spread(SPREAD, half, latitude_deg, normals, poleward_c)
}

fn with_spread(
    spread: Spread,
    half: Half,
    latitude_deg: f64,
    normals: &Normals,
    poleward_c: [f64; 12],
) -> FrostModel {
    let window = HalfYear::at(half, latitude_deg);
    let Some((first, last)) = window.days_from(NOMINAL_YEAR) else {
        return FrostModel::fit(window, &[], 1);
    };
    let year = first.iter_days().take(365).map(|day| normals.low_c(day));
    let (coldest, warmest) = year
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(below, above), low| {
            (below.min(low), above.max(low))
        });
    let seasons = ((warmest - coldest) / SEASONS_C).min(1.0);
    let least = spread.warmest_c * (WITHOUT_SEASONS + (1.0 - WITHOUT_SEASONS) * seasons);
    let colder = MonthlyCurve::new(poleward_c);
    let mut thresholds: Vec<f64> = first
        .iter_days()
        .take_while(|day| *day <= last)
        .map(|day| {
            let low = normals.low_c(day);
            let cold_air = (colder.on(day) * (warmest - low)).sqrt();
            (FREEZING_C - low) / (least + spread.of_cold_air * cold_air)
        })
        .collect();
    if half == Half::Spring {
        thresholds.reverse();
    }
    let come = chance_to_have_crossed(&thresholds);
    let share = come.last().copied().unwrap_or(0.0);
    if share < RAREST {
        return FrostModel::fit(window, &[], 1);
    }
    // From the end of the half in which it is warm.
    let steps = |chance: f64| {
        let after = come.iter().position(|come| *come >= chance).unwrap_or(come.len() - 1);
        let before = if after == 0 { 0.0 } else { come[after - 1] };
        after as f64 + (chance - before) / (come[after] - before).max(f64::MIN_POSITIVE)
    };
    let number = |chance: f64| match half {
        Half::Spring => come.len() as f64 - steps(chance) + 0.5,
        Half::Autumn => steps(chance) + 0.5,
    };
    FrostModel::through(window, share, number(share * 0.5), number(share * 0.1))
}

/// The chance that the series has been at or below a threshold (in standard deviations) by each day.
fn chance_to_have_crossed(thresholds: &[f64]) -> Vec<f64> {
    let edge = |cell: usize| -4.0 + CELL * cell as f64;
    let below = |z: f64| 0.5 * libm::erfc(-z / std::f64::consts::SQRT_2);
    let shares = |mean: f64, sd: f64| -> [f64; CELLS] {
        let shares: [f64; CELLS] = std::array::from_fn(|cell| {
            below((edge(cell + 1) - mean) / sd) - below((edge(cell) - mean) / sd)
        });
        let sum: f64 = shares.iter().sum();
        shares.map(|share| share / sum)
    };
    let fresh = (1.0 - PERSISTENCE * PERSISTENCE).sqrt();
    let next: Vec<[f64; CELLS]> =
        (0..CELLS).map(|cell| shares(PERSISTENCE * (edge(cell) + CELL / 2.0), fresh)).collect();
    let mut stays: [f64; CELLS] = shares(0.0, 1.0);
    let mut come = Vec::with_capacity(thresholds.len());
    for threshold in thresholds {
        for (cell, share) in stays.iter_mut().enumerate() {
            *share *= ((edge(cell + 1) - threshold) / CELL).clamp(0.0, 1.0);
        }
        come.push(1.0 - stays.iter().sum::<f64>());
        let mut moved = [0.0; CELLS];
        for (share, to) in stays.iter().zip(&next) {
            moved.iter_mut().zip(to).for_each(|(moved, to)| *moved += share * to);
        }
        stays = moved;
    }
    come
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::world::{WorldClimate, warming_c};
    use crate::dates;
    use crate::towns::{self, Found};

    /// A date of `tests/reference/frost_dates.csv` and the climate it belongs to.
    struct Published {
        town: String,
        latitude: f64,
        normals: Normals,
        poleward_c: [f64; 12],
        chance: f64,
        half: Half,
        number: f64,
    }

    impl Published {
        fn error(&self, spread: Spread) -> f64 {
            let model =
                with_spread(spread, self.half, self.latitude, &self.normals, self.poleward_c);
            let ours = model.date_at(self.chance);
            let window = HalfYear::at(self.half, self.latitude);
            ours.and_then(|day| window.number_of(day)).map_or(200.0, |ours| ours - self.number)
        }
    }

    fn published() -> Vec<Published> {
        let table = include_str!("../../tests/reference/frost_dates.csv");
        let mut all = Vec::new();
        for line in table.lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            // Some have fewer than 5,000 people.
            let Found::One(town) = towns::find(&cells[..3].join(", ")) else { continue };
            let (latitude, longitude) = (town.latitude_deg(), town.longitude_deg());
            let climate = WorldClimate::at(latitude, longitude, town.elevation_m()).expect("land");
            let warmed: f64 = cells[3].parse().expect("a share");
            let since = (1.0 - warmed) * warming_c(latitude);
            let [low, high] = [climate.low_c, climate.high_c].map(|m| m.map(|c| c - since));
            for (half, cell) in [(Half::Spring, 5), (Half::Autumn, 6)] {
                let day = dates::month_day(cells[cell]).expect("a day");
                all.push(Published {
                    town: cells[..3].join(", "),
                    latitude,
                    normals: Normals::new(low, high, None),
                    poleward_c: climate.poleward_c,
                    chance: cells[4].parse().expect("a chance"),
                    half,
                    number: HalfYear::at(half, latitude).number_of(day).expect("in its half"),
                });
            }
        }
        all
    }

    fn median(mut values: Vec<f64>) -> f64 {
        values.sort_by(f64::total_cmp);
        (values[(values.len() - 1) / 2] + values[values.len() / 2]) / 2.0
    }

    /// Source: `tests/reference/frost_dates.csv`. Every town is judged by figures that were fitted without it: the
    /// towns are dealt into five heaps by name, and both figures of the spread are chosen on the other four.
    #[test]
    fn published_dates_of_towns_left_out_of_the_fit() {
        let all = published();
        let mut names: Vec<&str> = all.iter().map(|date| date.town.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        let heap = |date: &Published| names.binary_search(&date.town.as_str()).expect("there") % 5;
        let grid: Vec<Spread> = [1.5, 1.75, 2.0, 2.25, 2.5]
            .into_iter()
            .flat_map(|warmest_c| {
                [0.8, 0.9, 1.0, 1.1].map(|of_cold_air| Spread { warmest_c, of_cold_air })
            })
            .collect();
        let errors: Vec<Vec<f64>> = grid
            .iter()
            .map(|spread| all.iter().map(|date| date.error(*spread)).collect())
            .collect();
        let (mut at_50, mut at_10) = (Vec::new(), Vec::new());
        for left_out in 0..5 {
            let cost = |errors: &[f64]| -> f64 {
                let seen = all.iter().zip(errors).filter(|(date, _)| heap(date) != left_out);
                seen.map(|(_, error)| error.abs().min(40.0)).sum()
            };
            let best = errors.iter().min_by(|a, b| cost(a).total_cmp(&cost(b))).expect("a grid");
            for (date, error) in all.iter().zip(best).filter(|(date, _)| heap(date) == left_out) {
                if date.chance < 0.3 { at_10.push(*error) } else { at_50.push(*error) }
            }
        }
        let bias = |errors: &[f64]| errors.iter().sum::<f64>() / errors.len() as f64;
        let biases = (bias(&at_50), bias(&at_10));
        let counts = (names.len(), at_50.len(), at_10.len());
        let [off_50, off_10] =
            [at_50, at_10].map(|errors| median(errors.iter().map(|error| error.abs()).collect()));
        assert!(counts.0 >= 20 && counts.1 >= 40 && counts.2 >= 40, "{counts:?}");
        assert!(off_50 <= 7.0 && off_10 <= 10.0, "{off_50} {off_10} {biases:?}");
    }

    /// Source: the same. Where mountains keep the cold of the continent out, frost was said to end three to six weeks late.
    #[test]
    fn deserts_are_not_thought_as_frosty_as_plains() {
        let late = |town: &str| {
            let of_town = |date: &&Published| {
                date.town == town && date.half == Half::Spring && date.chance == 0.5
            };
            let all = published();
            all.iter().find(of_town).expect("a date").error(SPREAD)
        };
        assert!(late("Phoenix, AZ, US").abs() <= 18.0);
        assert!(late("Tucson, AZ, US").abs() <= 7.0);
        assert!(late("Eureka, CA, US").abs() <= 28.0);
    }

    #[test]
    fn warm_places_have_no_frost() {
        for (town, rarest, commonest) in [
            ("Singapore", 0.0, 0.0),
            ("Quito", 0.0, 0.1),
            ("Miami", 0.0, 0.6),
            ("Kassel", 0.99, 1.0),
            ("Fairbanks", 0.99, 1.0),
        ] {
            let Found::One(place) = towns::find(town) else { panic!("{town}") };
            let (latitude, longitude) = (place.latitude_deg(), place.longitude_deg());
            let climate = WorldClimate::at(latitude, longitude, place.elevation_m()).expect(town);
            let normals = Normals::new(climate.low_c, climate.high_c, None);
            let model = frost_of_normals(Half::Spring, latitude, &normals, climate.poleward_c);
            let share = model.share_of_years();
            assert!((rarest..=commonest).contains(&share), "{town}: {share}");
        }
    }
}
