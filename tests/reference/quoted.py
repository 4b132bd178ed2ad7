"""Makes quoted.json: reference values for tests/pooling/quoted, from mpmath (means over studies by adaptive quadrature at
40 digits) and numpy/scipy (likelihoods written out on dense grids, profiles by nested search, posteriors on a grid).

Run in this folder: python3 quoted.py
"""
import datetime, json, sys
import mpmath as mp, numpy as np, scipy
from scipy import optimize, special, stats

mp.mp.dps = 40
data = json.load(open("rareEventsData.json"))
Z = np.linspace(-12, 12, 4801)
WZ = np.exp(-Z**2 / 2) / np.sqrt(2 * np.pi) * (Z[1] - Z[0])


def mean_of_studies_exact(a, s):
    f = lambda z: mp.npdf(z) / (1 + mp.exp(-(a + s * z)))
    return mp.quad(f, [-40, -20, -10, -5, -2, 0, 2, 5, 10, 20, 40])


def mean_of_studies(a, s):
    return float(np.sum(WZ * special.expit(a + s * Z)))


def log_odds_of_mean(a, s):
    return float(np.log(max(mean_of_studies(a, s), 1e-300)) - np.log(max(mean_of_studies(-a, s), 1e-300)))


def binomial_normal(counts, Z=Z, WZ=WZ):
    x = np.array([c[0] for c in counts], float)[:, None]; n = np.array([c[1] for c in counts], float)[:, None]
    const = special.gammaln(n + 1) - special.gammaln(x + 1) - special.gammaln(n - x + 1)
    def loglik(a, s):
        eta = a + s * Z[None, :]
        log = const + x * eta - n * np.logaddexp(0, eta)
        top = log.max(axis=1, keepdims=True)
        return float(np.sum(top[:, 0] + np.log(np.sum(np.exp(log - top) * WZ[None, :], axis=1))))
    return loglik


def hypergeometric_normal(tables, Z=Z[::3], WZ=3 * WZ[::3]):
    def one(a, n1, c, n2):
        t = a + c
        j = np.arange(max(0, t - n2), min(n1, t) + 1)
        coef = (special.gammaln(n1 + 1) - special.gammaln(j + 1) - special.gammaln(n1 - j + 1)
                + special.gammaln(n2 + 1) - special.gammaln(t - j + 1) - special.gammaln(n2 - t + j + 1))
        at = int(a - j[0])
        return j, coef, at
    parts = [one(a, n1, c, n2) for (a, n1), (c, n2) in tables if 0 < a + c < n1 + n2]
    def loglik(theta, s):
        total = 0.0
        for j, coef, at in parts:
            eta = (theta + s * Z)[:, None] * j[None, :] + coef[None, :]
            log = eta[:, at] - special.logsumexp(eta, axis=1)
            total += special.logsumexp(log, b=WZ)
        return float(total)
    return loglik, len(parts)


def beta_binomial(counts):
    """The products written out, which stay exact where the correlation is nearly none."""
    x = np.array([c[0] for c in counts]); n = np.array([c[1] for c in counts])
    const = np.sum(special.gammaln(n + 1.0) - special.gammaln(x + 1.0) - special.gammaln(n - x + 1.0))
    j = np.arange(n.max())
    events, rest, all_ = (np.sum(v[:, None] > j[None, :], axis=0) for v in (x, n - x, n))
    def loglik(t, s):
        d = j * s * s
        return float(const + np.sum(events * np.log(special.expit(t) + d) + rest * np.log(special.expit(-t) + d) - all_ * np.log1p(d)))
    return loglik


def best_over_s(f, upper=25.0):
    """Highest value over s from 0 up, looked for everywhere."""
    grid = np.concatenate([[0], np.geomspace(0.01, upper, 40)])
    values = np.array([f(s) for s in grid])
    i = int(values.argmax())
    lo, hi = grid[max(0, i - 1)], grid[min(len(grid) - 1, i + 1)]
    got = optimize.minimize_scalar(lambda s: -f(s), bounds=(lo, hi), method="bounded", options={"xatol": 1e-12})
    return max((values[i], grid[i]), (-got.fun, got.x))


def profile(loglik_ts, start, cuts, upper=25.0, reach=14.0):
    prof = lambda t: best_over_s(lambda s: loglik_ts(t, s), upper)[0]
    got = optimize.minimize_scalar(lambda t: -prof(t), bracket=(start - 0.3, start), options={"xtol": 1e-10})
    t, top = float(got.x), -float(got.fun)
    limits = {}
    for name, cut in cuts.items():
        if name == "calibrated": continue  # a limit like the others, at another cut-off
        ends = []
        for d in (-1, 1):
            far = 0.5
            while 2 * (top - prof(t + d * far)) < cut and far < reach: far *= 1.5
            ends.append(float(optimize.brentq(lambda u: 2 * (top - prof(u)) - cut, t, t + d * far, xtol=1e-11)))
        limits[name] = ends
    return {"t": t, "deviation": best_over_s(lambda s: loglik_ts(t, s), upper)[1], "logLikelihood": top, "limits": limits}


def over_mean(loglik):
    """The likelihood over the log odds of the mean of the studies."""
    def solve(t, s):
        if s == 0: return t
        return optimize.brentq(lambda a: log_odds_of_mean(a, s) - t, t - 1 - s * s - 3 * s, t + 1 + s * s + 3 * s, xtol=1e-13)
    return lambda t, s: loglik(solve(t, s), s)


def cut_offs(k):
    t2 = stats.t.ppf(0.975, k - 1)**2
    t_test = k * np.log1p(t2 / (k - 1))
    return {"chi-square": stats.chi2.ppf(0.95, 1), "f": stats.f.ppf(0.95, 1, k - 1), "t-test": t_test,
            "calibrated": max(t_test, stats.f.ppf(0.95, 1, max(k - 1, 6)))}


def posterior(loglik, scale, mean_sd):
    """Quantiles on a grid, the log odds of mean, median and next study."""
    taus = np.linspace(0, 6 * scale, 241); mus = np.linspace(-14, 6, 1001)
    logp = np.array([[loglik(m, t) for m in mus] for t in taus[::4]])  # coarse in tau, refined below by cubic spline
    from scipy.interpolate import CubicSpline
    logp = CubicSpline(taus[::4], logp, axis=0, bc_type=((1, np.zeros(len(mus))), "not-a-knot"))(taus)
    logp += -taus[:, None]**2 / (2 * scale**2) - mus[None, :]**2 / (2 * mean_sd**2)
    w = np.exp(logp - logp.max()); w[0] *= 0.5; w /= w.sum()
    def quantile(cdf, p): return float(optimize.brentq(lambda x: cdf(x) - p, -16, 8, xtol=1e-9))
    cum = np.cumsum(w, axis=1) - w / 2
    def cdf_mu(x, shift=None):
        return sum(np.interp(x if shift is None else shift[i], mus, cum[i]) for i in range(len(taus)))
    z, wz = Z[::12], 12 * WZ[::12]
    at = [mus] + [np.log(special.expit(mus[:, None] + s * z) @ wz) - np.log(special.expit(-mus[:, None] - s * z) @ wz)
                  for s in taus[1:]]
    def cdf_mean(x): return cdf_mu(x, [np.interp(x, at[i], mus) for i in range(len(taus))])
    def cdf_next(x):
        total = np.interp(x, mus, cum[0])
        for i in range(1, len(taus)): total += np.sum(w[i] * special.ndtr((x - mus) / taus[i]))
        return total
    tail = (0.025, 0.5, 0.975)
    return {"median study": [quantile(cdf_mu, p) for p in tail], "mean of studies": [quantile(cdf_mean, p) for p in tail],
            "next study": [quantile(cdf_next, p) for p in tail]}


def dersimonian_laird(counts, scale, added, interval):
    y, v = [], []
    for x, n in counts:
        if scale == "arcsine": y.append(np.arcsin(np.sqrt(x / n))); v.append(1 / (4 * n))
        else:
            if x in (0, n):
                if added == 0: continue
                x, n = x + added, n + 2 * added
            y.append(np.log(x / (n - x))); v.append(1 / x + 1 / (n - x))
    y, v = np.array(y), np.array(v); k = len(y); w = 1 / v
    m = np.sum(w * y) / np.sum(w); q = np.sum(w * (y - m)**2)
    tau2 = max(0.0, (q - (k - 1)) / (np.sum(w) - np.sum(w**2) / np.sum(w)))
    w = 1 / (v + tau2); m = np.sum(w * y) / np.sum(w)
    wald = np.sqrt(1 / np.sum(w)); hk = np.sqrt(np.sum(w * (y - m)**2) / ((k - 1) * np.sum(w)))
    t = stats.t.ppf(0.975, k - 1)
    half = {"wald": stats.norm.ppf(0.975) * wald, "hartung-knapp": t * hk, "truncated-hartung-knapp": t * max(hk, wald)}[interval]
    back = (lambda u: float(np.sin(min(max(u, 0), np.pi / 2))**2)) if scale == "arcsine" else (lambda u: float(special.expit(u)))
    return [back(m), back(m - half), back(m + half)]


def ratio(counts):
    x = np.array([c[0] for c in counts], float); n = np.array([c[1] for c in counts], float); k = len(x)
    r = x.sum() / n.sum()
    se = np.sqrt(k / (k - 1) * np.sum((x - r * n)**2)) / n.sum() / (r * (1 - r))
    half = stats.t.ppf(0.975, k - 1) * se
    return [r] + [float(special.expit(special.logit(r) + d * half)) for d in (-1, 1)]


rates = {
    "five small": [[0, 24], [3, 40], [1, 66], [0, 33], [1, 50]],
    "seven with a giant": [[0, 12], [1, 30], [0, 45], [4, 60], [2, 110], [3, 250], [41, 1000]],
    "thirteen": [[1, 50], [0, 60], [3, 72], [0, 85], [1, 100], [2, 115], [0, 130], [5, 150], [1, 170], [2, 200], [9, 230], [0, 270], [3, 305]],
    "one rate": [[3, 24], [3, 40], [4, 66], [3, 33], [4, 50], [5, 61]],
    "common": [[10, 40], [22, 51], [8, 66], [30, 90], [25, 45], [12, 80]],
}
out = {"made": {"by": "quoted.py", "date": datetime.date.today().isoformat(), "python": sys.version.split()[0],
                "mpmath": mp.__version__, "numpy": np.__version__, "scipy": scipy.__version__},
       "meanOfStudies": [{"a": a, "s": s, "rate": mp.nstr(mean_of_studies_exact(a, s), 25),
                          "rest": mp.nstr(mean_of_studies_exact(-a, s), 25)}
                         for a in (-12, -5, -2.3, 0, 1.7, 6) for s in (0.05, 0.5, 1, 2.5, 6, 15)],
       "rates": {}, "comparisons": {}}
for name, counts in rates.items():
    k = len(counts); loglik = binomial_normal(counts); crude = special.logit(sum(c[0] for c in counts) / sum(c[1] for c in counts))
    out["rates"][name] = {
        "counts": counts, "cutOffs": cut_offs(k),
        "median": profile(loglik, crude, cut_offs(k), upper=12.0), "mean": profile(over_mean(loglik), crude, cut_offs(k), upper=8.0),
        "betaBinomial": profile(beta_binomial(counts), crude, cut_offs(k), upper=2.5),
        "dersimonianLaird": {f"{s}{r}-{i}": dersimonian_laird(counts, s, 0.5 if r == "-half-added" else 0, i)
                             for s, r in (("arcsine", ""), ("logit", "-half-added"), ("logit", "-nothing-added"))
                             for i in ("wald", "hartung-knapp", "truncated-hartung-knapp")},
        "ratio": ratio(counts)}
    print(name, flush=True)
tables_of = {"sparse": [(t["treated"], t["comparator"]) for t in data["twoArm"]["sparse"]["tables"]],
             "uneven": [[[2, 60], [3, 31]], [[0, 45], [1, 20]], [[6, 80], [2, 75]], [[1, 120], [4, 40]], [[3, 35], [0, 33]]]}
for name, tables in tables_of.items():
    loglik, k = hypergeometric_normal(tables)
    out["comparisons"][name] = {"tables": tables, "studies": k, "hypergeometricNormal": profile(loglik, 0.0, cut_offs(k), upper=25.0)}
    print(name, flush=True)
json.dump(out, open("quoted.json", "w"), indent=1)
for name in ("five small", "common"):
    out["rates"][name]["posterior"] = {f"{s} {m}": posterior(binomial_normal(rates[name], Z[::6], 6 * WZ[::6]), s, m) for s, m in ((0.5, 2.5), (1, 2.5), (1, 10))}
    print("posterior", name, flush=True)
json.dump(out, open("quoted.json", "w"), indent=1)
