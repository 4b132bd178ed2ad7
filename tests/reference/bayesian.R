# Reference values for the Bayesian pools by base R's integrate() alone (no packages): the mean integrated in closed
# form for the normal model, one binomial study by nested integrate(). Writes bayesian-r.json next to itself.
# Run: Rscript --vanilla tests/reference/bayesian.R
normalNormal <- function(name, y, v, logPriorTau, top = Inf, meanPrior = NULL) {
  marginal <- function(tau) sapply(tau, function(t) {
    covariance <- diag(v + t^2, length(v))
    if (is.null(meanPrior)) { # flat mean: restricted likelihood
      w <- 1 / (v + t^2); m <- sum(w * y) / sum(w)
      log <- -0.5 * (sum(log(v + t^2)) + log(sum(w)) + sum(w * (y - m)^2))
    } else { # the data are multivariate normal around the prior mean
      covariance <- covariance + meanPrior[2]^2
      d <- y - meanPrior[1]
      log <- -0.5 * (as.numeric(determinant(covariance)$modulus) + sum(d * solve(covariance, d)))
    }
    exp(log + logPriorTau(t) - reference)
  })
  reference <- 0
  reference <- max(sapply(exp(seq(-4, 3, 0.5)), function(t) log(marginal(t))))
  scale <- sqrt(max(v))
  cuts <- c(0, scale / 10, scale / 2, scale, 3 * scale, 10 * scale)
  cuts <- c(cuts[cuts < top], top)
  over <- function(f) sum(sapply(seq_along(cuts[-1]), function(i)
    integrate(function(t) f(t) * marginal(t), cuts[i], cuts[i + 1], rel.tol = 1e-11, abs.tol = 0, subdivisions = 1000)$value))
  conditional <- function(t) {
    p0 <- if (is.null(meanPrior)) 0 else 1 / meanPrior[2]^2
    m0 <- if (is.null(meanPrior)) 0 else meanPrior[1]
    precision <- sapply(t, function(s) sum(1 / (v + s^2)) + p0)
    list(mean = sapply(t, function(s) sum(y / (v + s^2)) + p0 * m0) / precision, sd = sqrt(1 / precision))
  }
  total <- over(function(t) 1 + 0 * t)
  mean <- over(function(t) conditional(t)$mean) / total
  sd <- sqrt(over(function(t) { k <- conditional(t); k$sd^2 + (k$mean - mean)^2 }) / total)
  tauMean <- over(function(t) t) / total
  quantile <- function(p) uniroot(function(x) over(function(t) { k <- conditional(t); pnorm(x, k$mean, k$sd) }) / total - p,
    mean + c(-8, 8) * sd, tol = 1e-12)$root
  nextQuantile <- function(p) uniroot(function(x) over(function(t) { k <- conditional(t); pnorm(x, k$mean, sqrt(k$sd^2 + t^2)) }) / total - p,
    mean + c(-30, 30) * sd, tol = 1e-12)$root
  list(name = name, values = y, variances = v, mean = mean, meanDeviation = sd, tauMean = tauMean,
    meanQuantiles = sapply(c(.025, .5, .975), quantile), nextQuantiles = sapply(c(.025, .5, .975), nextQuantile))
}
schools <- c(28, 8, -3, 7, -1, 1, 18, 12); se <- c(15, 10, 16, 11, 9, 11, 10, 18)
halfCauchy <- function(t) log(2) + dcauchy(t, 0, 5, log = TRUE)
halfNormal <- function(s) function(t) log(2) + dnorm(t, 0, s, log = TRUE)
rows <- list(
  c(normalNormal("eight schools, half-Cauchy 5, normal mean", schools, se^2, halfCauchy, meanPrior = c(0, 5)),
    list(deviationPrior = list(kind = "half-cauchy", scale = 5), meanPrior = list(kind = "normal", mean = 0, deviation = 5))),
  c(normalNormal("eight schools, half-normal 10, flat mean", schools, se^2, halfNormal(10)),
    list(deviationPrior = list(kind = "half-normal", scale = 10), meanPrior = list(kind = "flat"))),
  c(normalNormal("eight schools, flat, flat mean", schools, se^2, function(t) 0 * t),
    list(deviationPrior = list(kind = "flat"), meanPrior = list(kind = "flat"))),
  c(normalNormal("eight schools, gamma precision, flat mean", schools, se^2,
      function(t) dgamma(t^-2, 1, 0.5, log = TRUE) + log(2) - 3 * log(t)),
    list(deviationPrior = list(kind = "gamma-on-precision", shape = 1, rate = 0.5), meanPrior = list(kind = "flat"))))
# One binomial arm with its logit normal around a normal mean: the mean integrates into the variance, so that the
# logit is normal(0, 2.5^2 + tau^2) before the data and only two integrals remain.
oneArm <- function(x, n, scale) {
  inner <- function(tau, f) sapply(tau, function(t) {
    s <- sqrt(2.5^2 + t^2)
    g <- function(h) f(h) * dbinom(x, n, plogis(h)) * dnorm(h, 0, s)
    sum(sapply(list(c(-60, -8), c(-8, -3), c(-3, 0), c(0, 40)), function(e) integrate(g, e[1], e[2], rel.tol = 1e-11, abs.tol = 0)$value))
  })
  over <- function(f) integrate(function(t) inner(t, f) * exp(halfNormal(scale)(t)), 0, 12 * scale, rel.tol = 1e-10, abs.tol = 0)$value
  total <- over(function(h) 1 + 0 * h)
  rate <- over(plogis) / total
  list(events = x, total = n, scale = scale, rateMean = rate, rateDeviation = sqrt(over(function(h) (plogis(h) - rate)^2) / total),
    below = sapply(c(0.02, 0.05, 0.1), function(l) over(function(h) 1 * (h < qlogis(l))) / total), limits = c(0.02, 0.05, 0.1))
}
oneArmExact <- function(x, n, scale) { # the same with the limits as ends of integration, so that nothing jumps
  res <- oneArm(x, n, scale)
  part <- function(l) integrate(function(tau) sapply(tau, function(t) {
    s <- sqrt(2.5^2 + t^2)
    g <- function(h) dbinom(x, n, plogis(h)) * dnorm(h, 0, s)
    ends <- c(-60, -8, qlogis(l)); sum(sapply(1:2, function(i) integrate(g, ends[i], ends[i + 1], rel.tol = 1e-11, abs.tol = 0)$value))
  }) * exp(halfNormal(scale)(tau)), 0, 12 * scale, rel.tol = 1e-10, abs.tol = 0)$value
  whole <- integrate(function(tau) sapply(tau, function(t) {
    s <- sqrt(2.5^2 + t^2)
    g <- function(h) dbinom(x, n, plogis(h)) * dnorm(h, 0, s)
    ends <- c(-60, -8, -3, 0, 40); sum(sapply(1:4, function(i) integrate(g, ends[i], ends[i + 1], rel.tol = 1e-11, abs.tol = 0)$value))
  }) * exp(halfNormal(scale)(tau)), 0, 12 * scale, rel.tol = 1e-10, abs.tol = 0)$value
  res$below <- sapply(res$limits, part) / whole
  res
}
arms <- list(oneArmExact(0, 30, 1), oneArmExact(3, 40, 1), oneArmExact(1, 500, 0.5))
file <- sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE))
made <- list(date = as.character(Sys.Date()), R = R.version.string, script = "tests/reference/bayesian.R")
writeLines(jsonlite::toJSON(list(made = made, normalNormal = rows, oneArm = arms), auto_unbox = TRUE, digits = NA, pretty = TRUE),
  file.path(dirname(file), "bayesian-r.json"))
