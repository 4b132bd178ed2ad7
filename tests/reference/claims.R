# Reference values for claims, by base R. Run: Rscript tests/reference/claims.R > tests/reference/claims.json
library(jsonlite)
counts <- list(c(0, 23), c(0, 40), c(1, 7), c(3, 3), c(4, 42), c(15, 45), c(12, 15085), c(44, 1083), c(4, 1083), c(250, 500))
limits <- lapply(counts, function(x) {
  ci <- binom.test(x[1], x[2])$conf.int
  one <- binom.test(x[1], x[2], alternative = "less")$conf.int
  list(events = x[1], total = x[2], lower = ci[1], upper = ci[2], oneSidedUpper = one[2],
       jeffreysLower = qbeta(0.025, x[1] + 0.5, x[2] - x[1] + 0.5),
       jeffreysUpper = qbeta(0.975, x[1] + 0.5, x[2] - x[1] + 0.5))
})
tables <- list(c(4, 42, 15, 45), c(0, 12, 44, 1083), c(19, 106, 8, 143), c(0, 10, 0, 12), c(5, 5, 9, 9), c(1, 30, 2, 500),
               c(7, 20, 13, 22), c(109, 401, 41, 410), c(8, 530, 6, 996))
fisher <- lapply(tables, function(x) list(counts = x,
  p = fisher.test(matrix(c(x[1], x[2] - x[1], x[3], x[4] - x[3]), 2))$p.value))
# P(first rate < second) under independent Jeffreys posteriors: piecewise over the first's angle, so that a product far
# in both tails is not stepped over.
lower <- lapply(tables, function(x) {
  a <- x[1] + 0.5; b <- x[2] - x[1] + 0.5; c <- x[3] + 0.5; d <- x[4] - x[3] + 0.5
  f <- function(t) exp(dbeta(sin(t)^2, a, b, log = TRUE) + log(2 * sin(t) * cos(t)) +
    pbeta(sin(t)^2, c, d, lower.tail = FALSE, log.p = TRUE))
  cuts <- seq(0, pi / 2, length.out = 201)
  parts <- sapply(seq_len(200), function(i) integrate(f, cuts[i], cuts[i + 1], rel.tol = 1e-11, abs.tol = 0)$value)
  list(counts = x, probability = sum(parts))
})
rates <- list(c(0.27, 0.10), c(0.10, 0.05), c(0.02, 0.01), c(0.5, 0.4), c(0.9, 0.95))
power <- unlist(lapply(rates, function(p) lapply(c(0.8, 0.9), function(w) {
  pooled <- power.prop.test(p1 = p[1], p2 = p[2], power = w, sig.level = 0.05, tol = 1e-12)$n
  z <- qnorm(0.975) + qnorm(w)
  list(rates = p, power = w, bothArmsVariance = ceiling(pooled),
       eachArmVariance = ceiling(z^2 * (p[1] * (1 - p[1]) + p[2] * (1 - p[2])) / (p[1] - p[2])^2))
})), recursive = FALSE)
# Smallest n at which the exact upper limit is at or below the limit, by search.
needed <- lapply(list(c(0, 0.05), c(0, 0.01), c(1, 0.05), c(4, 0.1), c(12, 0.01), c(0, 0.5), c(3, 0.9)), function(x) {
  n <- x[1] + 1
  while (pbinom(x[1], n, x[2]) > 0.025) n <- n + 1
  m <- x[1] + 1
  while (pbinom(x[1], m, x[2]) > 0.05) m <- m + 1
  list(events = x[1], limit = x[2], twoSided = n, oneSided = m)
})
cat(toJSON(list(computedWith = R.version.string, date = as.character(Sys.Date()), limits = limits, fisher = fisher,
  lower = lower, power = power, needed = needed), auto_unbox = TRUE, digits = NA, pretty = FALSE))
