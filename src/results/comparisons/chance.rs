//! How likely it is that one side gives more than another, where there are too few plantings for an interval.
//!
//! Logarithms of what each planting gave are a sum of its side, its block and chance, each normal. Sides are drawn
//! towards each other as far as the plantings say that they are alike (partial pooling: C. Morris, *JASA* 78 (1983)
//! 47–55, from memory; trials of varieties: H.-P. Piepho et al., *Euphytica* 161 (2008) 209–228). A block is a season, with
//! the kind of place where varieties are compared, and with the variety where kinds of place are: so a tub and a bed of the
//! same variety and year are a pair. The standard deviations are not known and are summed over a grid with half-normal
//! priors (A. Gelman, *Bayesian Analysis* 1 (2006) 515–533). Their scales are trug's choice, no source; the test at the
//! foot holds the chances against simulated gardens.

use crate::learning::cholesky::{cholesky, solve_by};

/// A planting: the number of its side and of its block, and what it gave, above zero.
#[derive(Clone, Copy, Debug)]
pub(super) struct Planting {
    pub(super) side: usize,
    pub(super) block: usize,
    pub(super) grams: f64,
}

/// How likely one side gives more than another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likely {
    /// The side that most likely gives the most of all.
    pub first: usize,
    /// The other.
    pub second: usize,
    /// How likely the first gives more than the other: 0.5 to 1.
    pub chance: f64,
}

/// Standard deviations of logarithms of sides, blocks and plantings: scales of the priors, and the grid in shares of them.
const SCALES: [f64; 3] = [0.4, 0.4, 0.4];
const GRID: [f64; 4] = [0.25, 0.7, 1.3, 2.2];
/// More sides or blocks than a page compares; such a garden has intervals.
const MOST: usize = 60;

/// The side that most likely gives the most against each of the others, its nearest rival first; nothing from fewer than
/// three plantings or with one side.
pub(super) fn likely(plantings: &[Planting]) -> Vec<Likely> {
    let count =
        |of: fn(&Planting) -> usize| plantings.iter().map(of).max().map_or(0, |last| last + 1);
    let (sides, blocks) = (count(|one| one.side), count(|one| one.block));
    if plantings.len() < 3 || sides < 2 || sides + blocks > MOST {
        return Vec::new();
    }
    let logs: Vec<f64> = plantings.iter().map(|one| libm::log(one.grams)).collect();
    let middle = logs.iter().sum::<f64>() / logs.len() as f64;
    let system = System::of(plantings, &logs, middle, (sides, blocks));
    let mut found = Vec::new();
    for side_sd in weighed(SCALES[0]) {
        for block_sd in weighed(SCALES[1]) {
            for own_sd in weighed(SCALES[2]) {
                let solved = system.solve(side_sd.0, block_sd.0, own_sd.0);
                found
                    .push(Solved { log: solved.log + side_sd.1 + block_sd.1 + own_sd.1, ..solved });
            }
        }
    }
    let heaviest = found.iter().map(|solved| solved.log).fold(f64::NEG_INFINITY, f64::max);
    found.iter_mut().for_each(|solved| solved.log = libm::exp(solved.log - heaviest));
    let all: f64 = found.iter().map(|solved| solved.log).sum();
    let mean =
        |side: usize| found.iter().map(|solved| solved.log * solved.means[side]).sum::<f64>() / all;
    let means: Vec<f64> = (0..sides).map(mean).collect();
    let mut order: Vec<usize> = (0..sides).collect();
    order.sort_by(|a, b| means[*b].total_cmp(&means[*a]).then(a.cmp(b)));
    let first = order[0];
    let chance = |second: usize| {
        let of = |solved: &Solved| {
            let z = (solved.means[first] - solved.means[second]) / solved.spread(first, second);
            solved.log * libm::erfc(-z / std::f64::consts::SQRT_2) / 2.0
        };
        found.iter().map(of).sum::<f64>() / all
    };
    order[1..].iter().map(|&second| Likely { first, second, chance: chance(second) }).collect()
}

/// Deviations with the logarithms of their weights.
fn weighed(scale: f64) -> [(f64, f64); GRID.len()] {
    std::array::from_fn(|index| {
        let before = if index == 0 { 0.0 } else { GRID[index - 1] };
        let after = GRID.get(index + 1).copied().unwrap_or(GRID[index]);
        (GRID[index] * scale, libm::log((after - before) / 2.0) - GRID[index] * GRID[index] / 2.0)
    })
}

/// The normal equations of a middle, the sides and the blocks, without their priors and in squares of one planting's deviation.
struct System {
    size: usize,
    sides: usize,
    matrix: Vec<f64>,
    pull: Vec<f64>,
    squares: f64,
    values: f64,
}

/// How likely the plantings are, and where the sides lie.
struct Solved {
    log: f64,
    means: Vec<f64>,
    /// The Cholesky factor of the precision of the middle, the sides and the blocks.
    factor: Vec<f64>,
}

/// The middle may lie anywhere.
const ANYWHERE: f64 = 1e-4;

impl System {
    fn of(
        plantings: &[Planting],
        logs: &[f64],
        middle: f64,
        (sides, blocks): (usize, usize),
    ) -> System {
        let size = 1 + sides + blocks;
        let (mut matrix, mut pull, mut squares) = (vec![0.0; size * size], vec![0.0; size], 0.0);
        for (planting, log) in plantings.iter().zip(logs) {
            let parts = [0, 1 + planting.side, 1 + sides + planting.block];
            let value = log - middle;
            squares += value * value;
            for one in parts {
                pull[one] += value;
                parts.iter().for_each(|other| matrix[one * size + other] += 1.0);
            }
        }
        System { size, sides, matrix, pull, squares, values: logs.len() as f64 }
    }

    fn solve(&self, side_sd: f64, block_sd: f64, own_sd: f64) -> Solved {
        let (size, own) = (self.size, own_sd * own_sd);
        let mut factor: Vec<f64> = self.matrix.iter().map(|value| value / own).collect();
        let mut log = -self.values * libm::log(own_sd) - self.squares / own / 2.0;
        for at in 0..size {
            let sd = match at {
                0 => 1.0 / ANYWHERE.sqrt(),
                at if at <= self.sides => side_sd,
                _ => block_sd,
            };
            factor[at * size + at] += 1.0 / (sd * sd);
            log -= libm::log(sd);
        }
        log -= cholesky(&mut factor, size);
        let pull: Vec<f64> = self.pull.iter().map(|value| value / own).collect();
        let means = solved(&factor, &pull);
        log += means.iter().zip(&pull).map(|(mean, pull)| mean * pull).sum::<f64>() / 2.0;
        Solved { log, means: means[1..=self.sides].to_vec(), factor }
    }
}

impl Solved {
    /// The standard deviation of the difference of two sides.
    fn spread(&self, first: usize, second: usize) -> f64 {
        let size = self.factor.len().isqrt();
        let mut apart = vec![0.0; size];
        (apart[1 + first], apart[1 + second]) = (1.0, -1.0);
        let solved = solved(&self.factor, &apart);
        (solved[1 + first] - solved[1 + second]).max(1e-12).sqrt()
    }
}

fn solved(factor: &[f64], of: &[f64]) -> Vec<f64> {
    let mut solved = vec![0.0; of.len()];
    solve_by(factor, of, &mut solved);
    solved
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learning::dice::Dice;

    /// Of a hundred statements that say so, so many are true. Gardens in which sides, seasons and plantings differ little
    /// and much, with two to six sides and one to four plantings of each in two to four seasons.
    #[test]
    fn chances_come_true_as_often_as_they_say() {
        let mut nature = Dice::new(12);
        let mut told = [(0.0, 0.0, 0.0); 5];
        for _ in 0..2000 {
            let deviations =
                [0.15 + 0.35 * nature.roll(), 0.1 + 0.4 * nature.roll(), 0.2 + 0.4 * nature.roll()];
            let sides = 2 + (nature.roll() * 5.0) as usize;
            let blocks = 2 + (nature.roll() * 3.0) as usize;
            let truth: Vec<f64> = (0..sides).map(|_| deviations[0] * nature.normal()).collect();
            let weather: Vec<f64> = (0..blocks).map(|_| deviations[1] * nature.normal()).collect();
            let mut plantings = Vec::new();
            for (side, truth) in truth.iter().enumerate() {
                for _ in 0..1 + (nature.roll() * 4.0) as usize {
                    let block = (nature.roll() * blocks as f64) as usize;
                    let log = truth + weather[block] + deviations[2] * nature.normal();
                    plantings.push(Planting { side, block, grams: 700.0 * libm::exp(log) });
                }
            }
            for found in likely(&plantings) {
                let class = (((found.chance - 0.5) * 10.0) as usize).min(4);
                let is_true = truth[found.first] > truth[found.second];
                let (number, chance, true_ones) = &mut told[class];
                *number += 1.0;
                *chance += found.chance;
                *true_ones += f64::from(u8::from(is_true));
            }
        }
        for (number, chance, true_ones) in told {
            assert!(number > 300.0, "{told:?}");
            // Three standard errors of a share of so many, and two hundredths for scales that are not quite those of the priors.
            let (share, off) = (chance / number, (chance - true_ones) / number);
            let error = (share * (1.0 - share) / number).sqrt();
            assert!(off.abs() < 0.02 + 3.0 * error, "{told:?}");
        }
    }

    /// Worked by hand: one planting of each of two sides in each of many seasons, so the difference of a pair knows no
    /// season. Three pairs that agree, under seasons that differ tenfold, are worth more than the same six weights unpaired.
    #[test]
    fn pairs_see_through_the_weather() {
        let grams = [
            (0, 0, 130.0),
            (1, 0, 100.0),
            (0, 1, 1300.0),
            (1, 1, 1010.0),
            (0, 2, 395.0),
            (1, 2, 300.0),
        ];
        let of = |block: fn(usize) -> usize| {
            let plantings =
                grams.map(|(side, season, grams)| Planting { side, block: block(season), grams });
            likely(&plantings)[0]
        };
        let (paired, unpaired) = (of(|season| season), of(|_| 0));
        assert_eq!((paired.first, paired.second), (0, 1));
        assert!(paired.chance > 0.9 && unpaired.chance < 0.75, "{paired:?} {unpaired:?}");
    }

    #[test]
    fn too_little_is_not_told() {
        let one = |side| Planting { side, block: 0, grams: 100.0 };
        assert_eq!(likely(&[one(0), one(1)]), []);
        assert_eq!(likely(&[one(0), one(0), one(0)]), []);
        let alike = likely(&[one(0), one(1), one(0), one(1)])[0];
        assert!((alike.chance - 0.5).abs() < 1e-9, "{alike:?}");
    }
}
