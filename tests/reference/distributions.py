"""Reference values of distributions in 34-digit arithmetic.

Makes distributions-mpmath.json. Run from the repository root: python3 tests/reference/distributions.py
Arguments are doubles taken exactly, so a difference is the library's and not that of a rounded argument.
Quantiles are Newton roots of the 34-digit tail, started from scipy's value.
"""
import datetime
import itertools
import json
import platform

import mpmath as mp
import scipy
from scipy import stats

mp.mp.dps = 34
M = mp.mpf
points = []


def add(function, arguments, value):
    points.append({"function": function, "arguments": arguments, "value": float(value)})


def gamma_series(a, x):
    """Lower tail: positive terms only (NIST DLMF 8.7.1)."""
    term = mp.exp(a * mp.log(x) - x - mp.loggamma(a + 1))
    total, n = term, 0
    while term > total * M("1e-36"):
        n += 1
        term *= x / (a + n)
        total += term
    return total


def gamma_fraction(a, x):
    """Upper tail by the continued fraction of NIST DLMF 8.9.2, evaluated backwards at two depths."""
    front = mp.exp(a * mp.log(x) - x - mp.loggamma(a))

    def depth(n):
        value = M(0)
        for k in range(n, 0, -1):
            value = -k * (k - a) / (x + 2 * k + 1 - a + value)
        return front / (x + 1 - a + value)

    n, before = 64, depth(32)
    while abs((now := depth(n)) - before) > now * M("1e-30"):
        n, before = n * 2, now
    return now


def gamma_lower(x, df):
    a, x = M(df) / 2, M(x) / 2
    return gamma_series(a, x) if x < a + 1 else 1 - gamma_fraction(a, x)


def gamma_upper(x, df):
    a, x = M(df) / 2, M(x) / 2
    return 1 - gamma_series(a, x) if x < a + 1 else gamma_fraction(a, x)


def beta_series(x, y, a, b):
    """Lower tail below the mean: positive terms only, so no digits cancel (NIST DLMF 8.17.8)."""
    term = x**a * y**b / (a * mp.beta(a, b))
    total, n = term, 0
    while term > total * mp.eps:
        term *= (a + b + n) / (a + 1 + n) * x
        total += term
        n += 1
    return total


def beta_lower(x, a, b):
    x, a, b = M(x), M(a), M(b)
    return beta_series(x, 1 - x, a, b) if x <= a / (a + b) else 1 - beta_series(1 - x, x, b, a)


def beta_upper(x, a, b):
    x, a, b = M(x), M(a), M(b)
    return 1 - beta_series(x, 1 - x, a, b) if x <= a / (a + b) else beta_series(1 - x, x, b, a)


def t_upper(t, df):
    t, df = M(t), M(df)
    if t < 0:
        return 1 - t_upper(-t, df)
    if t == 0:
        return M("0.5")
    x, y = df / (df + t * t), t * t / (df + t * t)
    a, half = df / 2, M("0.5")
    if df > 40 and t < 10:
        # The series of the other tail needs few terms; the digits its complement loses are carried beforehand.
        with mp.workdps(90):
            x, y = df / (df + t * t), t * t / (df + t * t)
            return half - half * beta_series(y, x, half, a)
    if x <= a / (a + half):
        return half * beta_series(x, y, a, half)
    return half - half * beta_series(y, x, half, a)


def root(log_tail, slope, log_target, start):
    """Newton's method on the logarithm of a tail; slope gives the tail's derivative."""
    x = M(start)
    for _ in range(60):
        value = log_tail(x)
        step = (log_target - value) / (slope(x) / mp.exp(value))
        x += step
        if abs(step) < M("1e-20"):
            return x
    raise ArithmeticError("no root")


for x in [-37, -20, -9, -5.7, -3, -1.5, -0.6, -1e-3, -1e-12, 0, 1e-8, 0.3, 0.67, 0.68, 1, 1.96, 2.7, 4.4, 5.65, 5.66, 8.1, 12.5, 25.25, 37.5]:
    add("normalDensity", [x], mp.npdf(M(x)))
    add("normalCumulative", [x], mp.ncdf(M(x)) if x > -2 else mp.erfc(-M(x) / mp.sqrt(2)) / 2)
    add("normalUpperTail", [x], mp.erfc(M(x) / mp.sqrt(2)) / 2)
for p in [1e-300, 1e-100, 1e-30, 1e-16, 1e-10, 1e-6, 1e-3, 0.005, 0.025, 0.0749, 0.0751, 0.2, 0.4, 0.499, 0.51, 0.7, 0.9, 0.95, 0.975, 0.995, 0.9999, 0.9999999]:
    target = M(p)
    upper = target > 0.5
    sign = 1 if upper else -1
    f = lambda x: mp.log(mp.erfc(sign * x / mp.sqrt(2)) / 2)
    add("normalQuantile", [p], root(f, lambda x: -sign * mp.npdf(x), mp.log(1 - target if upper else target), stats.norm.ppf(p)))

degrees = [0.5, 1, 1.5, 2, 3, 4, 5, 7.3, 11, 12, 30, 99, 450.5, 5000, 100000]
for df in degrees:
    for t in [1e-6, 0.01, 0.3, 1, 1.96, 2.5, 4.3, 9, 40, -0.5, -6]:
        if t_upper(abs(t), df) < M("1e-290"):
            continue
        add("studentTUpperTail", [t, df], t_upper(t, df))
        add("studentTCumulative", [t, df], t_upper(-t, df))
    for p in [1e-12, 1e-5, 0.005, 0.025, 0.05, 0.2, 0.26, 0.4, 0.495, 0.6, 0.8, 0.9, 0.975, 0.995, 0.999999]:
        outer = 1 - M(p) if p > 0.5 else M(p)
        height = lambda t: -mp.exp(-(M(df) + 1) / 2 * mp.log1p(t * t / df)) / (mp.sqrt(M(df)) * mp.beta(M(df) / 2, M("0.5")))
        size = root(lambda t: mp.log(t_upper(t, df)), height, mp.log(outer), abs(stats.t.ppf(p, df)))
        add("studentTQuantile", [p, df], size if p > 0.5 else -size)

for df in [0.5, 1, 2, 3, 5, 7.7, 12, 21, 54, 100, 999, 4999]:
    for ratio in [1e-8, 0.01, 0.2, 0.6, 0.9, 0.99, 1, 1.02, 1.15, 1.5, 2.5, 6, 12]:
        x = float(df * ratio)
        if gamma_lower(x, df) > M("1e-290"):
            add("chiSquareCumulative", [x, df], gamma_lower(x, df))
        if gamma_upper(x, df) > M("1e-290"):
            add("chiSquareUpperTail", [x, df], gamma_upper(x, df))
    for p in [1e-12, 1e-4, 0.005, 0.025, 0.3, 0.49, 0.51, 0.8, 0.95, 0.975, 0.9999]:
        target = M(p)
        low = p < 0.5
        f = lambda s: mp.log(gamma_lower(mp.exp(s), df) if low else gamma_upper(mp.exp(s), df))
        slope = lambda s: (1 if low else -1) * mp.exp(M(df) / 2 * (s - mp.log(2)) - mp.exp(s) / 2 - mp.loggamma(M(df) / 2))
        start = mp.log(stats.chi2.ppf(p, df))
        add("chiSquareQuantile", [p, df], mp.exp(root(f, slope, mp.log(target if low else 1 - target), start)))
    for q in [1e-40, 1e-12, 0.01, 0.4, 0.7]:
        f = lambda s: mp.log(gamma_upper(mp.exp(s), df))
        slope = lambda s: -mp.exp(M(df) / 2 * (s - mp.log(2)) - mp.exp(s) / 2 - mp.loggamma(M(df) / 2))
        add("chiSquareUpperQuantile", [q, df], mp.exp(root(f, slope, mp.log(M(q)), mp.log(stats.chi2.isf(q, df)))))

shapes = [(0.5, 0.5), (0.5, 23.5), (1, 1), (1, 23), (2, 5), (3, 58), (5, 1080), (12, 15074), (46, 765), (82, 182), (505, 87887), (0.1, 3), (3000, 3000)]
for a, b in shapes:
    for p in [1e-10, 0.001, 0.025, 0.3, 0.5, 0.7, 0.975, 0.9999]:
        start = stats.beta.ppf(p, a, b)
        target = M(p)

        if start == 1:
            continue
        low = p < 0.5
        f = lambda s: mp.log(beta_lower(1 / (1 + mp.exp(-s)), a, b) if low else beta_upper(1 / (1 + mp.exp(-s)), a, b))
        slope = lambda s: (1 if low else -1) * mp.exp(-M(a) * mp.log1p(mp.exp(-s)) - M(b) * mp.log1p(mp.exp(s))) / mp.beta(a, b)
        first = mp.log(M(float(start)) / (1 - M(float(start))))
        x = 1 / (1 + mp.exp(-root(f, slope, mp.log(target if low else 1 - target), first)))
        add("betaQuantile", [p, a, b], x)
        argument = float(x)
        if 0 < argument < 1:
            add("betaCumulative", [argument, a, b], beta_lower(argument, a, b))
            add("betaUpperTail", [argument, a, b], beta_upper(argument, a, b))
    for x in [1e-6, 0.01, 0.1, 0.5, 0.9, 0.999]:
        low, high = beta_lower(x, a, b), beta_upper(x, a, b)
        if low > M("1e-290"):
            add("betaCumulative", [x, a, b], low)
        if high > M("1e-290"):
            add("betaUpperTail", [x, a, b], high)

for total, events, rate in [(20, 0, 0.1), (20, 3, 0.1), (20, 20, 0.9), (23, 0, 0.148), (263, 81, 0.25), (1083, 4, 0.001), (15085, 12, 0.0014), (353, 7, 0.04)]:
    p = M(rate)
    terms = [mp.binomial(total, k) * p**k * (1 - p) ** (total - k) for k in range(total + 1)]
    add("binomialLowerTail", [events, total, rate], mp.fsum(terms[: events + 1]))
    add("binomialUpperTail", [events, total, rate], mp.fsum(terms[events:]))
for total, events in [(5, 2), (20, 1), (23, 23), (263, 81), (1083, 4), (15085, 12), (88391, 505), (10**6, 500000)]:
    add("logBinomialCoefficient", [total, events], mp.log(mp.binomial(total, events)))
for x in [1e-8, 0.01, 0.3, 0.5, 0.9, 0.9999, 1.0000001, 1.01, 1.5, 1.9, 1.99999, 2.0001, 2.5, 3.7, 10.5, 15.99, 16, 100.25, 1234.5, 1e6]:
    add("logGamma", [x], mp.loggamma(M(x)))

with open("tests/reference/distributions-mpmath.json", "w") as out:
    head = {
        "what": "distribution functions and quantiles",
        "madeBy": "tests/reference/distributions.py",
        "versions": {"python": platform.python_version(), "mpmath": mp.__version__, "scipy (start values only)": scipy.__version__},
        "date": str(datetime.date.today()),
        "tolerance": "1e-12 relative in the body, 1e-10 where the value or the tail it belongs to is below 1e-6",
    }
    text = json.dumps(head)[:-1] + ', "points": [\n'
    text += ",\n".join(json.dumps(p) for p in points)
    out.write(text + "\n]}\n")
print(len(points))
