"""Makes scoresOrderStatistics.json: expected normal order statistics by scipy and by mpmath at 40 digits,
probabilities that a difference exceeds a threshold, and variances of standardised differences.
Run from this folder: python3 scoresOrderStatistics.py"""
import json
import platform

import mpmath as mp
import numpy as np
import scipy
from scipy import integrate, special, stats

mp.mp.dps = 40


def by_scipy(rank, n):
    constant = special.gammaln(n + 1) - special.gammaln(rank) - special.gammaln(n - rank + 1)

    def f(x):
        return x * np.exp(
            constant + (rank - 1) * special.log_ndtr(x) + (n - rank) * special.log_ndtr(-x) - x * x / 2
        ) / np.sqrt(2 * np.pi)

    centre = stats.norm.ppf((rank - 0.375) / (n + 0.25))
    return sum(integrate.quad(f, a, b, epsabs=0, epsrel=1e-12, limit=500)[0] for a, b in [(-12, centre), (centre, 12)])


def by_mpmath(rank, n):
    beta = mp.beta(rank, n - rank + 1)

    def f(x):
        return x * mp.ncdf(x) ** (rank - 1) * mp.ncdf(-x) ** (n - rank) * mp.npdf(x) / beta

    return mp.quad(f, [-15, -6, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6, 8, 15])


cases = [(1, 2), (3, 3), (2, 3), (4, 5), (10, 10), (8, 10), (31, 41), (12, 12), (50, 50), (38, 50), (150, 353)]
large = [(1000, 1000), (20000, 20000), (15000, 20000)]

probabilities = []
for value, error, threshold, df in [
    (2.15, 0.84, 11.1, None),
    (-1.8, 0.4, 1.4, None),
    (9.5, 3.0, 11.1, 4),
    (12.0, 2.5, 11.1, 9),
    (0.0, 1.0, 1.5, 2),
    (-40.0, 3.0, 11.1, None),
]:
    law = stats.norm() if df is None else stats.t(df)
    probabilities.append(
        {
            "value": value, "standardError": error, "threshold": threshold, "degreesOfFreedom": df,
            "above": law.sf((threshold - value) / error), "below": law.cdf((-threshold - value) / error),
        }
    )

standardised = []
for n1, n2, d in [(5, 7, 0.9), (20, 20, 0.0), (60, 45, -0.4658), (3, 2, 1.2), (200, 200, 0.67)]:
    m = mp.mpf(n1 + n2 - 2)
    j = mp.gamma(m / 2) / (mp.sqrt(m / 2) * mp.gamma((m - 1) / 2))
    g = j * mp.mpf(d)
    c = mp.mpf(n1 + n2) / (n1 * n2)
    # The exact variance is the one of a non-central t: scipy checks the expectation the unbiased form rests on.
    ncp = d / np.sqrt(float(c))
    t_mean, t_var = stats.nct(float(m), ncp).stats(moments="mv") if d != 0 else (0.0, float(m / (m - 2)))
    expected_square = float((t_var + t_mean**2) * float(c) * float(j) ** 2)
    exact_variance = float(t_var * float(c) * float(j) ** 2)
    standardised.append(
        {
            "treatedTotal": n1, "comparatorTotal": n2, "uncorrected": d, "corrected": float(g),
            "largeSample": float(j**2 * (c + mp.mpf(d) ** 2 / (2 * (n1 + n2)))),
            "unbiased": float(c + (1 - (m - 2) / (m * j**2)) * g**2),
            "truth": {"difference": d, "expectedSquareOfCorrected": expected_square, "varianceOfCorrected": exact_variance},
        }
    )

out = {
    "made": "2026-11-25",
    "with": f"Python {platform.python_version()}, scipy {scipy.__version__}, mpmath {mp.__version__}, numpy {np.__version__}",
    "script": "tests/reference/scoresOrderStatistics.py",
    "orderStatistics": [
        {"rank": r, "n": n, "scipy": by_scipy(r, n), "mpmath": float(by_mpmath(r, n))} for r, n in cases
    ],
    "largeOrderStatistics": [{"rank": r, "n": n, "scipy": by_scipy(r, n)} for r, n in large],
    "probabilities": probabilities,
    "standardisedDifference": standardised,
}
with open("scoresOrderStatistics.json", "w") as file:
    json.dump(out, file, indent=1)
    file.write("\n")
