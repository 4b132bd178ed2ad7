# Between-study variance estimators and intervals in base R, independent of the Python reference: root finding by
# uniroot, likelihoods by optimize over pieces of a grid, the distribution of Q by Imhof's integral with integrate().
# Run: Rscript tests/reference/betweenStudyVariance.R > tests/reference/betweenStudyVariance-r.json
library(jsonlite)
sets <- fromJSON("tests/reference/betweenStudyVariance-python.json", simplifyDataFrame = FALSE, simplifyMatrix = FALSE)$sets
at <- function(y, v, t, mu = NULL) { w <- 1 / (v + t); m <- if (is.null(mu)) sum(w * y) / sum(w) else mu; list(w = w, m = m, q = sum(w * (y - m)^2)) }
ll <- function(y, v, t, r, mu = NULL) { a <- at(y, v, t, mu); -0.5 * ((length(y) - r) * log(2 * pi) + sum(log(v + t)) + (if (r) log(sum(a$w)) else 0) + a$q) }
best <- function(y, v, r, mu = NULL) {
  top <- 4 * diff(range(c(y, mu)))^2 + min(v); g <- c(0, exp(seq(log(min(v) * 1e-5), log(top), length.out = 400)))
  h <- sapply(g, function(t) ll(y, v, t, r, mu)); i <- which.max(h)
  o <- optimize(function(t) ll(y, v, t, r, mu), c(g[max(1, i - 1)], g[min(length(g), i + 1)]), maximum = TRUE, tol = 1e-13)
  if (h[1] >= o$objective) list(t = 0, l = h[1]) else list(t = o$maximum, l = o$objective)
}
imhof <- function(y, v, q, t) {
  w <- 1 / v; A <- diag(w) - outer(w, w) / sum(w); S <- diag(sqrt(v + t))
  lam <- eigen(S %*% A %*% S, symmetric = TRUE)$values; lam <- lam[seq_len(length(y) - 1)]
  f <- function(u) sapply(u, function(x) sin(sum(atan(lam * x)) / 2 - q * x / 2) / (x * prod((1 + lam^2 * x^2)^0.25)))
  0.5 - integrate(f, 0, Inf, rel.tol = 1e-10, subdivisions = 100000, stop.on.error = FALSE)$value / pi
}
root <- function(f, lo, hi) uniroot(f, c(lo, hi), tol = 1e-14, maxiter = 10000)$root
one <- function(s) {
  y <- s$values; v <- s$variances; k <- length(y); a <- at(y, v, 0); w <- a$w; big <- 4 * diff(range(y))^2 + 1
  C <- sum(w) - sum(w^2) / sum(w); dl <- max(0, (a$q - (k - 1)) / C); b <- at(y, v, dl); u <- b$w
  two <- if (dl == 0) 0 else max(0, (b$q - (sum(u * v) - sum(u^2 * v) / sum(u))) / (sum(u) - sum(u^2) / sum(u)))
  pm <- if (a$q <= k - 1) 0 else root(function(t) at(y, v, t)$q - (k - 1), 0, big * 10)
  t0 <- mean((y - mean(y))^2); r <- v / t0 + 1; ms <- sum(y / r) / sum(1 / r)
  ml <- best(y, v, 0); reml <- best(y, v, 1); c1 <- qchisq(0.95, 1)
  lim <- function(r, m) { f <- function(t) 2 * (m$l - ll(y, v, t, r)) - c1; c(if (m$t == 0 || f(0) <= 0) 0 else root(f, 0, m$t), root(f, m$t, big * 1e4)) }
  prob <- lapply(s$cochranQCumulative, function(p) imhof(y, v, a$q, p[[1]]))
  list(name = s$name,
    betweenStudyVariance = list("dersimonian-laird" = dl, "two-step-dersimonian-laird" = two, "paule-mandel" = pm, "empirical-bayes" = pm,
      "hedges-olkin" = max(0, var(y) - mean(v)), "sidik-jonkman" = sum((y - ms)^2 / r) / (k - 1), "hunter-schmidt" = max(0, (a$q - k) / sum(w)),
      "maximum-likelihood" = ml$t, "restricted-maximum-likelihood" = reml$t),
    logLikelihood = list(full = ml$l, restricted = reml$l),
    varianceIntervals = list("profile-likelihood" = lim(0, ml), "profile-restricted-likelihood" = lim(1, reml)),
    cochranQCumulative = if (k > 3) prob else NULL)
}
cat(toJSON(list(madeBy = "tests/reference/betweenStudyVariance.R", date = as.character(Sys.Date()), versions = list(R = R.version.string), tolerance = 1e-6,
  reason = "optimize() places a maximum only to the square root of the machine precision; integrate() stops near 1e-7 on oscillating integrands; below three degrees of freedom the integral converges too slowly to be used",
  sets = lapply(sets, one)), auto_unbox = TRUE, digits = 15, pretty = TRUE))
