# Reference values for the three-level model in base R: the likelihood written out, maximised by nlminb.
# Run: Rscript tests/reference/dependence.R > tests/reference/dependence-r.json
library(jsonlite)
source_file <- "tests/reference/dependence-python.json"
sets <- fromJSON(source_file, simplifyDataFrame = FALSE)$sets
negative <- function(theta, d, restricted) {
  study <- d$study; y <- d$value; v <- d$variance; r <- d$correlation
  same <- outer(study, study, "==") * 1
  omega <- same * r * sqrt(outer(v, v)) + diag((1 - r) * v) + theta[1] * same + theta[2] * diag(length(y))
  a <- solve(omega); s <- sum(a); mu <- sum(a %*% y) / s; e <- y - mu
  n <- length(y) - restricted
  0.5 * (n * log(2 * pi) + as.numeric(determinant(omega)$modulus) + restricted * log(s) + as.numeric(t(e) %*% a %*% e))
}
fit <- function(d, restricted) {
  best <- NULL
  for (a in c(0.01, 0.1, 0.5)) for (b in c(0.001, 0.05, 0.3)) {
    f <- nlminb(c(a, b), negative, d = d, restricted = restricted, lower = c(0, 0), control = list(rel.tol = 1e-15, x.tol = 1e-12, iter.max = 1000, eval.max = 2000))
    if (is.null(best) || f$objective < best$objective) best <- f
  }
  list(betweenStudies = best$par[1], withinStudies = best$par[2], logLikelihood = -best$objective)
}
cat(toJSON(list(madeBy = "tests/reference/dependence.R", date = as.character(Sys.Date()), versions = list(R = R.version.string), tolerance = 1e-5,
  reason = "nlminb works from numerical derivatives: variances agree to about six digits, the log-likelihood to twelve",
  sets = lapply(sets, function(d) list(name = d$name, restricted = fit(d, 1), full = fit(d, 0)))), auto_unbox = TRUE, digits = 15, pretty = TRUE))
