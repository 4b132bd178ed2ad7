"""Between-study variance estimators and intervals at 40 digits, from the written-out formulas.

Run: python3 tests/reference/betweenStudyVariance.py > tests/reference/betweenStudyVariance-python.json
Generalised Q limits: Imhof's integral (Biometrika 1961;48:419-426) by mpmath quadrature over the eigenvalues (numpy).
"""
import datetime
import json
import math
import mpmath as mp
import numpy as np

mp.mp.dps = 40
BCG = [(4, 123, 11, 139), (6, 306, 29, 303), (3, 231, 11, 220), (62, 13598, 248, 12867), (33, 5069, 47, 5808),
       (180, 1541, 372, 1451), (8, 2545, 10, 629), (505, 88391, 499, 88391), (29, 7499, 45, 7277),
       (17, 1716, 65, 1665), (186, 50634, 141, 27338), (5, 2498, 3, 2341), (27, 16913, 29, 17854)]
SETS = {
    "BCG log risk ratios (Colditz 1994)": (
        [math.log((a / n) / (c / m)) for a, n, c, m in BCG], [1 / a - 1 / n + 1 / c - 1 / m for a, n, c, m in BCG]),
    "textbook standardised differences (Borenstein 2009, from memory)": (
        [0.0945, 0.2774, 0.3665, 0.6644, 0.4618, 0.1852], [0.0329, 0.0307, 0.0499, 0.0105, 0.0427, 0.0234]),
    "made up: agreeing": ([0.10, 0.12, 0.08, 0.11, 0.09], [0.04, 0.05, 0.02, 0.08, 0.03]),
    "made up: two studies": ([0.2, 1.5], [0.04, 0.09]),
    "made up: one precise outlier": ([0.0, 0.1, -0.2, 0.3, 3.0], [0.2, 0.3, 0.25, 0.15, 0.01]),
    "made up: two likelihood peaks": ([5.3, 3.9, 0.0], [9.0, 2.0, 0.007]),
    "made up: variances over eight orders": ([1.0, 2.0, 0.5, 1.5, 1.2, 3.0], [1e-6, 1e-2, 1e2, 1e-4, 1.0, 10.0]),
}


def at(y, v, t, mu=None):
    w = [1 / (vi + t) for vi in v]
    m = sum(a * b for a, b in zip(w, y)) / sum(w) if mu is None else mu
    return w, m, sum(a * (b - m) ** 2 for a, b in zip(w, y))


def loglik(y, v, t, restricted, mu=None):
    w, m, q = at(y, v, t, mu)
    k = len(y)
    return -mp.mpf(1) / 2 * ((k - restricted) * mp.log(2 * mp.pi) + sum(mp.log(vi + t) for vi in v)
                             + (mp.log(sum(w)) if restricted else 0) + q)


def bisect(f, lo, hi, steps=140):
    flo = f(lo)
    for _ in range(steps):
        mid = (lo + hi) / 2
        if (f(mid) > 0) == (flo > 0):
            lo = mid
        else:
            hi = mid
    return (lo + hi) / 2


def slope(y, v, t, restricted, mu=None):
    w, m, _ = at(y, v, t, mu)
    s1, s2 = sum(w), sum(a * a for a in w)
    return -(s1 - (s2 / s1 if restricted else 0) - sum(a * a * (b - m) ** 2 for a, b in zip(w, y))) / 2


def maximise(y, v, restricted, mu=None):
    top = 4 * (max(y + ([mu] if mu is not None else [])) - min(y + ([mu] if mu is not None else []))) ** 2 + min(v)
    grid = [mp.mpf(0)] + [min(v) * mp.mpf(10) ** -5 * (top / (min(v) * mp.mpf(10) ** -5)) ** (mp.mpf(i) / 300) for i in range(301)]
    best, peaks, previous = None, 0, None
    for a, b in zip(grid, grid[1:]):
        sa, sb = slope(y, v, a, restricted, mu) if previous is None else previous, slope(y, v, b, restricted, mu)
        previous = sb
        found = None
        if a == 0 and sa <= 0:
            found = mp.mpf(0)
        elif sa > 0 and sb <= 0:
            found = bisect(lambda t: slope(y, v, t, restricted, mu), a, b)
        if found is not None:
            peaks += 1
            l = loglik(y, v, found, restricted, mu)
            if best is None or l > best[1]:
                best = (found, l)
    return best[0], best[1], peaks


def qform(y, v, q, t):
    """P(Q <= q) by Imhof's integral over the eigenvalues."""
    w = np.array([float(1 / a) for a in v])
    A = np.diag(w) - np.outer(w, w) / w.sum()
    S = np.diag(np.sqrt(1 / w + float(t)))
    lam = np.linalg.eigvalsh(S @ A @ S)[1:]
    lam = [mp.mpf(float(a)) for a in lam]
    q = mp.mpf(q)

    def integrand(u):
        theta = sum(mp.atan(a * u) for a in lam) / 2 - q * u / 2
        rho = mp.mpf(1)
        for a in lam:
            rho *= (1 + a * a * u * u) ** mp.mpf(0.25)
        return mp.sin(theta) / (u * rho)

    with mp.workdps(20):
        if len(lam) == 1:
            return mp.gammainc(mp.mpf(0.5), 0, q / lam[0] / 2, regularized=True)
        omega = q / 2
        return mp.mpf(1) / 2 - mp.quadosc(integrand, [0, mp.inf], omega=omega) / mp.pi


chi = lambda p, d: bisect(lambda x: mp.gammainc(mp.mpf(d) / 2, 0, x / 2, regularized=True) - p, mp.mpf(0), mp.mpf(400))
out = []
for name, (y, v) in SETS.items():
    y, v = [mp.mpf(a) for a in y], [mp.mpf(a) for a in v]
    k = len(y)
    w, m, q = at(y, v, 0)
    s1, s2 = sum(w), sum(a * a for a in w)
    dl = max(mp.mpf(0), (q - (k - 1)) / (s1 - s2 / s1))
    w2, m2, q2 = at(y, v, dl)
    t1 = sum(w2)
    two = mp.mpf(0) if dl == 0 else max(mp.mpf(0), (q2 - (sum(a * b for a, b in zip(w2, v)) - sum(a * a * b for a, b in zip(w2, v)) / t1)) / (t1 - sum(a * a for a in w2) / t1))
    mean = sum(y) / k
    ss = sum((a - mean) ** 2 for a in y)
    big = 4 * (max(y) - min(y)) ** 2 + 1
    pm = mp.mpf(0) if q <= k - 1 else bisect(lambda t: at(y, v, t)[2] - (k - 1), mp.mpf(0), big * 10)
    r = [a / (ss / k) + 1 for a in v]
    msj = sum(a / b for a, b in zip(y, r)) / sum(1 / b for b in r)
    ml, llml, peaks_ml = maximise(y, v, 0)
    reml, llreml, peaks_reml = maximise(y, v, 1)
    lowq, highq = chi(mp.mpf("0.975"), k - 1), chi(mp.mpf("0.025"), k - 1)
    qprofile = None if q <= highq else [mp.mpf(0) if q <= lowq else bisect(lambda t: at(y, v, t)[2] - lowq, mp.mpf(0), big * 1000),
                                        bisect(lambda t: at(y, v, t)[2] - highq, mp.mpf(0), big * mp.mpf(10) ** 6)]
    c1 = chi(mp.mpf("0.95"), 1)

    def profile(restricted, best, ll):
        f = lambda t: 2 * (ll - loglik(y, v, t, restricted)) - c1
        return [mp.mpf(0) if best == 0 or f(mp.mpf(0)) <= 0 else bisect(f, mp.mpf(0), best),
                bisect(f, best, big * mp.mpf(10) ** 4)]

    wml, mml, _ = at(y, v, ml)
    se = 1 / mp.sqrt(sum(wml))
    a1, a2, a3 = sum(wml), sum(a ** 2 for a in wml), sum(a ** 3 for a in wml)
    factor = 1 + 2 * (a3 / (a1 * a2) - a2 / (4 * a1 ** 2))

    def mean_limits(f):
        g = lambda mu: 2 * (llml - maximise(y, v, 0, mu)[1]) - f * c1
        step = se
        lo = mml - step
        while g(lo) < 0:
            lo -= step
        hi = mml + step
        while g(hi) < 0:
            hi += step
        with mp.workdps(20):
            return [bisect(g, lo, mml, 45), bisect(g, mml, hi, 45)]

    entry = dict(name=name, values=[float(a) for a in y], variances=[float(a) for a in v],
                 betweenStudyVariance={
                     "dersimonian-laird": dl, "two-step-dersimonian-laird": two, "paule-mandel": pm, "empirical-bayes": pm,
                     "hedges-olkin": max(mp.mpf(0), ss / (k - 1) - sum(v) / k),
                     "sidik-jonkman": sum((a - msj) ** 2 / b for a, b in zip(y, r)) / (k - 1),
                     "hunter-schmidt": max(mp.mpf(0), (q - k) / s1),
                     "maximum-likelihood": ml, "restricted-maximum-likelihood": reml},
                 peaks=dict(full=peaks_ml, restricted=peaks_reml), logLikelihood=dict(full=llml, restricted=llreml),
                 varianceIntervals={"q-profile": qprofile, "profile-likelihood": profile(0, ml, llml),
                                    "profile-restricted-likelihood": profile(1, reml, llreml)},
                 cochranQCumulative=[[t, qform(y, v, q, t)] for t in (mp.mpf(0), dl / 2 + mp.mpf("0.01"), dl * 3 + mp.mpf("0.03"))],
                 bartlettFactor=factor)
    if k <= 6:
        entry["meanIntervals"] = {"profile-likelihood": mean_limits(1), "bartlett-profile-likelihood": mean_limits(factor)}
    out.append(entry)


def plain(o):
    if isinstance(o, mp.mpf):
        return float(mp.nstr(o, 17))
    if isinstance(o, dict):
        return {a: plain(b) for a, b in o.items()}
    if isinstance(o, (list, tuple)):
        return [plain(a) for a in o]
    return o


print(json.dumps(dict(madeBy="tests/reference/betweenStudyVariance.py", date=str(datetime.date.today()),
                      versions=dict(mpmath=mp.__version__, numpy=np.__version__), tolerance=1e-8,
                      sets=plain(out)), indent=1))
