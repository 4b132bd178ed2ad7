# Makes rareEventsR.json: reference values from base R and lme4 for tests/pooling/rareEvents.
# Run in this folder: Rscript rareEventsR.R
suppressMessages({library(jsonlite); library(lme4)})
data <- fromJSON("rareEventsData.json", simplifyVector = FALSE)
grid <- seq(-12, 12, length.out = 2401)

twoArm <- function(tables) {
  # As doubles: mantelhaen.test overflows on integers as large as the BCG totals.
  pick <- function(arm, at) as.numeric(sapply(tables, function(t) t[[arm]][[at]]))
  x1 <- pick("treated", 1); n1 <- pick("treated", 2); x2 <- pick("comparator", 1); n2 <- pick("comparator", 2)
  silent <- (x1 + x2 == 0) | (x1 + x2 == n1 + n2)
  u <- which(!silent)
  out <- list()
  cells <- array(rbind(x1[u], x2[u], n1[u] - x1[u], n2[u] - x2[u]), c(2, 2, length(u)))
  plain <- mantelhaen.test(cells, exact = FALSE, correct = FALSE)
  corrected <- mantelhaen.test(cells, exact = FALSE, correct = TRUE)
  exact <- mantelhaen.test(cells, exact = TRUE)
  below <- mantelhaen.test(cells, exact = TRUE, alternative = "less")$p.value
  above <- mantelhaen.test(cells, exact = TRUE, alternative = "greater")$p.value
  out$mantelHaenszel <- list(oddsRatio = unname(plain$estimate), interval = as.numeric(plain$conf.int),
    chiSquare = unname(plain$statistic), pValue = plain$p.value,
    chiSquareCorrected = unname(corrected$statistic), pValueCorrected = corrected$p.value)
  out$exact <- list(oddsRatio = unname(exact$estimate), interval = as.numeric(exact$conf.int),
    less = below, greater = above)
  if (sum(x1) == 0) return(out)

  long <- data.frame(study = factor(rep(seq_along(x1), 2)), events = c(x1, x2), total = c(n1, n2),
    half = rep(c(0.5, -0.5), each = length(x1)))
  some <- droplevels(long[!rep(silent, 2), ])
  common <- glm(cbind(events, total - events) ~ 0 + study + half, binomial, some,
    control = glm.control(epsilon = 1e-14, maxit = 100))
  out$fixedInterceptsCommon <- list(value = unname(coef(common)["half"]),
    standardError = unname(sqrt(vcov(common)["half", "half"])), logLikelihood = as.numeric(logLik(common)))

  tight <- glmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-9, maxfun = 200000),
    check.conv.grad = "ignore", check.conv.hess = "ignore", check.conv.singular = "ignore",
    tolPwrss = 1e-10)
  # One scalar random effect (the slope), so that lme4 allows more than one node.
  fit <- glmer(cbind(events, total - events) ~ 0 + study + half + (0 + half | study), some, binomial,
    nAGQ = 25, control = tight, start = list(fixef = coef(common), theta = 0.3))
  out$fixedInterceptsRandom <- list(value = unname(fixef(fit)["half"]),
    standardError = unname(sqrt(vcov(fit)["half", "half"])),
    deviation = unname(attr(VarCorr(fit)$study, "stddev")))
  fit <- glmer(cbind(events, total - events) ~ half + (1 | study), long, binomial, nAGQ = 25, control = tight)
  out$randomInterceptsCommon <- list(value = unname(fixef(fit)["half"]),
    standardError = unname(sqrt(vcov(fit)["half", "half"])),
    interceptDeviation = unname(attr(VarCorr(fit)$study, "stddev")))

  # Hypergeometric-normal: the likelihood written out, integrated by the trapezoid rule.
  tables2 <- lapply(u, function(i) {
    support <- max(0, x1[i] + x2[i] - n2[i]):min(n1[i], x1[i] + x2[i])
    list(a = x1[i], support = support, coefficient = lchoose(n1[i], support) + lchoose(n2[i], x1[i] + x2[i] - support))
  })
  logSum <- function(m) { top <- apply(m, 1, max); top + log(rowSums(exp(m - top))) }
  given <- function(t, theta) {
    t$coefficient[t$support == t$a] + t$a * theta -
      logSum(outer(theta, t$support) + rep(t$coefficient, each = length(theta)))
  }
  width <- grid[2] - grid[1]
  objective <- function(p) {
    if (p[2] < 1e-12) return(-sum(sapply(tables2, given, theta = p[1])))
    -sum(sapply(tables2, function(t) {
      at <- p[1] + p[2] * grid
      l <- given(t, at) + dnorm(grid, log = TRUE)
      max(l) + log(sum(exp(l - max(l)))) + log(width)
    }))
  }
  coarse <- grid; grid <- coarse[seq(1, length(coarse), 12)]; width <- grid[2] - grid[1]
  best <- optim(c(log(exact$estimate), 0.3), objective, method = "L-BFGS-B", lower = c(-Inf, 0),
    control = list(factr = 10, pgtol = 0))
  out$hypergeometricNormal <- list(value = unname(best$par[1]), deviation = unname(best$par[2]), logLikelihood = -best$value)

  # Beta-binomial with two means and one sum of parameters, by beta functions.
  betaBinomial <- function(p) {
    m1 <- plogis(p[1]); m2 <- plogis(p[2]); s <- exp(p[3])
    one <- function(x, n, m) sum(lchoose(n, x) + lbeta(x + m * s, n - x + (1 - m) * s) - lbeta(m * s, (1 - m) * s))
    -(one(x1, n1, m1) + one(x2, n2, m2))
  }
  best <- optim(c(qlogis(sum(x1) / sum(n1)), qlogis(sum(x2) / sum(n2)), 3), betaBinomial, method = "BFGS",
    control = list(reltol = 1e-15, maxit = 1000))
  out$betaBinomial <- list(logits = best$par[1:2], overdispersion = 1 / (1 + exp(best$par[3])), logLikelihood = -best$value)
  out
}

oneArm <- function(arms) {
  x <- sapply(arms, function(a) a$count[[1]]); n <- sapply(arms, function(a) a$count[[2]])
  years <- n * sapply(arms, function(a) a$followUpMonths) / 12
  d <- data.frame(x, n, years, study = factor(seq_along(x)))
  tight <- glmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-9, maxfun = 100000),
    check.conv.grad = "ignore", check.conv.hess = "ignore", tolPwrss = 1e-10)
  report <- function(fit) list(mean = unname(fixef(fit)[1]), standardError = unname(sqrt(vcov(fit)[1, 1])),
    deviation = unname(attr(VarCorr(fit)$study, "stddev")))
  betaBinomial <- function(p) {
    m <- plogis(p[1]); s <- exp(p[2])
    -sum(lchoose(n, x) + lbeta(x + m * s, n - x + (1 - m) * s) - lbeta(m * s, (1 - m) * s))
  }
  best <- optim(c(qlogis(sum(x) / sum(n)), 3), betaBinomial, method = "BFGS", control = list(reltol = 1e-15, maxit = 1000))
  list(
    complementaryLogLog = report(glmer(cbind(x, n - x) ~ 1 + (1 | study), d, binomial("cloglog"), nAGQ = 25, control = tight)),
    logit = report(glmer(cbind(x, n - x) ~ 1 + (1 | study), d, binomial, nAGQ = 25, control = tight)),
    poisson = report(glmer(x ~ 1 + (1 | study), d, poisson, offset = log(years), nAGQ = 25, control = tight)),
    betaBinomial = list(mean = best$par[1], overdispersion = 1 / (1 + exp(best$par[2])), logLikelihood = -best$value),
    exactBinomial = as.numeric(binom.test(sum(x), sum(n))$conf.int),
    exactPoisson = as.numeric(poisson.test(sum(x), sum(years) / 100)$conf.int))
}

out <- list(
  madeWith = sprintf("R %s, lme4 %s", getRversion(), packageVersion("lme4")), madeOn = format(Sys.Date()),
  script = "tests/reference/rareEventsR.R",
  twoArm = lapply(data$twoArm, function(d) twoArm(d$tables)),
  oneArm = lapply(data$oneArm, function(d) oneArm(d$arms)))
write(toJSON(out, digits = NA, auto_unbox = TRUE, pretty = TRUE), "rareEventsR.json")
