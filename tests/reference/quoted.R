# Makes quoted-r.json: the binomial-normal model of the rates in quoted.json by lme4, with the profile of its intercept.
# Run in this folder after quoted.py: Rscript quoted.R
suppressMessages({library(jsonlite); library(lme4)})
data <- fromJSON("quoted.json", simplifyVector = FALSE)$rates
tight <- glmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-9, maxfun = 200000), check.conv.grad = "ignore",
  check.conv.hess = "ignore", check.conv.singular = "ignore", tolPwrss = 1e-10)
one <- function(entry) {
  x <- sapply(entry$counts, `[[`, 1); n <- sapply(entry$counts, `[[`, 2); study <- factor(seq_along(x))
  fit <- glmer(cbind(x, n - x) ~ 1 + (1 | study), family = binomial, nAGQ = 25, control = tight)
  # The profile: the intercept held as an offset, the deviation fitted again.
  held <- function(b) {
    off <- rep(b, length(x))
    as.numeric(logLik(glmer(cbind(x, n - x) ~ 0 + offset(off) + (1 | study), family = binomial, nAGQ = 25, control = tight)))
  }
  top <- as.numeric(logLik(fit)); b <- unname(fixef(fit)); se <- sqrt(vcov(fit)[1, 1])
  end <- function(sign) uniroot(function(u) 2 * (top - held(u)) - qchisq(0.95, 1), sort(b + sign * se * c(1.2, 4)), tol = 1e-8)$root
  list(value = b, deviation = unname(attr(VarCorr(fit)$study, "stddev")), limits = c(end(-1), end(1)))
}
names <- c("thirteen", "common")
out <- list(made = list(by = "quoted.R", date = as.character(Sys.Date()), r = R.version$version.string,
  lme4 = as.character(packageVersion("lme4"))), rates = setNames(lapply(names, function(n) one(data[[n]])), names))
write_json(out, "quoted-r.json", auto_unbox = TRUE, digits = 14, pretty = TRUE)
