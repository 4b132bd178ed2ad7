"""Pools the awkward sets below with formulas written out at 50 digits, independently of the library. Run: python3 tests/pooling/reference/makePoolReference.py
Writes poolReference.json beside this file."""
import datetime
import json
import platform
from pathlib import Path

import mpmath
from mpmath import mp, mpf

mp.dps = 50
here = Path(__file__).parent
LEVEL = mpf("0.95")
TAIL = (1 - LEVEL) / 2


def normal_quantile(p):
    return mpmath.sqrt(2) * mpmath.erfinv(2 * p - 1)


def chi_square_upper(x, df):
    return mpmath.gammainc(mpf(df) / 2, x / 2, mpmath.inf, regularized=True)


def bisect(f, low, high, increasing):
    for _ in range(260):
        middle = (low + high) / 2
        if (f(middle) > 0) == increasing:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def chi_square_quantile(p, df):
    high = mpf(df)
    while 1 - chi_square_upper(high, df) < p:
        high *= 2
    return bisect(lambda x: 1 - chi_square_upper(x, df) - p, mpf(0), high, True)


def t_upper(x, df):
    return mpmath.betainc(mpf(df) / 2, mpf(1) / 2, 0, df / (df + x * x), regularized=True) / 2


def t_quantile_upper(tail, df):
    high = mpf(2)
    while t_upper(high, df) > tail:
        high *= 2
    return bisect(lambda x: tail - t_upper(x, df), mpf(0), high, True)


def summary(values, variances):
    k = len(values)
    df = k - 1
    z = normal_quantile(1 - TAIL)

    def at(tau2):
        w = [1 / (v + tau2) for v in variances]
        mean = sum(a * y for a, y in zip(w, values)) / sum(w)
        return w, mean, sum(a * (y - mean) ** 2 for a, y in zip(w, values))

    w, common, q = at(mpf(0))
    c = sum(w) - sum(a * a for a in w) / sum(w)
    tau2 = max(mpf(0), (q - df) / c)
    wr, mean, qr = at(tau2)
    se = 1 / mpmath.sqrt(sum(wr))
    hk = mpmath.sqrt(qr / (df * sum(wr)))
    t1 = t_quantile_upper(TAIL, df)
    reach = t_quantile_upper(TAIL, k - 2) * mpmath.sqrt(tau2 + se**2) if k > 2 else None

    def profile(p):
        target = chi_square_quantile(p, df)
        if q <= target:
            return mpf(0)
        high = mpf(1)
        while at(high)[2] > target:
            high *= 2
        return bisect(lambda x: target - at(x)[2], mpf(0), high, True)

    has_profile = q > chi_square_quantile(TAIL, df)
    # Higgins and Thompson 2002, appendix A.2, H taken as 1 where Q is below its degrees of freedom.
    log_ratio = max(mpf(0), mpmath.log(q / df)) if q > 0 else mpf(0)
    if q > k:
        error = log_ratio / 2 / (mpmath.sqrt(2 * q) - mpmath.sqrt(2 * k - 3))
    elif k > 2:
        error = mpmath.sqrt((1 - mpf(1) / (3 * (k - 2) ** 2)) / (2 * (k - 2)))
    else:
        # The standard deviation of half the log of a chi-square variable with one degree of freedom.
        error = mpmath.sqrt(mpmath.psi(1, mpf(1) / 2)) / 2
    h = [max(mpf(1), mpmath.exp(log_ratio + s * 2 * z * error)) for s in (-1, 1)]
    ces = 1 / mpmath.sqrt(sum(w))
    return {
        "commonMean": common,
        "commonStandardError": ces,
        "commonInterval": [common - z * ces, common + z * ces],
        "q": q,
        "pValue": chi_square_upper(q, df),
        "betweenStudyVariance": tau2,
        "betweenStudyVarianceInterval": [profile(1 - TAIL), profile(TAIL)] if has_profile else None,
        "randomMean": mean,
        "randomStandardError": se,
        "waldInterval": [mean - z * se, mean + z * se],
        "hartungKnappStandardError": hk,
        "hartungKnappInterval": [mean - t1 * hk, mean + t1 * hk],
        "prediction": [mean - reach, mean + reach] if reach is not None else None,
        "iSquared": max(mpf(0), (q - df) / q) if q > 0 else mpf(0),
        "iSquaredInterval": [1 - 1 / x for x in h],
        "hSquaredInterval": h,
    }


awkward = {
    "two studies": ([0.1, 0.9], [0.04, 0.05]),
    "three studies": ([-1.2, 0.3, 0.25], [0.5, 0.02, 0.3]),
    "variances from 1e-8 to 1e4": ([0.3, 0.31, 5, -40, 0.1], [1e-8, 1e-4, 1, 1e4, 0.01]),
    "one study 1,000 times larger": ([0.2, 0.9, -0.4, 0.6, 0.1], [0.0001, 0.1, 0.1, 0.12, 0.09]),
    "values offset by 1e9": ([1000000000.5, 1000000001.25, 999999999.75, 1000000002.0], [0.25, 0.5, 0.125, 1.0]),
    "heterogeneity of 99 per cent": ([0, 1, 2, 3, 5, 8], [0.01, 0.02, 0.01, 0.015, 0.02, 0.01]),
    "two studies closer than chance": ([0.1, 0.25], [0.04, 0.05]),
    "five studies closer than chance": ([0.1, 0.12, 0.15, 0.11, 0.13], [0.04, 0.05, 0.06, 0.03, 0.05]),
    "nearly identical": ([0.5, 0.5000001, 0.4999999, 0.5], [0.1, 0.2, 0.3, 0.4]),
}


def text(x):
    if x is None:
        return None
    if isinstance(x, list):
        return [text(a) for a in x]
    return float(x)


sets = []
for name, (values, variances) in awkward.items():
    sets.append((name, [mpf(float(y)) for y in values], [mpf(float(v)) for v in variances]))

result = {
    "made": f"makePoolReference.py, Python {platform.python_version()}, mpmath {mpmath.__version__}, "
    f"{datetime.date.today().isoformat()}, 50 digits",
    "sets": [
        {
            "id": name,
            "values": [float(y) for y in values],
            "variances": [float(v) for v in variances],
            "expected": {key: text(x) for key, x in summary(values, variances).items()},
        }
        for name, values, variances in sets
    ],
}
(here / "poolReference.json").write_text(json.dumps(result, indent=1) + "\n")
