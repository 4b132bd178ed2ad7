# Pooled rates by base R and lme4. Makes pooledRates-r.json.
# Run from the repository root: Rscript tests/reference/pooledRates.R
#
# twoStep: DerSimonian-Laird on the logit, written out in base R; arms at 0 or n are left out, nothing is added.
# oneStep: binomial-normal model, glmer with 25 adaptive quadrature points, tight optimiser. Tolerance 1e-4
# standard errors on the mean and 1e-4 on the deviation, because glmer stops when its own gradient is small.
suppressPackageStartupMessages(library(lme4))
sets <- list(
  hospitals = list(x = c(0, 18, 8, 46, 8, 13, 9, 31, 14, 8, 29, 24), n = c(47, 148, 119, 810, 211, 196, 148, 215, 207, 97, 256, 360)),
  threeArms = list(x = c(3, 1, 7), n = c(40, 25, 60)),
  twoArms = list(x = c(2, 9), n = c(30, 41)),
  giantAndTiny = list(x = c(44, 1, 2, 0, 3), n = c(1083, 15, 22, 12, 31)),
  zeros = list(x = c(0, 0, 1, 0, 2, 0), n = c(23, 17, 40, 31, 66, 20)),
  oneEvent = list(x = c(0, 1, 0, 0), n = c(20, 35, 28, 15)),
  identical = list(x = c(4, 4, 4, 4), n = c(40, 40, 40, 40)),
  homogeneous = list(x = c(5, 11, 8, 16), n = c(50, 100, 80, 150)),
  spread = list(x = c(1, 12, 30, 4, 22), n = c(50, 48, 55, 61, 40)),
  allEventsInOne = list(x = c(12, 20, 17, 30), n = c(12, 24, 19, 41)),
  high = list(x = c(43, 39, 61, 27), n = c(59, 49, 74, 31)),
  tenotomy = list(x = c(15, 18, 5, 21), n = c(45, 31, 20, 40)),
  tenodesis = list(x = c(4, 5, 2, 0, 0, 25), n = c(42, 24, 15, 23, 23, 530))
)
number <- function(v) ifelse(is.finite(v), sprintf("%.15g", v), "null")
rows <- vapply(names(sets), function(name) {
  x <- sets[[name]]$x; n <- sets[[name]]$n
  keep <- x > 0 & x < n
  y <- log(x[keep] / (n - x)[keep]); v <- 1 / x[keep] + 1 / (n - x)[keep]; k <- length(y); w <- 1 / v
  common <- sum(w * y) / sum(w); Q <- sum(w * (y - common)^2)
  tau2 <- if (k > 1) max(0, (Q - (k - 1)) / (sum(w) - sum(w^2) / sum(w))) else NA
  u <- 1 / (v + tau2); mean <- sum(u * y) / sum(u); se <- sqrt(1 / sum(u))
  knapp <- sqrt(sum(u * (y - mean)^2) / ((k - 1) * sum(u)))
  half <- if (k > 2) qt(0.975, k - 2) * sqrt(tau2 + se^2) else NA
  two <- sprintf('{"estimates": %d, "commonEffect": %s, "q": %s, "pValue": %s, "betweenStudyVariance": %s, "mean": %s, "standardError": %s, "hartungKnappStandardError": %s, "hartungKnapp": [%s, %s], "prediction": [%s, %s]}',
    k, number(common), number(Q), number(pchisq(Q, k - 1, lower.tail = FALSE)), number(tau2), number(mean), number(se), number(knapp),
    number(mean - qt(0.975, k - 1) * knapp), number(mean + qt(0.975, k - 1) * knapp), number(mean - half), number(mean + half))
  if (k < 2) two <- "null"
  arm <- factor(seq_along(x)); warned <- character()
  fit <- tryCatch(withCallingHandlers(
    glmer(cbind(x, n - x) ~ 1 + (1 | arm), family = binomial, nAGQ = 25,
      control = glmerControl(optimizer = "nloptwrap", check.conv.singular = "ignore", check.response.not.const = "ignore", optCtrl = list(xtol_abs = 1e-12, ftol_abs = 1e-13, maxeval = 10000))),
    warning = function(w) { warned <<- c(warned, conditionMessage(w)); invokeRestart("muffleWarning") },
    message = function(m) invokeRestart("muffleMessage")), error = function(e) NULL)
  list <- function(v) paste(v, collapse = ", ")
  if (is.null(fit)) return(sprintf('{"name": "%s", "events": [%s], "totals": [%s],\n "twoStep": %s,\n "oneStep": null}', name, list(x), list(n), two))
  sd <- attr(VarCorr(fit)$arm, "stddev")
  one <- sprintf('{"mean": %s, "standardError": %s, "betweenStudyDeviation": %s, "deviance": %s, "warnings": %d}',
    number(fixef(fit)), number(sqrt(vcov(fit)[1, 1])), number(sd), number(deviance(fit, REML = FALSE)), length(warned))
  sprintf('{"name": "%s", "events": [%s], "totals": [%s],\n "twoStep": %s,\n "oneStep": %s}', name, list(x), list(n), two, one)
}, character(1))
writeLines(c('{"what": "pooled rates on the logit scale, two-step and one-step", "madeBy": "tests/reference/pooledRates.R",',
  sprintf('"versions": {"R": "%s.%s", "lme4": "%s"}, "date": "%s",', R.version$major, R.version$minor, packageVersion("lme4"), Sys.Date()),
  '"tolerance": "two-step 1e-10 relative; one-step mean 1e-4 standard errors, deviation 1e-4 absolute (glmer stops on a flat surface)",',
  '"rows": [', paste0(rows, c(rep(",", length(rows) - 1), "")), "]}"), "tests/reference/pooledRates-r.json")
