# Fits the binomial-normal model to the count sets below with lme4 at 25 quadrature points.
# Run: Rscript tests/pooling/reference/makeBinomialNormalReference.R
# Writes binomialNormalReference.json beside this file. lme4 leaves the saturated part out of the log-likelihood when
# it integrates by quadrature; it is added back here from dbinom, so that the value is the log-likelihood itself.
suppressMessages(library(lme4))
library(jsonlite)
here <- dirname(normalizePath(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE))))
sets <- list(
  list(
    id = "surgical mortality in 12 hospitals",
    source = "Spiegelhalter DJ et al., BUGS Examples volume 1, Surgical: institutional ranking (data)",
    events = c(0, 18, 8, 46, 8, 13, 9, 31, 14, 8, 29, 24),
    totals = c(47, 148, 119, 810, 211, 196, 148, 215, 207, 97, 256, 360)
  ),
  list(
    id = "beta-blocker trials, deaths in the control arms",
    source = "Yusuf S et al., Prog Cardiovasc Dis 1985;27:335-371 (data)",
    events = c(3, 14, 11, 127, 27, 6, 152, 48, 37, 188, 52, 47, 16, 45, 31, 38, 12, 6, 3, 40, 43, 39),
    totals = c(39, 116, 93, 1520, 365, 52, 939, 471, 282, 1921, 583, 266, 293, 883, 147, 213, 122, 154, 134, 218, 364, 674)
  ),
  list(
    id = "rare events beside one giant arm",
    source = "invented",
    events = c(0, 0, 1, 0, 2, 4, 1, 0),
    totals = c(20, 31, 25, 18, 44, 1083, 60, 23)
  ),
  list(
    id = "common events, large variation",
    source = "invented",
    events = c(2, 30, 11, 18, 40, 5, 9),
    totals = c(45, 52, 40, 20, 47, 60, 33)
  ),
  list(
    id = "two arms",
    source = "invented",
    events = c(3, 15),
    totals = c(40, 42)
  )
)
fitted <- lapply(sets, function(set) {
  counts <- data.frame(events = set$events, rest = set$totals - set$events, study = factor(seq_along(set$events)))
  model <- glmer(cbind(events, rest) ~ 1 + (1 | study), counts, binomial, nAGQ = 25,
    control = glmerControl(optimizer = "bobyqa", optCtrl = list(rhobeg = 0.02, rhoend = 1e-10, maxfun = 1e5)))
  saturated <- sum(dbinom(set$events, set$totals, set$events / set$totals, log = TRUE))
  c(set, list(
    mean = unbox(fixef(model)[[1]]),
    standardError = unbox(sqrt(vcov(model)[1, 1])),
    deviation = unbox(getME(model, "theta")[[1]]),
    logLikelihood = unbox(as.numeric(logLik(model)) + saturated)
  ))
})
fitted <- lapply(fitted, function(set) modifyList(set, list(id = unbox(set$id), source = unbox(set$source))))
made <- sprintf("makeBinomialNormalReference.R, R %s, lme4 %s, %s", getRversion(), packageVersion("lme4"), Sys.Date())
write(toJSON(list(made = unbox(made), sets = fitted), digits = 15, pretty = TRUE), file.path(here, "binomialNormalReference.json"))
