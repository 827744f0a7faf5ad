"""Writes tests/reference/seed_numbers.csv, seeds_that_live.csv and seed_tests.csv: how many seeds so many plants need.

Judge: PyPI numpy 2.4.6 and scipy 1.17.1.
- seed_numbers.csv: the least number of seeds of which at least `plants` stand with a chance, by counting up with
  scipy.stats.betabinom (binom where nothing ties the seeds together); the chance reached, and that of one seed less;
- seeds_that_live.csv: of seeds that come up with one share and live with another, both beta-distributed, the chance of
  at least so many plants: scipy.stats.binom summed over Gauss-Jacobi nodes (scipy.special.roots_jacobi) of both;
- seed_tests.csv: the 80 % Jeffreys interval of a germination test, scipy.stats.beta.
Run it again and compare (`git diff`): a difference means that a table is stale.
"""
import csv
import itertools
import pathlib

import numpy as np
from scipy import special, stats

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference"


def at_least(mean, together, plants, seeds):
    if together == 0:
        return float(stats.binom(seeds, mean).sf(plants - 1))
    worth = 1 / together - 1
    return float(stats.betabinom(seeds, mean * worth, (1 - mean) * worth).sf(plants - 1))


with (OUT / "seed_numbers.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["mean", "together", "plants", "chance", "seeds", "reached", "one_less"])
    grid = itertools.product((0.35, 0.6, 0.75, 0.9, 0.98), (0, 0.03, 0.1, 0.2), (1, 3, 8, 20, 60, 150), (0.5, 0.9))
    for mean, together, plants, chance in grid:
        seeds = plants
        # A chance that is reached exactly (as 0.5 by 3 of 3 at 0.75 and 0.2) is enough, whatever its last bit says.
        while at_least(mean, together, plants, seeds) < chance - 1e-12:
            seeds += 1
        reached = at_least(mean, together, plants, seeds)
        one_less = at_least(mean, together, plants, seeds - 1) if seeds > plants else 0.0
        out.writerow([mean, together, plants, chance, seeds, f"{reached:.12f}", f"{one_less:.12f}"])


def nodes(mean, together):
    worth = 1 / together - 1
    x, weight = special.roots_jacobi(120, (1 - mean) * worth - 1, mean * worth - 1)
    return (x + 1) / 2, weight / weight.sum()


with (OUT / "seeds_that_live.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["up", "up_together", "live", "live_together", "plants", "seeds", "chance"])
    cases = itertools.product(((0.75, 0.1), (0.6, 0.2), (0.9, 0.05)), ((0.9, 0.1), (0.8, 0.15)), (3, 8, 40), (1.4, 2.0))
    for (up, up_together), (live, live_together), plants, times in cases:
        seeds = round(plants * times / up)
        p, p_weight = nodes(up, up_together)
        s, s_weight = nodes(live, live_together)
        chance = stats.binom.sf(plants - 1, seeds, p[:, None] * s[None, :])
        found = float(p_weight @ chance @ s_weight)
        out.writerow([up, up_together, live, live_together, plants, seeds, f"{found:.9f}"])

with (OUT / "seed_tests.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["tried", "sprouted", "low", "high"])
    for tried, sprouted in [(10, 0), (10, 1), (10, 6), (10, 9), (10, 10), (20, 4), (20, 16), (50, 44), (100, 83), (3, 2)]:
        share = stats.beta(sprouted + 0.5, tried - sprouted + 0.5)
        low = share.ppf(0.1) if sprouted else 0.0
        high = share.ppf(0.9) if sprouted < tried else 1.0
        out.writerow([tried, sprouted, f"{low:.9f}", f"{high:.9f}"])
