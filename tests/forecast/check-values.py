"""Slopes and intervals by numpy, a library of another origin, on the same numbers: writes check-values.json.

    python3 tests/forecast/check-values.py > tests/forecast/check-values.json
"""
import itertools
import json
import statistics
import sys

import numpy as np


def normal():
    """Distribution and quantiles by Python's own statistics module."""
    law = statistics.NormalDist()
    points = (-4.5, -3.1, -1.96, -0.5, 0.0, 0.3, 1.2816, 2.5, 4.0)
    shares = (0.0005, 0.025, 0.05, 0.3, 0.5, 0.77, 0.95, 0.999)
    return {
        "below": [[z, law.cdf(z)] for z in points],
        "quantiles": [[p, law.inv_cdf(p)] for p in shares],
    }


def theil_sen(x, y):
    """Median of the slopes of all pairs with unlike x (Sen 1968), by numpy's median."""
    pairs = itertools.combinations(range(len(x)), 2)
    return float(np.median([(y[j] - y[i]) / (x[j] - x[i]) for i, j in pairs if x[i] != x[j]]))


def slopes(rng):
    cases = []
    for count in (4, 7, 20, 41):
        x = np.sort(np.round(rng.uniform(0, 500, count), 2))
        y = np.round(100 - 0.15 * x + rng.normal(0, 3, count), 3)
        y[rng.integers(0, count)] -= 40
        cases.append({"x": x.tolist(), "y": y.tolist(), "slope": theil_sen(x, y)})
    return cases


def passages(rng):
    """Days until independent gamma distributed daily uses sum up to an amount: 5th, 50th and 95th percentile."""
    cases = []
    for left, mean, variance in ((40, 1.0, 0.8), (12, 0.7, 0.5), (60, 2.0, 1.0)):
        days = 0
        runs = 200_000
        total = np.zeros(runs)
        ended = np.full(runs, np.nan)
        while np.isnan(ended).any():
            use = rng.gamma(mean * mean / variance, variance / mean, runs)
            now = total + use >= left
            ended = np.where(np.isnan(ended) & now, days + (left - total) / use, ended)
            total += use
            days += 1
        low, middle, high = np.percentile(ended, [5, 50, 95])
        cases.append({"left": left, "mean": mean, "variance": variance, "low": low, "median": middle, "high": high})
    return cases


generator = np.random.default_rng(20260131)
json.dump(
    {"by": f"numpy {np.__version__}", "normal": normal(), "slopes": slopes(generator), "passages": passages(generator)},
    sys.stdout,
    indent=1,
)
sys.stdout.write("\n")
