# Study intervals of proportions by base R. Makes proportions-r.json.
# Run from the repository root: Rscript tests/reference/proportions.R
# Wilson: prop.test without continuity correction (its lower limit at 0 and upper limit at n are rounding, not formula).
# Clopper-Pearson: binom.test. Jeffreys: qbeta, ends set to 0 and 1. Agresti-Coull: written out.
counts <- list(c(0, 1), c(1, 1), c(0, 20), c(0, 23), c(1, 29), c(15, 148), c(81, 263), c(20, 20), c(1, 2), c(7, 353),
  c(4, 1083), c(44, 1083), c(12, 15085), c(15, 45), c(4, 42), c(505, 88391))
out <- character()
for (count in counts) for (level in c(0.8, 0.95, 0.99)) {
  x <- count[1]; n <- count[2]; tail <- (1 - level) / 2; z <- qnorm(tail, lower.tail = FALSE)
  wilson <- suppressWarnings(prop.test(x, n, conf.level = level, correct = FALSE)$conf.int)
  exact <- binom.test(x, n, conf.level = level)$conf.int
  jeffreys <- c(if (x == 0) 0 else qbeta(tail, x + 0.5, n - x + 0.5),
    if (x == n) 1 else qbeta(tail, x + 0.5, n - x + 0.5, lower.tail = FALSE))
  size <- n + z^2; centre <- (x + z^2 / 2) / size
  coull <- pmin(1, pmax(0, centre + c(-1, 1) * z * sqrt(centre * (1 - centre) / size)))
  ends <- function(v) c(if (x == 0) 0 else v[1], if (x == n) 1 else v[2])
  row <- function(v) paste(sprintf("%.17g", ends(v)), collapse = ", ")
  out <- c(out, sprintf('{"events": %d, "total": %d, "level": %g, "wilson": [%s], "clopper-pearson": [%s], "jeffreys": [%s], "agresti-coull": [%s]}',
    x, n, level, row(wilson), row(exact), row(jeffreys), row(coull)))
}
writeLines(c('{"what": "intervals of one proportion", "madeBy": "tests/reference/proportions.R",',
  sprintf('"versions": {"R": "%s.%s"}, "date": "%s",', R.version$major, R.version$minor, Sys.Date()),
  '"tolerance": "1e-8 relative (prop.test and qbeta are held well below 1e-6)",', '"rows": [',
  paste0(out, c(rep(",", length(out) - 1), "")), "]}"), "tests/reference/proportions-r.json")
