"""Makes rareEventsPython.json: reference values from mpmath (closed forms and exact distributions at 40 digits)
and numpy/scipy (likelihoods written out, integrated by the trapezoid rule) for tests/pooling/rareEvents.

Run in this folder: python3 rareEventsPython.py
"""
import datetime, json, sys
import mpmath as mp, numpy as np, scipy
from scipy import optimize, special

mp.mp.dps = 40
data = json.load(open("rareEventsData.json"))
Z = mp.sqrt(2) * mp.erfinv(mp.mpf("0.95"))


def closed_forms(tables):
    R = S = PR = X = QS = num = den = rr = w = d = gr = P = Q = O = V = QP = mp.mpf(0)
    arcs = []
    for (a, n1), (c, n2) in tables:
        a, n1, c, n2 = map(mp.mpf, (a, n1, c, n2)); b, dd, N = n1 - a, n2 - c, n1 + n2
        r, s, p, q = a * dd / N, b * c / N, (a + dd) / N, (b + c) / N
        R += r; S += s; PR += p * r; X += p * s + q * r; QS += q * s
        num += a * n2 / N; den += c * n1 / N; rr += (n1 * n2 * (a + c) - a * c * N) / N**2
        d += (a * n2 - c * n1) / N; w += n1 * n2 / N
        gr += (a * b * n2**3 + c * dd * n1**3) / (n1 * n2 * N**2)
        P += (n1**2 * c - n2**2 * a + n1 * n2 * (n2 - n1) / 2) / N**2; Q += (a * dd + c * b) / (2 * N)
        v = n1 * n2 * (a + c) * (b + dd) / (N**2 * (N - 1))
        o = a - n1 * (a + c) / N
        O += o; V += v; QP += o**2 / v if v > 0 else 0
        arcs.append((mp.asin(mp.sqrt(a / n1)) - mp.asin(mp.sqrt(c / n2)), 1 / (4 * n1) + 1 / (4 * n2)))
    out = {"riskDifference": d / w, "riskDifferenceGreenlandRobins": mp.sqrt(gr) / w,
           "riskDifferenceSato": mp.sqrt(d / w * P + Q) / w,
           "peto": O / V, "petoStandardError": 1 / mp.sqrt(V), "petoQ": QP - O**2 / V, "chiSquare": O**2 / V}
    if R > 0 and S > 0:
        out |= {"logOddsRatio": mp.log(R / S), "oddsRatioStandardError": mp.sqrt(PR / (2 * R**2) + X / (2 * R * S) + QS / (2 * S**2)),
                "logRiskRatio": mp.log(num / den), "riskRatioStandardError": mp.sqrt(rr / (num * den))}
    weights = [1 / v for _, v in arcs]
    mean = sum(wt * y for wt, (y, _) in zip(weights, arcs)) / sum(weights)
    q = sum(wt * (y - mean)**2 for wt, (y, _) in zip(weights, arcs))
    tau2 = max(mp.mpf(0), (q - (len(arcs) - 1)) / (sum(weights) - sum(wt**2 for wt in weights) / sum(weights)))
    weights = [1 / (v + tau2) for _, v in arcs]
    out |= {"arcsine": sum(wt * y for wt, (y, _) in zip(weights, arcs)) / sum(weights),
            "arcsineStandardError": 1 / mp.sqrt(sum(weights)), "arcsineDeviation": mp.sqrt(tau2)}
    return {k: float(v) for k, v in out.items()}


def polynomial(a, n1, c, n2):
    t = a + c
    lo, hi = max(0, t - n2), min(n1, t)
    return lo, [mp.binomial(n1, k) * mp.binomial(n2, t - k) for k in range(lo, hi + 1)]


def exact(tables):
    """Conditional maximum, its standard error, profile interval, exact tails and interval from the whole distribution."""
    product, low, observed, singles = [mp.mpf(1)], 0, 0, []
    for (a, n1), (c, n2) in tables:
        if a + c in (0, n1 + n2): continue
        lo, poly = polynomial(a, n1, c, n2)
        singles.append((a, lo, poly))
        low += lo; observed += a
        new = [mp.mpf(0)] * (len(product) + len(poly) - 1)
        for i, x in enumerate(product):
            for j, y in enumerate(poly): new[i + j] += x * y
        product = new
    at = observed - low

    def tails(theta):
        psi = mp.exp(theta)
        terms, power = [], mp.mpf(1)
        for x in product: terms.append(x * power); power *= psi
        total = mp.fsum(terms)
        return mp.fsum(terms[: at + 1]) / total, mp.fsum(terms[at:]) / total

    def log_likelihood(theta):
        value = mp.mpf(0)
        for a, lo, poly in singles:
            psi, total, power = mp.exp(theta), mp.mpf(0), mp.exp(theta * lo)
            for x in poly: total += x * power; power *= psi
            value += mp.log(poly[a - lo]) + a * theta - mp.log(total)
        return value

    def score(theta):
        value = mp.mpf(0)
        for a, lo, poly in singles:
            psi, total, first, power = mp.exp(theta), mp.mpf(0), mp.mpf(0), mp.mpf(1)
            for k, x in enumerate(poly): total += x * power; first += (lo + k) * x * power; power *= psi
            value += a - first / total
        return value

    def solve(f, lo, hi):
        return mp.findroot(f, (lo, hi), solver="anderson", tol=mp.mpf(10)**-30)

    tail = mp.mpf("0.025")
    none = tails(mp.mpf(0))
    out = {"atMost": none[0], "atLeast": none[1]}
    start = mp.mpf(0)
    if 0 < at < len(product) - 1:
        top = solve(score, -4, 4)
        se = 1 / mp.sqrt(-mp.diff(score, top))
        out |= {"value": top, "standardError": se, "logLikelihood": log_likelihood(top)}
        f = lambda t: 2 * (log_likelihood(top) - log_likelihood(t)) - Z**2
        out["profile"] = [solve(f, top - 2.5 * se, top - 1.5 * se), solve(f, top + 1.5 * se, top + 2.5 * se)]
        out["exact"] = [solve(lambda t: mp.log(tails(t)[1] / tail), top - 3 * se, top - se),
                        solve(lambda t: mp.log(tails(t)[0] / tail), top + se, top + 3 * se)]
    else:
        out["upper"] = solve(lambda t: mp.log(tails(t)[0] / tail), -3, 3)
        out["profileUpper"] = solve(lambda t: -2 * log_likelihood(t) - Z**2, -3, 3)
    conv = lambda v: [float(x) for x in v] if isinstance(v, list) else float(v)
    return {k: conv(v) for k, v in out.items()}


U = np.linspace(-11, 11, 881)
LOGW = -U**2 / 2 - np.log(2 * np.pi) / 2 + np.log(U[1] - U[0])


def fit(loglik, start):
    """Maximum by a simplex, then Newton on central differences of fourth order; inverse of the curvature."""
    x = optimize.minimize(lambda p: -loglik(p), start, method="Nelder-Mead",
                          options={"xatol": 1e-7, "fatol": 1e-11, "maxiter": 6000, "maxfev": 6000}).x
    n, h = len(x), 2e-3
    E = np.eye(n) * h

    def derivatives(x):
        g, H = np.zeros(n), np.zeros((n, n))
        f0 = loglik(x)
        for i in range(n):
            f = [loglik(x + k * E[i]) for k in (-2, -1, 1, 2)]
            g[i] = (f[0] - 8 * f[1] + 8 * f[2] - f[3]) / (12 * h)
            H[i, i] = (-f[0] + 16 * f[1] - 30 * f0 + 16 * f[2] - f[3]) / (12 * h * h)
            for j in range(i):
                m = lambda s: (loglik(x + s * (E[i] + E[j])) - loglik(x + s * (E[i] - E[j]))
                               - loglik(x - s * (E[i] - E[j])) + loglik(x - s * (E[i] + E[j]))) / (4 * s * s * h * h)
                H[i, j] = H[j, i] = (4 * m(1) - m(2)) / 3
        return g, H

    for _ in range(6):
        g, H = derivatives(x)
        step = np.linalg.solve(H, -g)
        x = x + step
        if np.max(np.abs(step)) < 1e-11: break
    g, H = derivatives(x)
    return x, np.linalg.inv(-H), float(loglik(x))


def logsumexp(m): return special.logsumexp(m, axis=-1)


def choose(n, k): return special.gammaln(n + 1) - special.gammaln(k + 1) - special.gammaln(n - k + 1)


def binomial(x, n, eta): return x * eta - n * np.logaddexp(0, eta)


def summary(f, effect, deviation):
    if f is None: return None
    x, cov, l = f
    return {"value": float(x[effect]), "standardError": float(np.sqrt(cov[effect, effect])),
            "deviation": abs(float(x[deviation])), "logLikelihood": l}


def beta_binomial_fit(groups):
    """By beta functions; found in double precision, then Newton on differences at 40 digits."""
    def loglik(p, m=np, lgamma=special.gammaln):
        total, s = 0, m.exp(p[-1])
        beta = lambda a, b: lgamma(a) + lgamma(b) - lgamma(a + b)
        for logit, counts in zip(p, groups):
            mean = 1 / (1 + m.exp(-logit))
            for x, n in counts:
                total += lgamma(n + 1) - lgamma(x + 1) - lgamma(n - x + 1)
                total += beta(x + mean * s, n - x + (1 - mean) * s) - beta(mean * s, (1 - mean) * s)
        return total
    start = [float(np.log(sum(x for x, _ in g) / sum(n - x for x, n in g))) for g in groups] + [3.0]
    found = optimize.minimize(lambda p: -loglik(p), start, method="Nelder-Mead",
                              options={"xatol": 1e-6, "fatol": 1e-10, "maxiter": 4000}).x
    f = lambda p: loglik(p, mp, mp.loggamma)
    x, n, h = [mp.mpf(float(v)) for v in found], len(found), mp.mpf(10)**-9
    unit = lambda i, k=1: [k * h if j == i else mp.mpf(0) for j in range(n)]
    plus = lambda *vs: [sum(c) for c in zip(*vs)]
    for _ in range(7):
        f0 = f(x)
        up = [f(plus(x, unit(i))) for i in range(n)]; down = [f(plus(x, unit(i, -1))) for i in range(n)]
        g = mp.matrix([(u - d) / (2 * h) for u, d in zip(up, down)])
        H = mp.matrix(n, n)
        for i in range(n):
            H[i, i] = (up[i] - 2 * f0 + down[i]) / h**2
            for j in range(i):
                both = f(plus(x, unit(i), unit(j))) + f(plus(x, unit(i, -1), unit(j, -1)))
                H[i, j] = H[j, i] = (both - up[i] - up[j] - down[i] - down[j] + 2 * f0) / (2 * h**2)
        step = mp.lu_solve(H, -g)
        x = [a + b for a, b in zip(x, step)]
    cov = (-H)**-1
    return np.array([float(v) for v in x]), np.array([[float(cov[i, j]) for j in range(n)] for i in range(n)]), float(f(x))


def two_arm(tables):
    informative = [t for t in tables if t[0][0] + t[1][0] not in (0, t[0][1] + t[1][1])]
    out = {"closed": closed_forms(tables), "conditional": exact(tables)}
    if sum(t[0][0] for t in tables) == 0: return out
    prepared = []
    for (a, n1), (c, n2) in informative:
        s = np.arange(max(0, a + c - n2), min(n1, a + c) + 1)
        prepared.append((a, s, choose(n1, s) + choose(n2, a + c - s)))

    def hypergeometric(p):
        total = 0.0
        for a, s, lc in prepared:
            theta = p[0] + p[1] * U
            l = lc[s == a][0] + a * theta - logsumexp(lc + np.outer(theta, s))
            total += logsumexp(l + LOGW)
        return total

    start = out["conditional"]["value"]
    f = fit(hypergeometric, [start, 0.4])
    out["hypergeometricNormal"] = summary(f, 0, 1)

    # Random intercepts, independent of the effect: both integrated on one grid.
    # The step must be no wider than the spread of the integrand, which is narrow for large studies.
    most = max(t[0][1] + t[1][1] for t in tables)
    grids = [np.linspace(-8, 8, 1025 if most > 5000 else 129), np.linspace(-8, 8, 193 if most > 5000 else 129)]
    lws = [-g**2 / 2 - np.log(2 * np.pi) / 2 + np.log(g[1] - g[0]) for g in grids]
    LW = lws[0][:, None] + lws[1][None, :]

    def random_intercepts(p):
        mu, theta, sigma, tau = p
        total = 0.0
        for (a, n1), (c, n2) in tables:
            i, e = sigma * grids[0][:, None], (theta + tau * grids[1][None, :]) / 2
            l = choose(n1, a) + choose(n2, c) + binomial(a, n1, mu + i + e) + binomial(c, n2, mu + i - e) + LW
            total += special.logsumexp(l)
        return total

    logit = lambda p: np.log(p / (1 - p))
    base = logit(sum(t[0][0] + t[1][0] for t in tables) / sum(t[0][1] + t[1][1] for t in tables))
    out["randomIntercepts"] = summary(fit(random_intercepts, [base, start, 0.7, 0.4]), 1, 3)

    def common(p):
        total = 0.0
        for (a, n1), (c, n2) in tables:
            l = choose(n1, a) + choose(n2, c) + binomial(a, n1, p[0] + p[1] / 2 + p[2] * U) + binomial(c, n2, p[0] - p[1] / 2 + p[2] * U)
            total += logsumexp(l + LOGW)
        return total
    out["randomInterceptsCommon"] = summary(fit(common, [base, start, 0.7]), 1, 2)

    def fixed(p):
        """Every intercept at its best, study by study."""
        total = 0.0
        e = (p[0] + p[1] * U) / 2
        for (a, n1), (c, n2) in informative:
            f = lambda g: -logsumexp(binomial(a, n1, g + e) + binomial(c, n2, g - e) + LOGW)
            r = optimize.minimize_scalar(f, bracket=(logit((a + c) / (n1 + n2)) - 0.2, logit((a + c) / (n1 + n2)) + 0.2), tol=1e-11)
            total += choose(n1, a) + choose(n2, c) - r.fun
        return total
    out["fixedIntercepts"] = summary(fit(fixed, [start, 0.4]), 0, 1)

    x, cov, l = beta_binomial_fit([[t[0] for t in tables], [t[1] for t in tables]])
    m1, m2 = special.expit(x[:2])
    se = lambda g: float(np.sqrt(np.array(g) @ cov[:2, :2] @ np.array(g)))
    out["betaBinomial"] = {"overdispersion": float(1 / (1 + np.exp(x[2]))), "logLikelihood": l,
        "odds-ratio": [float(x[0] - x[1]), se([1, -1])],
        "risk-ratio": [float(np.log(m1 / m2)), se([1 - m1, m2 - 1])],
        "risk-difference": [float(m1 - m2), se([m1 * (1 - m1), -m2 * (1 - m2)])]}
    return out


def one_arm(arms):
    x = np.array([a["count"][0] for a in arms]); n = np.array([a["count"][1] for a in arms])
    years = n * np.array([a["followUpMonths"] for a in arms]) / 12

    def mixed(term):
        return lambda p: sum(logsumexp(term(i, p[0] + p[1] * U) + LOGW) for i in range(len(x)))

    def cloglog(i, eta):
        h = np.exp(np.minimum(eta, 50))
        return choose(n[i], x[i]) + (x[i] * np.log(-np.expm1(-h)) if x[i] else 0) - (n[i] - x[i]) * h
    poisson = lambda i, eta: x[i] * (eta + np.log(years[i])) - years[i] * np.exp(np.minimum(eta, 50)) - special.gammaln(x[i] + 1)
    rate = x.sum() / n.sum()

    v, cov, l = beta_binomial_fit([[tuple(a["count"]) for a in arms]])
    return {"complementaryLogLog": summary(fit(mixed(cloglog), [np.log(-np.log(1 - rate)), 0.5]), 0, 1),
            "poisson": summary(fit(mixed(poisson), [np.log(x.sum() / years.sum()), 0.5]), 0, 1),
            "betaBinomial": {"mean": float(v[0]), "standardError": float(np.sqrt(cov[0, 0])),
                             "overdispersion": float(1 / (1 + np.exp(v[1]))), "logLikelihood": l}}


pairs = lambda d: [(tuple(t["treated"]), tuple(t["comparator"])) for t in d["tables"]]
result = {
    "madeWith": f"Python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}, mpmath {mp.__version__}",
    "madeOn": str(datetime.date.today()), "script": "tests/reference/rareEventsPython.py",
    "twoArm": {}, "oneArm": {k: one_arm(d["arms"]) for k, d in data["oneArm"].items()}}
for key, d in data["twoArm"].items():
    print(key, flush=True)
    result["twoArm"][key] = two_arm(pairs(d))
json.dump(result, open("rareEventsPython.json", "w"), indent=1)
