"""Reference values for the Bayesian pools, by brute force and independent of the library's own quadrature.

Every integral is a plain trapezoid sum on a fixed even grid: the mean, the logarithm of the standard deviation and,
in the binomial model, each study's logit in units of tau (so that a small tau needs no finer grid). The normal
model is summed over the mean too, from the definition, so that the library's closed forms are checked. Two grid
sizes are run; the largest relative difference between them is stored as `gridDifference`.

Writes bayesian.json next to itself. Run: python3 tests/reference/bayesian.py
"""
import datetime, json, os, platform
import numpy as np
import scipy
from scipy import interpolate, optimize, special, stats

here = os.path.dirname(os.path.abspath(__file__))


def log_prior(prior, tau):
    kind = prior["kind"]
    if kind == "half-normal":
        return stats.halfnorm.logpdf(tau, scale=prior["scale"])
    if kind == "half-cauchy":
        return stats.halfcauchy.logpdf(tau, scale=prior["scale"])
    if kind == "uniform":
        return stats.uniform.logpdf(tau, 0, prior["upper"])
    if kind == "flat":
        return np.zeros_like(tau)
    if kind == "log-normal":
        return stats.lognorm.logpdf(tau, prior["logDeviation"], scale=np.exp(prior["logMean"]))
    if kind == "gamma-on-precision":
        # p(tau) = p(precision) |d precision / d tau|, precision = tau^-2
        return stats.gamma.logpdf(tau**-2.0, prior["shape"], scale=1 / prior["rate"]) + np.log(2) - 3 * np.log(tau)
    raise ValueError(kind)


def log_mean_prior(prior, mean):
    return np.zeros_like(mean) if prior["kind"] == "flat" else stats.norm.logpdf(mean, prior["mean"], prior["deviation"])


def quantile_from_grid(x, density, probabilities):
    """Quantiles from a fine grid: spline of the density, its antiderivative solved for the probability."""
    spline = interpolate.make_interp_spline(x, density, k=9)
    cumulative = spline.antiderivative()
    total = cumulative(x[-1])
    return [float(optimize.brentq(lambda q: cumulative(q) / total - p, x[0], x[-1], xtol=1e-13)) for p in probabilities]


# ---------------------------------------------------------------- normal-normal
def normal_grid(y, v, deviation_prior, mean_prior, mean_range, log_tau_range, sizes):
    means = np.linspace(*mean_range, sizes[0])[None, :]
    log_taus = np.linspace(*log_tau_range, sizes[1])[:, None]
    tau = np.exp(log_taus)
    logs = log_mean_prior(mean_prior, means) + log_prior(deviation_prior, tau) + log_taus
    for yi, vi in zip(y, v):
        logs = logs + stats.norm.logpdf(yi, means, np.sqrt(vi + tau**2))
    w = np.exp(logs - logs.max())
    edge = max(w[-1].max(), w[:, 0].max(), w[:, -1].max())
    average = lambda f: float((w * f).sum() / w.sum())
    mean = average(means + 0 * tau)
    deviation = np.sqrt(average((means - mean) ** 2 + 0 * tau))
    tau_mean = average(tau + 0 * means)
    effects = []
    for yi, vi in zip(y, v):
        # Given mean and tau a study's own value is normal (precision weighting); averaged over both.
        shrunk = (yi / vi + means / tau**2) / (1 / vi + 1 / tau**2)
        first = average(shrunk)
        effects.append([first, np.sqrt(average(1 / (1 / vi + 1 / tau**2) + (shrunk - first) ** 2))])
    probabilities = [0.025, 0.5, 0.975]
    return dict(mean=mean, meanDeviation=deviation, tauMean=tau_mean, tauDeviation=np.sqrt(average((tau - tau_mean) ** 2 + 0 * means)),
                meanQuantiles=quantile_from_grid(means[0], w.sum(axis=0), probabilities),
                tauQuantiles=list(np.exp(quantile_from_grid(log_taus[:, 0], w.sum(axis=1), probabilities))),
                studyEffects=effects), float(edge)


def normal_normal(name, values, variances, deviation_prior, mean_prior, mean_range, top):
    y, v = np.array(values, float), np.array(variances, float)
    range_tau = (np.log(1e-10 * min(top, 100)), np.log(top))
    fine, edge = normal_grid(y, v, deviation_prior, mean_prior, mean_range, range_tau, (1601, 1601))
    coarse, _ = normal_grid(y, v, deviation_prior, mean_prior, mean_range, range_tau, (1301, 1301))
    return dict(name=name, values=list(map(float, y)), variances=list(map(float, v)), deviationPrior=deviation_prior, meanPrior=mean_prior,
                gridDifference=grid_difference(fine, coarse), edgeDensity=edge, **fine)


def grid_difference(fine, coarse):
    flat = lambda d: np.concatenate([np.ravel(value) for value in d.values()])
    return float(np.max(np.abs(flat(fine) - flat(coarse)) / np.maximum(1e-3, np.abs(flat(fine)))))


# ---------------------------------------------------------------- binomial-normal
def binomial_grid(events, totals, deviation_prior, mean_prior, mean_range, log_tau_range, sizes, study):
    x = np.array(events, float)
    n = np.array(totals, float)
    n_mean, n_tau, n_z = sizes
    means = np.linspace(*mean_range, n_mean)
    log_taus = np.linspace(*log_tau_range, n_tau)
    z = np.linspace(-9, 9, n_z)
    wz = (z[1] - z[0]) * stats.norm.pdf(z)
    log_joint = np.empty((n_tau, n_mean))
    study_rate = np.empty((n_tau, n_mean))
    study_square = np.empty((n_tau, n_mean))
    study_logit = np.empty((n_tau, n_mean))
    next_rate = np.empty((n_tau, n_mean))
    for a, lt in enumerate(log_taus):
        tau = np.exp(lt)
        theta = means[:, None] + tau * z[None, :]
        p = special.expit(theta)
        logs = log_mean_prior(mean_prior, means) + log_prior(deviation_prior, np.array(tau)) + lt
        next_rate[a] = p @ wz
        log_p, log_q = special.log_expit(theta), special.log_expit(-theta)
        for i in range(len(x)):
            ll = special.xlogy(x[i], 1) + x[i] * log_p + (n[i] - x[i]) * log_q
            top = ll.max(axis=1, keepdims=True)
            like = np.exp(ll - top)
            average = like @ wz
            logs = logs + np.log(average) + top[:, 0]
            if i == study:
                study_rate[a] = (like * p) @ wz / average
                study_square[a] = (like * p * p) @ wz / average
                study_logit[a] = (like * theta) @ wz / average
        log_joint[a] = logs
    joint = np.exp(log_joint - log_joint.max())
    w = joint
    total = w.sum()
    average = lambda f: float((w * f).sum() / total)
    tau = np.exp(log_taus)[:, None] * np.ones(n_mean)
    m = means[None, :] * np.ones((n_tau, 1))
    mean = average(m)
    tau_mean = average(tau)
    rate = average(special.expit(m))
    s_rate = average(study_rate)
    mean_density = joint.sum(axis=0)
    tau_density = joint.sum(axis=1)  # in log tau
    edge = max(joint[-1].max(), joint[:, 0].max(), joint[:, -1].max())
    probabilities = [0.025, 0.5, 0.975]
    return dict(mean=mean, meanDeviation=np.sqrt(average((m - mean) ** 2)), tauMean=tau_mean,
                rateMean=rate, rateDeviation=np.sqrt(average((special.expit(m) - rate) ** 2)), nextRateMean=average(next_rate),
                meanQuantiles=quantile_from_grid(means, mean_density, probabilities),
                tauQuantiles=list(np.exp(quantile_from_grid(log_taus, tau_density, probabilities))),
                studyRateMean=s_rate, studyRateDeviation=np.sqrt(average(study_square) - s_rate**2), studyLogitMean=average(study_logit)), float(edge)


def binomial_normal(name, events, totals, deviation_prior, mean_prior, mean_range, log_tau_range, study):
    fine, edge = binomial_grid(events, totals, deviation_prior, mean_prior, mean_range, log_tau_range, (261, 221 if len(events) > 5 else 421, 121), study)
    coarse, _ = binomial_grid(events, totals, deviation_prior, mean_prior, mean_range, log_tau_range, (221, 191 if len(events) > 5 else 381, 105), study)
    return dict(name=name, events=events, totals=totals, deviationPrior=deviation_prior, meanPrior=mean_prior, study=study,
                gridDifference=grid_difference(fine, coarse), edgeDensity=edge, **fine)


schools = ([28, 8, -3, 7, -1, 1, 18, 12], [s * s for s in (15, 10, 16, 11, 9, 11, 10, 18)])
hospital = ([0, 18, 8, 46, 8, 13, 9, 31, 14, 8, 29, 24], [47, 148, 119, 810, 211, 196, 148, 215, 207, 97, 256, 360])
vague = {"kind": "flat"}
logit_prior = {"kind": "normal", "mean": 0, "deviation": 2.5}

results = dict(
    made=dict(date=str(datetime.date.today()), python=platform.python_version(), numpy=np.__version__, scipy=scipy.__version__, script="tests/reference/bayesian.py"),
    normalNormal=[
        normal_normal("eight schools, half-Cauchy 5, normal mean", *schools, {"kind": "half-cauchy", "scale": 5}, {"kind": "normal", "mean": 0, "deviation": 5}, (-30, 40), 1e6),
        normal_normal("eight schools, half-normal 10, flat mean", *schools, {"kind": "half-normal", "scale": 10}, vague, (-120, 140), 90),
        normal_normal("eight schools, log-normal, flat mean", *schools, {"kind": "log-normal", "logMean": 1.0, "logDeviation": 0.8}, vague, (-250, 260), 600),
        normal_normal("two studies, half-normal 0.5, flat mean", [-0.4, 0.9], [0.04, 0.3], {"kind": "half-normal", "scale": 0.5}, vague, (-12, 12), 4.2),
        normal_normal("five studies far apart, half-normal 1, normal mean", [-2.0, -0.1, 0.4, 1.5, 3.2], [0.01, 0.02, 0.015, 0.01, 0.03], {"kind": "half-normal", "scale": 1}, {"kind": "normal", "mean": 0, "deviation": 2}, (-9, 10), 8.5),
    ],
    binomialNormal=[
        binomial_normal("hospital mortality, gamma precision, flat mean", *hospital, {"kind": "gamma-on-precision", "shape": 0.001, "rate": 0.001}, vague, (-9, 4), (-4.5, 2.9), 0),
        binomial_normal("hospital mortality, half-normal 1, normal mean", *hospital, {"kind": "half-normal", "scale": 1}, logit_prior, (-6, 1), (-20, 1.8), 7),
        binomial_normal("no events, half-normal 1, normal mean", [0, 0, 0, 0], [20, 45, 12, 80], {"kind": "half-normal", "scale": 1}, logit_prior, (-21, 6.5), (-20, 1.9), 3),
        binomial_normal("all events, half-normal 0.5, normal mean", [12, 30], [12, 30], {"kind": "half-normal", "scale": 0.5}, logit_prior, (-6, 21), (-20, 1.2), 0),
        binomial_normal("one arm, half-normal 1, normal mean", [1], [20], {"kind": "half-normal", "scale": 1}, logit_prior, (-20, 13), (-20, 1.9), 0),
        binomial_normal("mixed with zeros, half-normal 0.7, flat mean", [0, 3, 1, 0, 5], [20, 25, 40, 8, 60], {"kind": "half-normal", "scale": 0.7}, vague, (-12, 6), (-20, 1.5), 0),
    ],
)
json.dump(results, open(os.path.join(here, "bayesian.json"), "w"), indent=1)
for row in results["binomialNormal"]:
    print(row["name"], row["gridDifference"], row["edgeDensity"], row["mean"], row["tauMean"])
for row in results["normalNormal"]:
    print(row["name"], row["mean"], row["tauMean"])
