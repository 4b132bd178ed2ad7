# Reference values for small-study tests and influence in base R (lm, cor.test, nlminb, uniroot).
# Run: Rscript tests/reference/robustness.R > tests/reference/robustness-r.json
library(jsonlite)
set.seed(20261125)
k <- 24
n1 <- round(runif(k, 15, 300)); n2 <- round(runif(k, 15, 300))
# Invented counts: no cell is 0 or full.
b <- pmin(pmax(rbinom(k, n2, 0.3), 1), n2 - 1); a <- pmin(pmax(rbinom(k, n1, plogis(qlogis(0.22) + rnorm(k, 0, 0.5))), 1), n1 - 1)
y <- log(a * (n2 - b) / (b * (n1 - a))); v <- 1 / a + 1 / (n1 - a) + 1 / b + 1 / (n2 - b); se <- sqrt(v)
line <- function(fit, level = 0.95) { s <- summary(fit)$coefficients; ci <- confint(fit, level = level)
  list(intercept = c(s[1, ], ci[1, ]), slope = c(s[2, ], ci[2, ])) }
N <- n1 + n2; m <- a + b
Z <- a - n1 * m / N; V <- n1 * n2 * m * (N - m) / (N^2 * (N - 1)); p <- Z / sqrt(V); q <- sqrt(V)
w <- 1 / v; mu <- sum(w * y) / sum(w); dev <- (y - mu) / sqrt(v - 1 / sum(w))
arc <- asin(sqrt(a / n1))
kendall <- function(x, y) { e <- suppressWarnings(cor.test(x, y, method = "kendall"))
  n <- suppressWarnings(cor.test(x, y, method = "kendall", exact = FALSE)); c <- suppressWarnings(cor.test(x, y, method = "kendall", exact = FALSE, continuity = TRUE))
  list(tau = unname(n$estimate), z = unname(n$statistic), p = n$p.value, pCorrected = c$p.value, pExact = e$p.value) }
# Ties: values and variances rounded.
ty <- round(y, 0); tv <- round(v, 1) + 0.05; tw <- 1 / tv; tmu <- sum(tw * ty) / sum(tw)
# Influence by refits: a weighted mean with known between-study variance is lm() with weights; moments for the variance.
dl <- function(y, v) { w <- 1 / v; mu <- sum(w * y) / sum(w); q <- sum(w * (y - mu)^2); max(0, (q - length(y) + 1) / (sum(w) - sum(w^2) / sum(w))) }
t2 <- dl(y, v); full <- lm(y ~ 1, weights = 1 / (v + t2)); se0 <- sqrt(1 / sum(1 / (v + t2)))
infl <- lapply(1:k, function(i) { t <- dl(y[-i], v[-i]); f <- lm(y[-i] ~ 1, weights = 1 / (v[-i] + t)); s <- sqrt(1 / sum(1 / (v[-i] + t)))
  list(hat = unname(hatvalues(full)[i]), mean = unname(coef(f)), variance = t, residual = unname((y[i] - coef(f)) / sqrt(v[i] + t + s^2)),
    cook = unname((coef(full) - coef(f))^2 / se0^2), change = unname((coef(full) - coef(f)) / sqrt(1 / sum(1 / (v + t)))), ratio = s^2 / se0^2) })
# Step-function selection, written out; favoured direction negative.
negative <- function(theta, steps) { mu <- theta[1]; s <- sqrt(v + theta[2]^2); d <- c(1, exp(theta[-(1:2)])); x <- -y
  cuts <- cbind(Inf, sapply(steps, function(p) se * qnorm(1 - p)), -Inf); B <- sapply(1:length(d), function(j) pnorm((cuts[, j] - mu) / s) - pnorm((cuts[, j + 1] - mu) / s))
  pv <- pnorm(x / se, lower.tail = FALSE); j <- findInterval(pv, steps, left.open = TRUE) + 1
  -sum(log(d[j]) + dnorm(x, mu, s, log = TRUE) - log(B %*% d)) }
fit <- function(steps) { best <- NULL
  for (t in c(0.05, 0.3, 0.7)) for (l in c(-1, 0, 1)) { start <- c(0.4, t, rep(l, length(steps)))
    f <- nlminb(start, negative, steps = steps, control = list(rel.tol = 1e-15, x.tol = 1e-10, iter.max = 2000, eval.max = 4000))
    if (is.null(best) || f$objective < best$objective) best <- f }
  # Profile of the mean: where the log-likelihood has fallen by qchisq(0.95, 1) / 2.
  prof <- function(mu) { g <- Inf; for (t in c(0.05, 0.3, 0.7, abs(best$par[2]) + 0.01)) g <- min(g, nlminb(c(t, best$par[-(1:2)]), function(r) negative(c(mu, r), steps), control = list(rel.tol = 1e-14))$objective); g - best$objective - qchisq(0.95, 1) / 2 }
  list(steps = I(steps), mean = -best$par[1], variance = best$par[2]^2, chances = I(exp(best$par[-(1:2)])), logLikelihood = -best$objective,
    meanLower = -uniroot(prof, c(best$par[1], best$par[1] + 1.5), tol = 1e-10)$root, meanUpper = -uniroot(prof, c(best$par[1] - 1.5, best$par[1]), tol = 1e-10)$root) }
cat(toJSON(list(madeBy = "tests/reference/robustness.R", date = as.character(Sys.Date()), versions = list(R = R.version.string),
  data = list(eventsTreated = a, totalTreated = n1, eventsComparator = b, totalComparator = n2),
  egger = line(lm(I(y / se) ~ I(1 / se))), harbord = line(lm(p ~ q)), peters = line(lm(y ~ I(1 / N), weights = m * (N - m) / N)),
  rateSize = line(lm(arc ~ I(1 / n1), weights = n1)), linear = line(lm(y ~ se, weights = 1 / v)), squared = line(lm(y ~ v, weights = 1 / v)),
  begg = kendall(dev, v), tied = c(list(y = ty, v = tv), kendall((ty - tmu) / sqrt(tv - 1 / sum(tw)), tv)), influence = infl,
  selection = list(fit(c(0.025)), fit(c(0.025, 0.5)))), auto_unbox = TRUE, digits = 15, pretty = TRUE))
