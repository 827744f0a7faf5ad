"""Writes tests/reference/bootstrap.csv: intervals of a difference of two means by drawing again.

Judges, neither of which shares a line with src/agronomy/bootstrap.rs:
- 'scipy': PyPI scipy 1.17.1, `stats.bootstrap`, two samples, the statistic being the absolute studentised miss of a
  draw; its own percentile interval up to a share p is the p-quantile of the misses (400,000 draws);
- 'enumeration': every multiset of draws of both sides with its multinomial weight, exactly (two sides of five: 126 x 126).
`reach` is the half width of the 90 % interval; `reach_from` and `reach_to` are the half widths at shares four standard
errors of 9,999 draws below and above 0.9.
Run it again and compare (`git diff`): a difference means that a table is stale.
"""
import csv
import itertools
import math
import pathlib

import numpy as np
from scipy import stats

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference"
LEVEL, DRAWS = 0.9, 9_999
SLACK = 4 * math.sqrt(LEVEL * (1 - LEVEL) / DRAWS)
SHARES = (LEVEL, LEVEL - SLACK, LEVEL + SLACK)

CASES = [
    ("five, alike", [1, 2, 4, 5, 9], [2, 3, 3, 7, 8]),
    ("five, far apart", [10, 12, 11, 14, 13], [2, 3, 5, 4, 7]),
    ("five, unlike scatter", [3.1, 3.3, 3.2, 3.4, 3.0], [1, 9, 4, 2, 6]),
    ("five, one far out", [1.1, 1.2, 1.4, 1.3, 9.0], [2.0, 2.2, 2.1, 2.5, 2.4]),
    ("five, two alike", [2, 2, 3, 4, 5], [1, 3, 3, 6, 7]),
    ("five and nine", [412, 655, 380, 720, 515], [600, 840, 705, 910, 660, 750, 810, 690, 1020]),
    ("eight, grams", [1210, 980, 1430, 1105, 1320, 890, 1250, 1015], [1480, 1690, 1350, 1820, 1295, 1560, 1710, 1440]),
    ("eight, skewed", [0.4, 0.5, 0.7, 0.6, 1.1, 0.9, 2.6, 4.1], [0.8, 0.3, 0.5, 1.9, 0.7, 0.6, 0.4, 1.2]),
    ("eight and twelve", [5.2, 4.1, 6.3, 5.8, 4.9, 5.5, 6.1, 4.4], [3.9, 4.8, 4.2, 5.1, 3.6, 4.4, 4.0, 4.9, 5.3, 3.8, 4.6, 4.5]),
    ("twenty, small difference", [i * 7 % 20 / 4 + 2 for i in range(20)], [i * 11 % 20 / 4 + 2.3 for i in range(20)]),
    ("below nothing", [-3, -1, 0, 2, -2, 1], [-5, -4, -6, -2, -7, -3]),
]


def error(a, b, axis=-1):
    return np.sqrt(np.var(a, axis=axis, ddof=1) / a.shape[axis] + np.var(b, axis=axis, ddof=1) / b.shape[axis])


def by_scipy(a, b):
    middle = a.mean() - b.mean()

    def miss(x, y, axis=-1):
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.abs(x.mean(axis=axis) - y.mean(axis=axis) - middle) / error(x, y, axis)

    reaches = []
    done = None
    for share in SHARES:
        done = stats.bootstrap(
            (a, b), miss, n_resamples=400_000 if done is None else 0, confidence_level=share, alternative="less",
            method="percentile", vectorized=True, batch=50_000, rng=np.random.default_rng(7), bootstrap_result=done,
        )
        reaches.append(done.confidence_interval.high * error(a, b))
    return reaches


def multisets(side):
    n = len(side)
    for picks in itertools.combinations_with_replacement(range(n), n):
        times = np.bincount(picks, minlength=n)
        weight = math.factorial(n) / math.prod(math.factorial(t) for t in times) / n**n
        drawn = side[list(picks)]
        yield drawn.mean(), drawn.var(ddof=1) / n, weight


def by_enumeration(a, b):
    middle = a.mean() - b.mean()
    (ma, va, wa), (mb, vb, wb) = (map(np.array, zip(*multisets(side))) for side in (a, b))
    gap = np.abs(ma[:, None] - mb[None, :] - middle).ravel()
    own = np.sqrt(va[:, None] + vb[None, :]).ravel()
    weight = (wa[:, None] * wb[None, :]).ravel()
    misses = np.where(own > 0, gap / np.where(own > 0, own, 1), np.inf)
    order = np.argsort(misses)
    shares = np.cumsum(weight[order])
    assert abs(shares[-1] - 1) < 1e-12
    return [misses[order][np.searchsorted(shares, share)] * error(a, b) for share in SHARES]


def main():
    with open(OUT / "bootstrap.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["case", "by", "first", "second", "difference", "reach", "reach_from", "reach_to"])
        for name, first, second in CASES:
            a, b = np.array(first, float), np.array(second, float)
            ways = [("scipy", by_scipy)]
            if len(a) == len(b) == 5:
                ways.append(("enumeration", by_enumeration))
            for by, way in ways:
                reach, low, high = way(a, b)
                texts = [" ".join(f"{value:g}" for value in side) for side in (first, second)]
                row = [name.replace(",", ":"), by, *texts, f"{a.mean() - b.mean():.12g}"]
                out.writerow(row + [f"{value:.6g}" for value in (reach, low, high)])


main()
