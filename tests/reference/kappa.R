# Makes tests/reference/kappa.json: Cohen's kappa from its definition in base R, its two large-sample variances twice over
# (the closed form of Fleiss, Cohen and Everitt 1969, and the delta method with numerical derivatives), and a bootstrap
# standard error as a rough check. Run: Rscript tests/reference/kappa.R
library(jsonlite)
kappaOf <- function(p, w) {
  po <- sum(w * p); pe <- sum(w * outer(rowSums(p), colSums(p))); (po - pe) / (1 - pe)
}
gradient <- function(f, x) sapply(seq_along(x), function(i) {
  h <- 1e-4; e <- replace(numeric(length(x)), i, h)
  (8 * (f(x + e) - f(x - e)) - (f(x + 2 * e) - f(x - 2 * e))) / (12 * h)
})
delta <- function(p, w, n) {
  g <- gradient(function(x) kappaOf(matrix(x, nrow(p)), w), as.vector(p))
  q <- as.vector(p); (sum(q * g^2) - sum(q * g)^2) / n
}
closed <- function(p, w, n, null) {
  r <- rowSums(p); c <- colSums(p); po <- sum(w * p); pe <- sum(w * outer(r, c))
  m <- outer(as.vector(w %*% c), as.vector(t(w) %*% r), "+")
  if (null) (sum(outer(r, c) * (w - m)^2) - pe^2) / (n * (1 - pe)^2)
  else (sum(p * (w * (1 - pe) - m * (1 - po))^2) - (po * pe - 2 * pe + po)^2) / (n * (1 - pe)^4)
}
boot <- function(counts, w) {
  set.seed(20261125); n <- sum(counts)
  sd(replicate(5000, kappaOf(matrix(rmultinom(1, n, as.vector(counts)), nrow(counts)) / n, w)), na.rm = TRUE)
}
weights <- function(kind, k) { d <- abs(outer(1:k, 1:k, "-")) / max(1, k - 1)
  switch(kind, none = (d == 0) * 1, linear = 1 - d, quadratic = 1 - d^2) }
tables <- list(
  diagnoses = matrix(c(88, 14, 18, 10, 40, 10, 2, 6, 12), 3, byrow = TRUE),
  psychiatric = matrix(c(75, 1, 4, 5, 4, 1, 0, 0, 10), 3, byrow = TRUE),
  minors = matrix(c(31, 6, 1, 5, 60, 12, 0, 9, 83), 3, byrow = TRUE),
  paradox = matrix(c(118, 5, 2, 0), 2, byrow = TRUE),
  disagree = matrix(c(3, 20, 18, 4), 2, byrow = TRUE),
  four = matrix(c(12, 3, 0, 1, 4, 20, 5, 0, 0, 6, 15, 2, 1, 0, 3, 9), 4, byrow = TRUE))
rows <- list()
for (name in names(tables)) for (kind in c("none", "linear", "quadratic")) {
  t <- tables[[name]]; n <- sum(t); p <- t / n; w <- weights(kind, nrow(t)); q <- outer(rowSums(p), colSums(p))
  v <- closed(p, w, n, FALSE); v0 <- closed(p, w, n, TRUE)
  for (d in c(delta(p, w, n) / v, delta(q, w, n) / v0)) { if (abs(d - 1) > 1e-7) print(c(name, kind, d)); stopifnot(abs(d - 1) < 1e-5) }
  rows[[length(rows) + 1]] <- list(name = name, weights = kind, counts = t, kappa = kappaOf(p, w),
    standardError = sqrt(v), nullStandardError = sqrt(v0), bootstrap = boot(t, w))
}
writeLines(toJSON(list(made = list(date = format(Sys.Date()), R = R.version.string, script = "tests/reference/kappa.R"),
  rows = rows), auto_unbox = TRUE, digits = 16, pretty = TRUE), "tests/reference/kappa.json")
