# Posterior predictive probabilities of a next series, by brute-force grids in base R. Mean ~ normal(0, 2.5) and
# between-study standard deviation ~ half-normal(1) on the logit scale; counts binomial, study logits normal.
# Run: Rscript tests/reference/claimsPredictive.R > tests/reference/claimsPredictive.json
library(jsonlite)
events <- c(3, 6, 0, 5); total <- c(48, 82, 23, 61)
z <- seq(-9, 9, length.out = 181); w <- dnorm(z) * (z[2] - z[1])
mu <- seq(-8, 2, length.out = 401); tau <- (seq_len(240) - 0.5) * (5 / 240)
series <- list(c(0, 40), c(3, 50), c(10, 50), c(1, 15))
likelihood <- function(m, t) {
  p <- plogis(m + t * z)
  prod(sapply(seq_along(events), function(i) sum(w * dbinom(events[i], total[i], p))))
}
weight <- 0; sums <- numeric(length(series))
for (t in tau) for (m in mu) {
  at <- likelihood(m, t) * dnorm(m, 0, 2.5) * dnorm(t)
  weight <- weight + at
  if (at < 1e-14) next
  p <- plogis(m + t * z)
  sums <- sums + at * sapply(series, function(s) sum(w * pbinom(s[1], s[2], p)))
}
cat(toJSON(list(computedWith = R.version.string, date = as.character(Sys.Date()), events = events, total = total,
  series = series, atMost = sums / weight), auto_unbox = TRUE, digits = NA))
