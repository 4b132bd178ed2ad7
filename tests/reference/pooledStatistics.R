# References in base R and lme4 for: P value of the pooled mean, standard error of the between-study variance (traces of
# dense matrices), log-likelihood and test of homogeneity (density of normal and binomial values, lme4), prediction by
# t(k - 1) with the Hartung-Knapp variance (lm), profile limits and mean over studies of the binomial-normal model (lme4;
# sums over a fine grid, integrate, uniroot), and the mean difference with one variance (t.test).
# Run: Rscript tests/reference/pooledStatistics.R > tests/reference/pooledStatistics.json
suppressMessages(library(lme4))
library(jsonlite)
estimates <- list(
  list(name = "thirteen BCG trials, log risk ratios",
    source = "Colditz GA et al., JAMA 1994;271:698-702 (counts of tuberculosis and totals, vaccinated then not)",
    counts = c(4,119,11,128, 6,300,29,274, 3,228,11,209, 62,13536,248,12619, 33,5036,47,5761, 180,1361,372,1079, 8,2537,10,619,
      505,87886,499,87892, 29,7470,45,7232, 17,1699,65,1600, 186,50448,141,27197, 5,2493,3,2338, 27,16886,29,17825)),
  list(name = "five that hardly differ", source = "invented",
    values = c(0.21, -0.05, 0.34, 0.12, 0.4), variances = c(0.04, 0.09, 0.02, 0.06, 0.3)),
  list(name = "three, one of them large", source = "invented", values = c(-0.1, 1.2, 0.7), variances = c(0.003, 0.2, 0.35)))
estimates[[1]]$values <- with(as.data.frame(matrix(estimates[[1]]$counts, ncol = 4, byrow = TRUE)),
  log(V1 / (V1 + V2)) - log(V3 / (V3 + V4)))
estimates[[1]]$variances <- with(as.data.frame(matrix(estimates[[1]]$counts, ncol = 4, byrow = TRUE)),
  1 / V1 - 1 / (V1 + V2) + 1 / V3 - 1 / (V3 + V4))
tr <- function(m) sum(diag(m))
ofEstimates <- function(set) {
  y <- set$values; v <- set$variances; k <- length(y); one <- rep(1, k)
  w <- 1 / v; centred <- function(u) diag(u) - outer(u, u) / sum(u)
  q <- drop(y %*% centred(w) %*% y)
  scale <- tr(centred(w))
  dl <- max(0, (q - (k - 1)) / scale)
  hs <- max(0, (q - k) / sum(w)); ho <- max(0, var(y) - mean(v))
  # Var of a quadratic form y'Ay of normal values with covariance V: 2 tr(AVAV).
  se <- function(A, t) { V <- diag(v + t); sqrt(2 * tr(A %*% V %*% A %*% V)) }
  ll <- function(t, restricted) {
    u <- 1 / (v + t); m <- weighted.mean(y, u)
    sum(dnorm(y, m, sqrt(v + t), log = TRUE)) + (if (restricted) 0.5 * log(2 * pi) - 0.5 * log(sum(u)) else 0)
  }
  slope <- function(t, restricted) {
    P <- solve(diag(v + t)); H <- P
    P <- P - P %*% one %*% t(one) %*% P / sum(P)
    -0.5 * tr(if (restricted) P else H) + 0.5 * drop(y %*% P %*% P %*% y)
  }
  # The highest peak: the best of a grid, then the slope solved for zero beside it.
  peak <- function(restricted) {
    g <- c(0, exp(seq(log(1e-5), log(20), length.out = 600))); i <- which.max(sapply(g, ll, restricted))
    if (i == 1) 0 else uniroot(function(t) slope(t, restricted), g[c(i - 1, i + 1)], tol = 1e-15)$root
  }
  information <- function(t, restricted) {
    P <- solve(diag(v + t)); if (restricted) P <- P - P %*% one %*% t(one) %*% P / sum(P)
    0.5 * tr(P %*% P)
  }
  test <- function(restricted) {
    t <- peak(restricted); lr <- max(0, 2 * (ll(t, restricted) - ll(0, restricted)))
    list(betweenStudyVariance = t, logLikelihood = ll(t, restricted), statistic = lr,
      p = if (lr > 0) 0.5 * pchisq(lr, 1, lower.tail = FALSE) else 1, standardError = 1 / sqrt(information(t, restricted)))
  }
  # Weighted least squares on a constant: coefficient, t test and standard error are those of Hartung and Knapp.
  fit <- summary(lm(y ~ 1, weights = 1 / (v + dl)))$coefficients
  m <- fit[1]; wald <- 1 / sqrt(sum(1 / (v + dl)))
  full <- test(FALSE)
  # Profile test of a mean of 0: the best likelihood with the mean there.
  grid <- c(0, exp(seq(log(1e-5), log(20), length.out = 600)))
  atZero <- function(t) sum(dnorm(y, 0, sqrt(v + t), log = TRUE))
  i <- which.max(sapply(grid, atZero))
  best <- max(atZero(0), optimize(atZero, grid[c(max(1, i - 1), min(600, i + 1))], maximum = TRUE, tol = 1e-12)$objective)
  list(name = set$name, source = set$source, values = y, variances = v,
    standardErrors = list("dersimonian-laird" = se(centred(w), dl) / scale, "hunter-schmidt" = se(centred(w), hs) / sum(w),
      "hedges-olkin" = se(centred(one), ho) / (k - 1), "maximum-likelihood" = full$standardError,
      "restricted-maximum-likelihood" = test(TRUE)$standardError),
    full = full, restricted = test(TRUE),
    p = list(wald = 2 * pnorm(-abs(m) / wald), "student-t" = 2 * pt(-abs(m) / wald, k - 1), "hartung-knapp" = fit[4],
      "truncated-hartung-knapp" = 2 * pt(-abs(m) / max(wald, fit[2]), k - 1),
      "profile-likelihood" = pchisq(2 * (full$logLikelihood - best), 1, lower.tail = FALSE)),
    prediction = m + c(-1, 1) * qt(0.975, k - 1) * sqrt(dl + fit[2]^2))
}
here <- fromJSON("tests/pooling/reference/binomialNormalReference.json", simplifyDataFrame = FALSE)$sets
ofCounts <- function(set) {
  x <- set$events; n <- set$totals; d <- data.frame(x = x, r = n - x, study = factor(seq_along(x)))
  control <- glmerControl(optimizer = "bobyqa", tolPwrss = 1e-10, optCtrl = list(rhobeg = 0.02, rhoend = 1e-10, maxfun = 1e5))
  model <- glmer(cbind(x, r) ~ 1 + (1 | study), d, binomial, nAGQ = 25, control = control)
  shared <- glm(cbind(x, r) ~ 1, binomial, d)
  saturated <- sum(dbinom(x, n, x / n, log = TRUE))
  top <- as.numeric(logLik(model)) + saturated
  devfun <- glmer(cbind(x, r) ~ 1 + (1 | study), d, binomial, nAGQ = 25, control = control, devFunOnly = TRUE)
  # Far from the peak 25 points are too few for arms without events: the profile sums over a fine even grid.
  z <- seq(-10, 10, 0.02)
  l <- function(m, s) sum(mapply(function(a, b) log(sum(dbinom(a, b, plogis(m + s * z)) * dnorm(z)) * 0.02), x, n))
  b <- fixef(model)[[1]]; s <- getME(model, "theta")[[1]]
  s0 <- s
  profile <- function(f) { # f(t, s): the mean of the log odds at which the quantity is t
    t0 <- attr(f, "at")
    deviance <- function(t) 2 * (l(b, s0) - optimize(function(z) l(f(t, z), z), c(0, 4), maximum = TRUE, tol = 1e-10)$objective)
    c(uniroot(function(t) deviance(t) - qchisq(0.95, 1), c(t0 - 5, t0), tol = 1e-11)$root,
      uniroot(function(t) deviance(t) - qchisq(0.95, 1), c(t0, t0 + 5), tol = 1e-11)$root)
  }
  rate <- function(m, s) if (s < 1e-8) plogis(m) else
    integrate(function(z) plogis(m + s * z) * dnorm(z), -Inf, Inf, rel.tol = 1e-12, subdivisions = 1000)$value
  inMedian <- structure(function(t, s) t, at = b)
  inMean <- structure(function(t, s) uniroot(function(m) rate(m, s) - plogis(t), c(t - 12, t + 12), tol = 1e-13)$root,
    at = qlogis(rate(b, s)))
  # Standard error of the deviation: the curvature of lme4's own deviance function.
  p <- c(s, b)
  curvature <- function(h) outer(1:2, 1:2, Vectorize(function(i, j) {
    g <- function(a, c) 0.5 * devfun(p + a * (1:2 == i) + c * (1:2 == j))
    (g(h, h) - g(h, -h) - g(-h, h) + g(-h, -h)) / (4 * h^2)
  }))
  h <- 4e-3
  H <- (4 * curvature(h) - curvature(2 * h)) / 3
  lr <- 2 * (top - as.numeric(logLik(shared)))
  list(id = set$id, statistic = lr, p = 0.5 * pchisq(lr, 1, lower.tail = FALSE), deviationStandardError = sqrt(solve(H)[1, 1]),
    meanOfStudies = rate(b, s), profileMedian = plogis(profile(inMedian)), profileMean = plogis(profile(inMean)))
}
# Summaries of two groups as values that have exactly those means and standard deviations.
means <- lapply(list(c(82, 12, 40, 79, 14, 38), c(71.5, 9.1, 12, 66, 20.3, 55)), function(g) {
  exactly <- function(m, s, n) m + s * as.numeric(scale(seq_len(n)))
  t <- t.test(exactly(g[1], g[2], g[3]), exactly(g[4], g[5], g[6]), var.equal = TRUE)
  list(treated = g[1:3], comparator = g[4:6], difference = unname(t$estimate[1] - t$estimate[2]), standardError = t$stderr)
})
cat(toJSON(list(madeBy = "tests/reference/pooledStatistics.R", date = as.character(Sys.Date()),
  versions = list(R = R.version.string, lme4 = as.character(packageVersion("lme4"))), tolerance = 1e-6,
  reason = "optimize() and bobyqa place a maximum to the square root of the machine precision; curvature of the deviation by extrapolated differences of step 4e-3",
  estimates = lapply(estimates, ofEstimates), counts = lapply(here, ofCounts), means = means), auto_unbox = TRUE, digits = 15, pretty = TRUE))
