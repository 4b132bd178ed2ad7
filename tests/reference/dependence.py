"""Reference values for dependence within studies, from the written-out formulas in numpy and scipy.

Run: python3 tests/reference/dependence.py > tests/reference/dependence-python.json
Three-level model: restricted and full log-likelihood with the whole N x N covariance (no clusterwise algebra),
maximised by Nelder-Mead from several starts and polished. Cluster-robust: full matrices, Bell & McCaffrey's
adjustment, Satterthwaite from the whole projection matrix.
"""
import datetime
import json
import numpy as np
import scipy
from scipy.linalg import sqrtm
from scipy.optimize import minimize

SETS = {
    # invented estimates: study, value, variance
    "eleven in five": dict(
        study=[0, 0, 0, 1, 1, 2, 2, 2, 3, 4, 4],
        value=[0.31, 0.42, 0.18, 0.75, 0.91, -0.12, 0.05, 0.11, 0.40, 1.02, 0.66],
        variance=[0.040, 0.050, 0.045, 0.090, 0.080, 0.020, 0.025, 0.022, 0.150, 0.110, 0.120],
        correlation=0.0,
    ),
    "correlated": dict(
        study=[0, 0, 0, 1, 1, 2, 2, 2, 3, 4, 4],
        value=[0.31, 0.42, 0.18, 0.75, 0.91, -0.12, 0.05, 0.11, 0.40, 1.02, 0.66],
        variance=[0.040, 0.050, 0.045, 0.090, 0.080, 0.020, 0.025, 0.022, 0.150, 0.110, 0.120],
        correlation=0.6,
    ),
    "wide within": dict(
        study=[0, 0, 1, 1, 1, 2, 2, 3, 3, 3, 4, 5, 5, 6, 6],
        value=[0.2, 1.4, 0.9, -0.4, 0.1, 0.7, 1.9, -0.3, 0.6, 1.2, 0.5, 2.0, 0.8, 0.1, 1.1],
        variance=[0.03, 0.05, 0.04, 0.06, 0.05, 0.08, 0.07, 0.02, 0.03, 0.03, 0.09, 0.10, 0.12, 0.05, 0.04],
        correlation=0.3,
    ),
}


def sampling(data):
    study, v, r = np.array(data["study"]), np.array(data["variance"]), data["correlation"]
    same = study[:, None] == study[None, :]
    return np.where(same, r * np.sqrt(np.outer(v, v)), 0) + np.diag((1 - r) * v), same.astype(float)


def loglik(theta, data, restricted):
    y = np.array(data["value"])
    V, same = sampling(data)
    omega = V + theta[0] * same + theta[1] * np.eye(len(y))
    inv = np.linalg.inv(omega)
    one = np.ones(len(y))
    s = one @ inv @ one
    mu = one @ inv @ y / s
    r = y - mu
    n = len(y) - (1 if restricted else 0)
    ll = -0.5 * (n * np.log(2 * np.pi) + np.linalg.slogdet(omega)[1] + (np.log(s) if restricted else 0) + r @ inv @ r)
    return ll, mu, s ** -0.5


def fit(data, restricted):
    best = None
    for a in (0.01, 0.1, 0.5):
        for b in (0.001, 0.05, 0.3):
            x = np.sqrt([a, b])
            for _ in range(3):
                x = minimize(lambda t: -loglik(t ** 2, data, restricted)[0], x, method="Nelder-Mead",
                             options=dict(xatol=1e-12, fatol=1e-14, maxiter=20000, maxfev=20000)).x
            ll = loglik(x ** 2, data, restricted)
            if best is None or ll[0] > best[1][0]:
                best = (x ** 2, ll)
    return dict(betweenStudies=best[0][0], withinStudies=best[0][1], logLikelihood=best[1][0], mean=best[1][1], standardError=best[1][2])


def robust(data, between, within):
    y = np.array(data["value"])
    V, same = sampling(data)
    phi = V + between * same + within * np.eye(len(y))
    W = np.linalg.inv(phi)
    X = np.ones((len(y), 1))
    M = np.linalg.inv(X.T @ W @ X)
    H = X @ M @ X.T @ W
    residual = y - (H @ y)
    IH = np.eye(len(y)) - H
    meat = 0.0
    P = []
    for j in sorted(set(data["study"])):
        rows = np.array(data["study"]) == j
        root = np.real(sqrtm(phi[np.ix_(rows, rows)]))
        left = (IH @ phi @ IH.T)[np.ix_(rows, rows)]
        A = root @ np.linalg.inv(np.real(sqrtm(root @ left @ root))) @ root
        g = A.T @ W[np.ix_(rows, rows)] @ X[rows] @ M
        meat += float((g.T @ residual[rows])[0]) ** 2
        P.append(IH[rows].T @ g)
    P = np.hstack(P)
    G = P.T @ phi @ P
    return dict(mean=float((M @ X.T @ W @ y)[0]), standardError=meat ** 0.5,
                degreesOfFreedom=float(np.trace(G) ** 2 / np.sum(G ** 2)))


out = dict(
    madeBy="tests/reference/dependence.py",
    date=str(datetime.date.today()),
    versions=dict(numpy=np.__version__, scipy=scipy.__version__),
    tolerance=1e-6,
    sets=[
        dict(name=name, **data, restricted=fit(data, True), full=fit(data, False),
             robust=[dict(betweenStudies=b, withinStudies=w, **robust(data, b, w)) for b, w in ((0.1, 0.02), (0.0, 0.0), (0.5, 0.2))])
        for name, data in SETS.items()
    ],
)
print(json.dumps(out, indent=1))
