"""Reference values for meta-regression, arm-level regression and the bivariate model, by dense matrices in numpy.

Everything is written from the definitions (P = W - WX(X'WX)^-1 X'W and so on) with no attempt at speed, so that it
shares neither code nor arrangement with the library. Data are drawn here, from a fixed seed, and kept in the file.

Run: python3 tests/reference/moderators.py > tests/reference/moderators-python.json
"""
import datetime, json, platform
import numpy as np, scipy
from scipy import stats
from scipy.optimize import brentq, minimize

rng = np.random.default_rng(20261125)


def projection(X, w):
    W = np.diag(w)
    return W - W @ X @ np.linalg.inv(X.T @ W @ X) @ X.T @ W


def variances(y, v, X):
    k, p = X.shape
    at = lambda t: projection(X, 1 / (v + t))
    q = lambda t: y @ at(t) @ y
    root = lambda target: 0.0 if q(0) <= target else brentq(lambda t: q(t) - target, 0, 1e3, xtol=1e-16, rtol=1e-15)
    dl = max(0, (q(0) - (k - p)) / np.trace(at(0)))
    two = max(0, (q(dl) - np.trace(at(dl) @ np.diag(v))) / np.trace(at(dl)))
    M = projection(X, np.ones(k))
    ho = max(0, (y @ M @ y - np.trace(M @ np.diag(v))) / (k - p))
    t0 = y @ M @ y / k
    sj = y @ projection(X, 1 / (v / t0 + 1)) @ y / (k - p)
    hs = max(0, (q(0) - k) / np.sum(1 / v))
    full = lambda t: -0.5 * (np.sum(1 / (v + t)) - y @ at(t) @ at(t) @ y)
    rest = lambda t: -0.5 * (np.trace(at(t)) - y @ at(t) @ at(t) @ y)
    peak = lambda f: 0.0 if f(0) <= 0 else brentq(f, 0, 1e2, xtol=1e-16, rtol=1e-15)
    pm = root(k - p)
    interval = [root(stats.chi2.ppf(0.975, k - p)), root(stats.chi2.ppf(0.025, k - p))]
    return {"dersimonian-laird": dl, "two-step-dersimonian-laird": two, "paule-mandel": pm, "hedges-olkin": ho,
            "sidik-jonkman": sj, "hunter-schmidt": hs, "maximum-likelihood": peak(full),
            "restricted-maximum-likelihood": peak(rest), "empirical-bayes": pm}, interval, q(0)


def fit(y, v, X, t):
    k, p = X.shape
    W = np.diag(1 / (v + t))
    C = np.linalg.inv(X.T @ W @ X)
    b = C @ X.T @ W @ y
    r = y - X @ b
    s = r @ W @ r / (k - p)
    H = X @ C @ X.T @ W
    F = b[1:] @ np.linalg.inv(C[1:, 1:]) @ b[1:] / s / (p - 1)
    return {"coefficients": b.tolist(), "waldErrors": np.sqrt(np.diag(C)).tolist(),
            "knappHartungErrors": np.sqrt(np.diag(C) * s).tolist(),
            "knappHartungP": (2 * stats.t.sf(np.abs(b / np.sqrt(np.diag(C) * s)), k - p)).tolist(),
            "waldP": (2 * stats.norm.sf(np.abs(b / np.sqrt(np.diag(C))))).tolist(),
            "leverage": np.diag(H).tolist(), "F": F, "fP": float(stats.f.sf(F, p - 1, k - p)),
            "chiSquare": float(b[1:] @ np.linalg.inv(C[1:, 1:]) @ b[1:])}


def regression_set(name, k, spread):
    age = np.round(rng.normal(55, 5, k), 1)
    share = np.round(rng.uniform(0, 100, k), 1)
    design = rng.choice(["series", "cohort", "trial"], k)
    v = np.round(rng.uniform(0.02, 0.4, k), 4)
    y = np.round(-2.5 + 0.05 * (age - 55) + 0.01 * share + 0.3 * (design == "cohort")
                 + rng.normal(0, spread, k) + rng.normal(0, np.sqrt(v)), 4)
    X = np.column_stack([np.ones(k), age, share, design == "series", design == "trial"]).astype(float)
    estimates, interval, q = variances(y, v, X)
    return {"name": name, "value": y.tolist(), "variance": v.tolist(), "age": age.tolist(), "share": share.tolist(),
            "design": design.tolist(), "columns": ["intercept", "age", "share", "design=series", "design=trial"],
            "varianceEstimates": estimates, "interval": interval, "q": q,
            "fits": {m: fit(y, v, X, t) for m, t in estimates.items()}}


def half(A, power):
    e, U = np.linalg.eigh(A)
    keep = e > 1e-13 * e.max()
    e = np.where(keep, np.abs(e), 1) ** power * keep
    return U @ np.diag(e) @ U.T


def arm_set():
    study, site, share, y, v = [], [], [], [], []
    for s in range(16):
        u = rng.normal(0, 0.4)
        for place in rng.choice(["top", "supra", "sub"], rng.integers(1, 4), replace=False):
            c = float(np.round(rng.uniform(0, 100), 1)); w = float(np.round(rng.uniform(0.03, 0.3), 4))
            study.append(f"s{s}"); site.append(str(place)); share.append(c); v.append(w)
            y.append(float(np.round(-2.4 + 0.01 * c + (place == "top") * 0.2 + u + rng.normal(0, 0.45) + rng.normal(0, np.sqrt(w)), 4)))
    study, site = np.array(study), np.array(site)
    share, y, v = map(np.array, (share, y, v))
    n = len(y)
    same = (study[:, None] == study[None, :]).astype(float)
    X = np.column_stack([np.ones(n), site == "sub", site == "top", share / 1.0]).astype(float)
    Z = X * np.array([1, 1, 1, 0.01])

    def minus(theta):
        O = np.diag(v + theta[1] ** 2) + theta[0] ** 2 * same
        A = np.linalg.inv(O); C = np.linalg.inv(Z.T @ A @ Z)
        P = A - A @ Z @ C @ Z.T @ A
        return 0.5 * (np.linalg.slogdet(O)[1] - np.linalg.slogdet(C)[1] + y @ P @ y)
    best = min((minimize(minus, s, method="Nelder-Mead", options={"xatol": 1e-12, "fatol": 1e-14, "maxiter": 20000})
                for s in ([0.4, 0.3], [0.1, 0.5], [0.5, 0.05])), key=lambda f: f.fun)
    between, within = (best.x ** 2).tolist()
    O = np.diag(v + within) + between * same
    A = np.linalg.inv(O); C = np.linalg.inv(X.T @ A @ X); b = C @ X.T @ A @ y; e = y - X @ b
    robust, dfs = [], []
    contrasts = np.array([[1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1], [0, 1, -1, 0.0]])
    H = np.eye(n) - X @ C @ X.T @ A
    for c in contrasts:
        vecs, total = [], 0.0
        for s in dict.fromkeys(study):
            i = np.where(study == s)[0]
            R = half(O[np.ix_(i, i)], 0.5)
            free = O[np.ix_(i, i)] - X[i] @ C @ X[i].T
            adj = R @ half(R @ free @ R, -0.5) @ R
            g = adj.T @ np.linalg.inv(O[np.ix_(i, i)]) @ X[i] @ C @ c
            total += (g @ e[i]) ** 2
            vecs.append(H[i].T @ g)
        G = np.array(vecs)
        K = G @ O @ G.T
        robust.append(np.sqrt(total)); dfs.append(np.trace(K) ** 2 / np.sum(K * K))
    return {"study": study.tolist(), "site": site.tolist(), "share": share.tolist(), "value": y.tolist(), "variance": v.tolist(),
            "components": [between, within], "coefficients": b.tolist(), "modelErrors": np.sqrt(np.diag(C)).tolist(),
            "robustErrors": robust, "robustDegreesOfFreedom": dfs}


def bivariate_set():
    units = []
    Psi = np.array([[0.2, 0.08], [0.08, 0.15]])
    for i in range(18):
        v = np.round(rng.uniform(0.03, 0.25, 2), 4)
        m = rng.multivariate_normal([-2.3, -2.0], Psi) + rng.normal(0, np.sqrt(v))
        m = np.round(m, 4)
        units.append({"first": None if i in (4, 11) else [float(m[0]), float(v[0])],
                      "second": None if i in (7,) else [float(m[1]), float(v[1])]})
    out = []
    for rho in (0.0, 0.4):
        def parts(theta, restricted):
            L = np.array([[theta[0], 0], [theta[1], theta[2]]]); P = L @ L.T
            logs = q = 0; A = np.zeros((2, 2)); r = np.zeros(2); pieces = []
            for u in units:
                idx = [j for j, o in enumerate((u["first"], u["second"])) if o]
                val = np.array([(u["first"], u["second"])[j][0] for j in idx]); s = np.sqrt([(u["first"], u["second"])[j][1] for j in idx])
                R = np.full((len(idx), len(idx)), rho); np.fill_diagonal(R, 1)
                O = np.outer(s, s) * R + P[np.ix_(idx, idx)]
                E = np.eye(2)[idx]; I = np.linalg.inv(O)
                logs += np.linalg.slogdet(O)[1]; A += E.T @ I @ E; r += E.T @ I @ val; pieces.append((E, I, val))
            mu = np.linalg.solve(A, r)
            q = sum((val - E @ mu) @ I @ (val - E @ mu) for E, I, val in pieces)
            return 0.5 * (logs + q + (np.linalg.slogdet(A)[1] if restricted else 0)), mu, np.linalg.inv(A), P, q
        for restricted in (True, False):
            best = min((minimize(lambda t: parts(t, restricted)[0], s, method="Nelder-Mead",
                                 options={"xatol": 1e-12, "fatol": 1e-14, "maxiter": 40000, "maxfev": 40000})
                        for s in ([0.4, 0.1, 0.3], [0.3, -0.1, 0.3])), key=lambda f: f.fun)
            value, mu, C, P, q = parts(best.x, restricted)
            out.append({"correlation": rho, "restricted": restricted, "means": mu.tolist(), "covariance": [C[0, 0], C[0, 1], C[1, 1]],
                        "between": [P[0, 0], P[0, 1], P[1, 1]], "logLikelihood": -value, "q": q})
    return {"units": units, "fits": out}


print(json.dumps({"madeBy": "tests/reference/moderators.py", "date": str(datetime.date.today()),
                  "versions": {"python": platform.python_version(), "numpy": np.__version__, "scipy": scipy.__version__},
                  "regressions": [regression_set("22 studies, spread 0.3", 22, 0.3), regression_set("9 studies, spread 0.6", 9, 0.6)],
                  "arms": arm_set(), "bivariate": bivariate_set()}, indent=1))
