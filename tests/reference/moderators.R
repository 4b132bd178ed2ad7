# Second, independent reference for meta-regression: base R lm() with weights gives coefficients, residual-scaled
# (Knapp-Hartung) errors, F and leverage; gls-type likelihoods are written out and maximised by nlminb.
# Run: Rscript tests/reference/moderators.R > tests/reference/moderators-r.json
library(jsonlite)
source_file <- "tests/reference/moderators-python.json"
data <- fromJSON(source_file, simplifyDataFrame = FALSE)
one <- function(d) {
  y <- unlist(d$value); v <- unlist(d$variance)
  design <- relevel(factor(unlist(d$design)), ref = "cohort")
  age <- unlist(d$age); share <- unlist(d$share)
  lapply(d$varianceEstimates, function(t) {
    f <- lm(y ~ age + share + design, weights = 1 / (v + t))
    s <- summary(f)
    list(coefficients = unname(coef(f)), errors = unname(s$coefficients[, 2]), p = unname(s$coefficients[, 4]),
         F = unname(s$fstatistic[1]), leverage = unname(hatvalues(f)), cook = unname(cooks.distance(f)),
         standardised = unname(rstandard(f)))
  })
}
arms <- data$arms
arm_fit <- function() {
  y <- unlist(arms$value); v <- unlist(arms$variance); study <- unlist(arms$study)
  X <- cbind(1, unlist(arms$site) == "sub", unlist(arms$site) == "top", unlist(arms$share))
  same <- outer(study, study, "==") * 1
  minus <- function(theta) {
    O <- diag(v + theta[2]) + theta[1] * same; A <- solve(O); C <- solve(t(X) %*% A %*% X)
    P <- A - A %*% X %*% C %*% t(X) %*% A
    0.5 * as.numeric(determinant(O)$modulus - determinant(C)$modulus + t(y) %*% P %*% y)
  }
  best <- NULL
  for (a in c(0.01, 0.2)) for (b in c(0.01, 0.2)) {
    f <- nlminb(c(a, b), minus, lower = c(0, 0), control = list(rel.tol = 1e-15, x.tol = 1e-12, iter.max = 1000))
    if (is.null(best) || f$objective < best$objective) best <- f
  }
  O <- diag(v + best$par[2]) + best$par[1] * same; A <- solve(O); C <- solve(t(X) %*% A %*% X)
  list(components = best$par, coefficients = as.numeric(C %*% t(X) %*% A %*% y), errors = sqrt(diag(C)))
}
cat(toJSON(list(madeBy = "tests/reference/moderators.R", date = as.character(Sys.Date()), versions = list(R = R.version.string),
  regressions = lapply(data$regressions, one), arms = arm_fit()), auto_unbox = TRUE, digits = 15, pretty = TRUE))
