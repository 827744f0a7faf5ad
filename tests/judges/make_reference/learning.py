"""Writes tests/reference/learned_durations.csv and learned_germination.csv: what a few plantings teach.

Judge: PyPI numpy 2.4.6 and scipy 1.17.1. The model is that of src/learning.rs; the way to the result is not.
- 'grid': the covariance matrix of all plantings and the next one, solved whole for each node of the fixed grid of
  standard deviations (Laird & Ware, Biometrics 38 (1982) 963-974, from memory); quantiles of the mixture by
  scipy.optimize.brentq. This judges the algebra by seasons and varieties.
- 'fine': the same on a grid four times as fine in each direction. This judges the grid.
- 'censored': 4,000 drawn truths a node, from the values that are known, each weighed by scipy.stats.norm.sf of what is
  only known to be longer. This judges the normal pseudodata.
- germination: scipy.stats.beta.
Run it again and compare (`git diff`): a difference means that a table is stale.
"""
import csv
import itertools
import math
import pathlib

import numpy as np
from scipy import optimize, special, stats

OUT = pathlib.Path(__file__).resolve().parents[2] / "reference"
# Standard deviations of planting, season, variety and shift, as shares of the table's own, and the scales of their
# half-normal priors: the same numbers as in src/learning/model.rs.
NODES = [
    [0.14, 0.21, 0.32, 0.48, 0.72, 1.08, 1.62, 2.43, 3.65],
    [0.0, 0.2, 0.5, 0.9, 1.4, 2.1, 3.2],
    [0.0, 0.4, 0.9, 1.8],
    [0.25, 0.75, 1.6, 3.2],
]
SCALES = [0.45, 1.5, 0.28, 0.8]

# table range in days; plantings as season/variety:days, '+' for 'longer than'; season/variety asked for ('-' for none).
CASES = [
    (70, 90, "", "-/-"),
    (70, 90, "1/a:60", "-/a"),
    (70, 90, "1/a:60", "1/-"),
    (70, 90, "1/a:60 1/a:66 1/a:58", "1/a"),
    (70, 90, "1/a:60 1/a:66 2/a:58", "-/b"),
    (70, 90, "1/a:100 1/b:85 2/b:91 2/b:88 3/c:95", "-/a"),
    (70, 90, "1/a:100 1/b:85 2/b:91 2/b:88 3/c:95", "2/d"),
    (70, 90, "1/a:70 1/b:71 2/a:88 2/b:92 3/a:97 3/c:95 3/c:98", "3/a"),
    (5, 9, "1/a:14 1/a:11 2/b:12 2/b:8 3/b:9 3/b:9 4/b:10", "-/b"),
    (5, 9, "1/a:14 1/b:11 1/c:12 1/d:8 1/e:9 2/a:9 2/d:10", "2/e"),
    (30, 30, "1/a:41 2/b:37", "-/a"),
    (50, 52, "1/a:40 2/a:60", "-/a"),
    (70, 90, "1/a:85 1/a:90+", "-/a"),
    (70, 90, "1/a:85+ 1/a:60+ 2/a:70 2/a:100", "-/a"),
    (70, 90, "1/a:95+", "-/a"),
    (70, 90, "1/a:95+ 1/b:80 2/b:100+ 2/b:88", "2/a"),
    (70, 90, "1/a:95+ 1/b:80 2/b:100+ 2/b:88", "-/b"),
    (20, 30, "1/a:40+ 1/a:45 2/a:38 2/a:44+ 3/a:41 3/a:30+", "-/a"),
]
# One planting of a season that goes on: what tests/learning/readings.rs reads out of small gardens.
READINGS = [
    (low, high, f"1/a:{days:.9g}", "1/a")
    for low, high, *all_days in [(5, 10, 4, 7, 9, 12, 20), (28, 42, 40), (40, 60, 35, 50), (2, 4, 45 ** (1 / 3)), (10, 20, 25)]
    for days in all_days
]


def prior(low, high):
    low, high = math.log(low), math.log(high)
    reach = math.log(1.35) if high == low else max((high - low) / 2, math.log(1.1))
    return (low + high) / 2, reach / stats.norm.ppf(0.9)


def weighed(nodes, scale):
    edges = np.concatenate([[-nodes[0]], nodes, [nodes[-1]]])
    weights = (edges[2:] - edges[:-2]) / 2 * np.exp(-((np.array(nodes) / scale) ** 2) / 2)
    return weights / weights.sum()


def grid(nodes):
    squares = np.array(list(itertools.product(*nodes))) ** 2
    weights = [weighed(own, scale) for own, scale in zip(nodes, SCALES)]
    return squares, np.array([math.prod(each) for each in itertools.product(*weights)])


def finer(nodes):
    steps = np.arange(len(nodes))
    return np.interp(np.linspace(0, len(nodes) - 1, 4 * (len(nodes) - 1) + 1), steps, nodes)


def parts(rows, asked, nodes, unit, draws=0):
    known = [row for row in rows if not row[3]]
    longer = [row for row in rows if row[3]]
    all_rows = known + longer + [asked]
    season = np.array([row[0] for row in all_rows], dtype=object)
    variety = np.array([row[1] for row in all_rows], dtype=object)
    same = lambda of: np.array([[a == b and (a != "-" or i == j) for j, b in enumerate(of)] for i, a in enumerate(of)])
    same_season, same_variety = same(season).astype(float), same(variety).astype(float)
    n, size = len(known), len(all_rows)
    y = np.array([row[2] for row in known])
    limits = np.array([row[2] for row in longer])
    rng = np.random.default_rng(7)
    plain = rng.standard_normal((draws, size - n)) if draws else None
    found = []
    squares, weights = grid(nodes)
    for (planting, seas, vari, shift), weight in zip(squares * unit**2, weights):
        # Truths: everything but the planting's own part.
        cov = shift + seas * same_season + vari * same_variety
        inner = cov[:n, :n] + planting * np.eye(n)
        cross = cov[n:, :n]
        solved = np.linalg.solve(inner, np.column_stack([y, cross.T])) if n else np.zeros((0, 1 + size - n))
        log = -0.5 * (y @ solved[:, 0] + (np.linalg.slogdet(inner)[1] if n else 0)) + math.log(weight)
        mean = cross @ solved[:, 0]
        left = cov[n:, n:] - cross @ solved[:, 1:]
        if not draws:
            found.append((log, mean[-1], left[-1, -1] + planting))
            continue
        values, vectors = np.linalg.eigh(left)
        truths = mean + plain @ (vectors * np.sqrt(np.maximum(values, 0))).T
        likely = stats.norm.logsf((limits - truths[:, :-1]) / math.sqrt(planting)).sum(1)
        found += zip(log + likely, truths[:, -1], np.full(draws, planting))
    log, mean, variance = np.array(found).T
    weight = np.exp(log - log.max())
    keep = weight > 1e-9
    return weight[keep] / weight[keep].sum(), mean[keep], np.sqrt(variance[keep])


def quantiles(mixture):
    weight, mean, deviation = mixture
    below = lambda x: float(weight @ special.ndtr((x - mean) / deviation))
    ends = (mean - 8 * deviation).min(), (mean + 8 * deviation).max()
    return [optimize.brentq(lambda x: below(x) - share, *ends, xtol=1e-10) for share in (0.1, 0.5, 0.9)]


with (OUT / "learned_durations.csv").open("w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["table_low", "table_high", "plantings", "asked", "way", "low", "middle", "high"])
    for low, high, text, asked in READINGS + CASES:
        centre, unit = prior(low, high)
        rows = []
        for row in text.split():
            season, rest = row.split("/")
            variety, days = rest.split(":")
            rows.append((season, variety, math.log(float(days.rstrip("+"))) - centre, days.endswith("+")))
        asked_row = (*asked.split("/"), 0.0, False)
        if any(row[3] for row in rows):
            ways = [("censored", NODES, 4000)]
        else:
            ways = [("grid", NODES, 0)]
            if (low, high, text, asked) not in READINGS:
                ways.append(("fine", [finer(own) for own in NODES], 0))
        for way, nodes, draws in ways:
            found = quantiles(parts(rows, asked_row, nodes, unit, draws))
            out.writerow([low, high, text, asked, way] + [f"{math.exp(centre + x):.6f}" for x in found])
            file.flush()

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
