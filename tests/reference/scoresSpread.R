# Makes scoresSpread.json: divisors of range and interquartile range by base R's integrate, standard
# deviations from intervals, t and P by qt, combined groups from raw scores, and Student/normal tails.
# Run from this folder: Rscript scoresSpread.R
suppressPackageStartupMessages(library(jsonlite))

expected <- function(rank, n) {
  # The density of the order statistic is written on the log scale so that n may be large.
  constant <- lgamma(n + 1) - lgamma(rank) - lgamma(n - rank + 1)
  f <- function(x) x * exp(constant + (rank - 1) * pnorm(x, log.p = TRUE) +
    (n - rank) * pnorm(x, lower.tail = FALSE, log.p = TRUE) + dnorm(x, log = TRUE))
  centre <- qnorm((rank - 0.375) / (n + 0.25))
  integrate(f, -12, centre, rel.tol = 1e-12, subdivisions = 2000L)$value +
    integrate(f, centre, 12, rel.tol = 1e-12, subdivisions = 2000L)$value
}
range_sizes <- c(2:50, 75, 100, 200, 400)
quartile_sizes <- c(seq(5, 61, by = 4), 6, 7, 8, 22, 100, 201)
type7 <- function(n) {
  rank <- (3 * n + 1) / 4
  low <- floor(rank)
  share <- rank - low
  2 * ((1 - share) * expected(low, n) + if (share == 0) 0 else share * expected(low + 1, n))
}

intervals <- expand.grid(n = c(2, 12, 25, 60, 353), level = c(0.9, 0.95, 0.99))
intervals$lower <- 30.0
intervals$upper <- 34.2
intervals$deviation_t <- with(intervals, sqrt(n) * (upper - lower) / (2 * qt(1 - (1 - level) / 2, n - 1)))
intervals$deviation_normal <- with(intervals, sqrt(n) * (upper - lower) / (2 * qnorm(1 - (1 - level) / 2)))

p_values <- expand.grid(p = c(0.9, 0.3, 0.05, 0.008, 1e-4, 1e-12), treated = c(2, 25, 140), comparator = c(22, 96))
p_values$difference <- -3.8
p_values$t <- with(p_values, qt(p / 2, treated + comparator - 2, lower.tail = FALSE))
p_values$deviation <- with(p_values, abs(difference) / t / sqrt(1 / treated + 1 / comparator))

# Two samples whose printed t test is turned back into the pooled standard deviation.
treated <- c(12, 15.5, 9, 22, 18, 14, 30.5, 11)
comparator <- c(8, 10, 17.5, 6, 12, 9.5, 13)
test <- t.test(treated, comparator, var.equal = TRUE, conf.level = 0.9)
pooled <- sqrt((7 * var(treated) + 6 * var(comparator)) / 13)
change <- treated - c(20, 21, 18, 25, 24, 19, 33, 15)

writeLines(toJSON(list(
  made = "2026-11-25",
  with = R.version.string,
  script = "tests/reference/scoresSpread.R",
  rangeDivisor = data.frame(n = range_sizes, value = sapply(range_sizes, function(n) 2 * expected(n, n))),
  quartileDivisor = data.frame(n = quartile_sizes, value = sapply(quartile_sizes, type7)),
  interval = intervals,
  pValue = p_values,
  twoSamples = list(
    treated = treated, comparator = comparator, difference = mean(treated) - mean(comparator),
    t = unname(test$statistic), p = test$p.value, lower = test$conf.int[1], upper = test$conf.int[2], level = 0.9,
    standardError = test$stderr, pooledDeviation = pooled,
    together = list(mean = mean(c(treated, comparator)), deviation = sd(c(treated, comparator)))
  ),
  change = list(
    baseline = c(20, 21, 18, 25, 24, 19, 33, 15), final = treated, mean = mean(change), deviation = sd(change),
    correlation = cor(c(20, 21, 18, 25, 24, 19, 33, 15), treated)
  ),
  quartilesOfSample = list(sample = treated, type7 = unname(quantile(treated, c(0, 0.25, 0.5, 0.75, 1))))
), auto_unbox = TRUE, digits = NA, pretty = TRUE), "scoresSpread.json")
