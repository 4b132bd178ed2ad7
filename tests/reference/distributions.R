# The same points as distributions-mpmath.json by base R: a second, independent reference.
# Makes distributions-r.json. Run from the repository root: Rscript tests/reference/distributions.R
suppressPackageStartupMessages(library(jsonlite))
points <- fromJSON("tests/reference/distributions-mpmath.json", simplifyVector = FALSE)$points
by <- list(
  normalDensity = function(x) dnorm(x),
  normalCumulative = function(x) pnorm(x),
  normalUpperTail = function(x) pnorm(x, lower.tail = FALSE),
  normalQuantile = function(p) qnorm(p),
  studentTCumulative = function(x, df) pt(x, df),
  studentTUpperTail = function(x, df) pt(x, df, lower.tail = FALSE),
  studentTQuantile = function(p, df) qt(p, df),
  chiSquareCumulative = function(x, df) pchisq(x, df),
  chiSquareUpperTail = function(x, df) pchisq(x, df, lower.tail = FALSE),
  chiSquareQuantile = function(p, df) qchisq(p, df),
  chiSquareUpperQuantile = function(q, df) qchisq(q, df, lower.tail = FALSE),
  betaCumulative = function(x, a, b) pbeta(x, a, b),
  betaUpperTail = function(x, a, b) pbeta(x, a, b, lower.tail = FALSE),
  betaQuantile = function(p, a, b) suppressWarnings(qbeta(p, a, b)),
  binomialLowerTail = function(events, total, rate) pbinom(events, total, rate),
  binomialUpperTail = function(events, total, rate) pbinom(events - 1, total, rate, lower.tail = FALSE),
  logBinomialCoefficient = function(total, events) lchoose(total, events),
  logGamma = function(x) lgamma(x)
)
values <- vapply(points, function(p) do.call(by[[p$`function`]], unname(p$arguments)), numeric(1))
lines <- vapply(seq_along(points), function(i) {
  p <- points[[i]]
  sprintf('{"function": "%s", "arguments": [%s], "value": %s}', p$`function`,
    paste(sprintf("%.17g", unlist(p$arguments)), collapse = ", "), sprintf("%.17g", values[i]))
}, character(1))
writeLines(c(
  '{"what": "distribution functions and quantiles", "madeBy": "tests/reference/distributions.R",',
  sprintf('"versions": {"R": "%s.%s", "jsonlite": "%s"}, "date": "%s",', R.version$major, R.version$minor,
    packageVersion("jsonlite"), Sys.Date()),
  '"tolerance": "1e-10 relative; another library, but these functions are held far below 1e-6",',
  '"points": [', paste0(lines, c(rep(",", length(lines) - 1), "")), "]}"), "tests/reference/distributions-r.json")
