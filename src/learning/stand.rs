//! How many of `n` seeds become plants, and how many seeds so many plants need.
//!
//! The share of seeds that become plants is beta-distributed with mean `m`; `together`, ρ, is the correlation of
//! two seeds of one sowing, so that α + β = 1/ρ − 1. The number of plants is then beta-binomial (J. Skellam,
//! *JRSS B* 10 (1948) 257–261),
//!
//! ```text
//! P(k) = C(n, k) B(k + α, n − k + β) / B(α, β)
//! ```
//!
//! and binomial where ρ = 0: a share that is known, and seeds that fail one by one. The chance of at least so
//! many plants grows with every seed, so the least number of seeds is found by halving.

/// A share of seeds, as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odds {
    /// Its mean, 0 to 1.
    pub mean: f64,
    /// The correlation of two seeds of one sowing, 0 to 1: of what is not known of the share, and of what befalls
    /// a sowing as a whole.
    pub together: f64,
}

/// More seeds than this are not counted out one by one.
const MOST_SEEDS: u32 = 20_000;
/// A chance that is reached exactly must not be missed by the last bit.
const ROUNDING: f64 = 1e-12;

impl Odds {
    /// The least number of seeds of which at least `plants` stand with this chance (0 to 1).
    ///
    /// None if no number up to 20,000 is enough: nothing comes up, or whole sowings fail too often.
    pub fn seeds_for(self, plants: u32, chance: f64) -> Option<u32> {
        let is_enough = |seeds: u32| self.chance_of(plants, seeds) >= chance - ROUNDING;
        let mut enough = plants.max(1);
        while !is_enough(enough) {
            enough = enough.checked_mul(2).filter(|seeds| *seeds <= MOST_SEEDS)?;
        }
        let mut too_few = enough / 2;
        while enough - too_few > 1 {
            let middle = too_few + (enough - too_few) / 2;
            if is_enough(middle) {
                enough = middle;
            } else {
                too_few = middle;
            }
        }
        Some(if plants == 0 { 0 } else { enough.max(plants) })
    }

    /// The chance, 0 to 1, that of so many seeds at least `plants` stand.
    pub fn chance_of(self, plants: u32, seeds: u32) -> f64 {
        if plants == 0 {
            return 1.0;
        }
        let sum: f64 = (plants..=seeds).map(|number| self.chance_of_exactly(number, seeds)).sum();
        sum.min(1.0)
    }

    fn chance_of_exactly(self, plants: u32, seeds: u32) -> f64 {
        let (k, n, mean) = (f64::from(plants), f64::from(seeds), self.mean.clamp(0.0, 1.0));
        if mean == 0.0 || mean == 1.0 {
            return f64::from(u8::from(plants == if mean == 0.0 { 0 } else { seeds }));
        }
        let ways = libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0);
        if self.together <= 0.0 {
            return libm::exp(ways + k * libm::log(mean) + (n - k) * libm::log(1.0 - mean));
        }
        let worth = 1.0 / self.together - 1.0;
        let (alpha, beta) = (mean * worth, (1.0 - mean) * worth);
        libm::exp(ways + log_beta(k + alpha, n - k + beta) - log_beta(alpha, beta))
    }

    /// The share of seeds of which both come true: that come up, and then live. The mean and the variance of the
    /// product of two independent shares are exact; that it is beta-distributed again is not, but near.
    pub fn and_then(self, next: Odds) -> Odds {
        let square = |share: Odds| {
            share.mean * share.mean + share.together * share.mean * (1.0 - share.mean)
        };
        let mean = self.mean * next.mean;
        let variance = square(self) * square(next) - mean * mean;
        let most = mean * (1.0 - mean);
        let together = if most > 0.0 { (variance / most).clamp(0.0, 0.999) } else { 0.0 };
        Odds { mean, together }
    }
}

fn log_beta(a: f64, b: f64) -> f64 {
    libm::lgamma(a) + libm::lgamma(b) - libm::lgamma(a + b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(table: &str) -> Vec<Vec<f64>> {
        let row = |line: &str| line.split(',').map(|cell| cell.parse().unwrap()).collect();
        table.lines().skip(1).map(row).collect()
    }

    /// Judge: `scipy.stats.betabinom` and `binom` (`tests/judges/make_reference/seed_numbers.py`). Numbers of
    /// seeds are the same; chances within 1e-9, as SciPy's own last digits differ between its versions.
    #[test]
    fn as_scipy_has_it() {
        let rows = rows(include_str!("../../tests/reference/seed_numbers.csv"));
        assert!(rows.len() > 100);
        for row in rows {
            let [mean, together, plants, chance, seeds, reached, one_less] = row[..] else {
                panic!("a row: {row:?}")
            };
            let odds = Odds { mean, together };
            assert_eq!(odds.seeds_for(plants as u32, chance), Some(seeds as u32), "{row:?}");
            let found = odds.chance_of(plants as u32, seeds as u32);
            assert!((found - reached).abs() < 1e-9, "{row:?}: {found}");
            let found = odds.chance_of(plants as u32, seeds as u32 - 1);
            assert!((found - one_less).abs() < 1e-9, "{row:?}: {found}");
        }
    }

    /// Judge: the whole sum over two beta distributions by Gauss-Jacobi nodes of SciPy (same script). Within 0.02
    /// of the chance: what taking the product for a beta distribution costs.
    #[test]
    fn of_those_that_came_up_so_many_live() {
        let rows = rows(include_str!("../../tests/reference/seeds_that_live.csv"));
        assert!(rows.len() > 20);
        for row in rows {
            let [up, up_together, live, live_together, plants, seeds, chance] = row[..] else {
                panic!("a row: {row:?}")
            };
            let up = Odds { mean: up, together: up_together };
            let share = up.and_then(Odds { mean: live, together: live_together });
            let found = share.chance_of(plants as u32, seeds as u32);
            assert!((found - chance).abs() < 0.02, "{row:?}: {found}");
        }
    }

    #[test]
    fn what_never_comes_up_has_no_number() {
        let share = |mean| Odds { mean, together: 0.1 };
        assert_eq!(share(0.0).seeds_for(3, 0.9), None);
        assert_eq!(share(1.0).seeds_for(3, 0.9), Some(3));
        assert_eq!(share(0.5).seeds_for(0, 0.9), Some(0));
    }
}
