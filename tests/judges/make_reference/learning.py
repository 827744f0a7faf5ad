"""Writes tests/reference/learned_durations.csv and learned_germination.csv: what a few plantings teach.

Judge: PyPI numpy 2.4.6 and scipy 1.17.1. The model is that of src/agronomy/learning.rs; the way to the result is not.
- durations without censored values ('exact'): the multivariate Student t of all plantings and the next one, by the
  matrix of their covariances (Gelman et al., Bayesian Data Analysis, 3rd ed., ch. 3 and 14), quantiles by scipy.stats.t;
- durations with censored values ('grid'): the whole posterior summed on a grid of the scatter, the crop's mean and each
  variety's mean, with scipy.stats.norm.sf for 'longer than'; quantiles of the mixture by scipy.optimize.brentq;
- germination: scipy.stats.beta.
Run it again and compare (`git diff`): a difference means that a table is stale.
"""
import csv
import math
import pathlib

import numpy as np
from scipy import optimize, stats

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference"
TABLE, CROP, SCATTER = 1.0, 4.0, 4.0

# table range in days; plantings as variety:days, '+' for 'longer than'; variety asked for ('-' for none).
CASES = [
    (70, 90, "", "-"),
    (70, 90, "a:60", "a"),
    (70, 90, "a:60", "-"),
    (70, 90, "a:60 a:66 a:58", "a"),
    (70, 90, "a:60 a:66 a:58", "b"),
    (70, 90, "a:100 b:85 b:91 b:88 c:95", "a"),
    (70, 90, "a:100 b:85 b:91 b:88 c:95", "d"),
    (5, 9, "a:14 a:11 b:12 b:8 b:9 b:9 b:10", "b"),
    (30, 30, "a:41 b:37", "a"),
    (50, 52, "a:40 a:60", "a"),
    (70, 90, "a:85 a:90+", "a"),
    (70, 90, "a:85+ a:60+ a:70 a:100", "a"),
    (70, 90, "a:95+", "a"),
    (70, 90, "a:95+ b:80 b:100+ b:88", "a"),
    (70, 90, "a:95+ b:80 b:100+ b:88", "b"),
    (20, 30, "a:40+ a:45 a:38 a:44+ a:41 a:30+", "a"),
]


def prior(low, high):
    low, high = math.log(low), math.log(high)
    reach = math.log(1.35) if high == low else max((high - low) / 2, math.log(1.1))
    usual = (reach / stats.t.ppf(0.9, SCATTER)) ** 2 / (1 + 1 / CROP + 1 / TABLE)
    return (low + high) / 2, usual


def by_matrix(centre, usual, rows, asked):
    names = [name for name, _, _ in rows] + [asked]
    n = len(rows)
    # Everybody shares the crop's mean (1), those of one variety its mean too (1/4), each has its own part.
    same = np.array([[a == b and a != "-" for b in names] for a in names])
    cov = 1 / TABLE + same / CROP + np.eye(n + 1)
    cov[n, n] = 1 / TABLE + 1 / CROP + 1
    y = np.array([value for _, value, _ in rows])
    inner, cross = cov[:n, :n], cov[n, :n]
    if n == 0:
        location, square, spread = centre, usual, cov[n, n]
    else:
        solved = np.linalg.solve(inner, y - centre)
        location = centre + cross @ solved
        square = (SCATTER * usual + (y - centre) @ solved) / (SCATTER + n)
        spread = cov[n, n] - cross @ np.linalg.solve(inner, cross)
    t = stats.t(SCATTER + n, location, math.sqrt(square * spread))
    return [t.ppf(p) for p in (0.1, 0.5, 0.9)]


def by_grid(centre, usual, rows, asked):
    sigmas = np.exp(np.linspace(math.log(usual) / 2 - 2.5, math.log(usual) / 2 + 2.5, 161))
    steps = np.linspace(centre - 1.6, centre + 1.6, 641)
    names = sorted({name for name, _, _ in rows} | {asked})
    pieces = []
    for sigma in sigmas:
        # Scaled inverse chi-squared density of the variance, per step of log sigma.
        weight = sigma ** -SCATTER * math.exp(-SCATTER * usual / (2 * sigma**2))
        between = stats.norm.pdf(steps[:, None], steps[None, :], sigma / math.sqrt(CROP))
        mean = stats.norm.pdf(steps, centre, sigma / math.sqrt(TABLE)) * weight
        own = None
        for name in names:
            likelihood = np.ones_like(steps)
            for other, value, longer in rows:
                if other == name:
                    likelihood *= stats.norm.sf(value, steps, sigma) if longer else stats.norm.pdf(value, steps, sigma)
            if name == asked:
                own = likelihood
            else:
                mean = mean * (between.T @ likelihood)
        pieces.append((between @ mean) * own)  # of the asked variety's mean
    pieces = np.array(pieces)
    pieces /= pieces.sum()
    cdf = lambda x: float((pieces * stats.norm.cdf(x, steps[None, :], sigmas[:, None])).sum())
    return [optimize.brentq(lambda x: cdf(x) - p, centre - 1.5, centre + 1.5, xtol=1e-10) for p in (0.1, 0.5, 0.9)]


with (OUT / "learned_durations.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["table_low", "table_high", "plantings", "asked", "way", "low", "middle", "high"])
    for low, high, text, asked in CASES:
        rows = [row.split(":") for row in text.split()]
        rows = [(name, math.log(float(days.rstrip("+"))), days.endswith("+")) for name, days in rows]
        centre, usual = prior(low, high)
        censored = any(longer for _, _, longer in rows)
        found = (by_grid if censored else by_matrix)(centre, usual, rows, asked)
        if not censored and len({name for name, _, _ in rows}) <= 2:  # the two ways agree where both can go
            both = by_grid(centre, usual, rows, asked)
            assert max(abs(a - b) for a, b in zip(found, both)) < 2e-3, (text, found, both)
        way = "grid" if censored else "exact"
        out.writerow([low, high, text, asked, way] + [f"{math.exp(x):.6f}" for x in found])

# Trays as sown/emerged; '~' for 'about'.
TRAYS = ["", "20/16", "20/0", "60/55 ~40/20", "10/10 10/9 12/12 8/8 24/23", "6/1 9/2 12/1"]
with (OUT / "learned_germination.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["trays", "low", "middle", "high"])
    for text in TRAYS:
        # The usual share 3 : 1, lent as 1/(1/4 + 1/8) seeds by a crop of which nothing else was sown.
        worth = 1 / (1 / 4 + 1 / 8)
        up, not_up = 0.75 * worth, 0.25 * worth
        for tray in text.split():
            sown, emerged = map(int, tray.lstrip("~").split("/"))
            weight = (0.5 if tray.startswith("~") else 1.0) / (1 + (sown - 1) * 0.1)
            up, not_up = up + emerged * weight, not_up + (sown - emerged) * weight
        share = stats.beta(up, not_up)
        mean, own = share.mean(), share.var()
        variance = own + 0.1 * (mean * (1 - mean) - own)
        worth = mean * (1 - mean) / variance - 1
        tray = stats.beta(mean * worth, (1 - mean) * worth)
        out.writerow([text] + [f"{tray.ppf(p):.6f}" for p in (0.1, 0.5, 0.9)])
