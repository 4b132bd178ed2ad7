# Meta-regression of rows that share studies: coefficients by weights 1 / (v + tau2), standard errors by the bias-reduced
# sandwich over studies, Satterthwaite degrees of freedom, and the approximate Hotelling test of several coefficients,
# written out with N x N matrices in base R.
#
# Hedges LV, Tipton E, Johnson MC, Res Synth Methods 2010;1:39-65. Tipton E, Psychol Methods 2015;20:375-393, equations 6
# to 12. Tipton E, Pustejovsky JE, J Educ Behav Stat 2015;40:604-634 (AHT test with eta_Z).
#
# Rscript tests/reference/rowsOfOneStudy.R > tests/reference/rowsOfOneStudy.json
library(jsonlite)
RNGversion("4.0.0"); set.seed(11)
study <- rep(1:14, times = c(3, 2, 1, 2, 4, 1, 2, 3, 1, 2, 1, 2, 2, 3)); N <- length(study)
site <- sample(c("a", "b", "c", "d"), N, replace = TRUE, prob = c(.4, .2, .2, .2))
age <- round(rnorm(14, 55, 6), 1)[study] + round(rnorm(N, 0, 1), 1)
v <- round(runif(N, .03, .4), 3)
y <- round(-1 + .03 * (age - 55) + .4 * (site == "b") + rnorm(14, 0, .4)[study] + rnorm(N, 0, sqrt(v)), 3)
tau2 <- 0.15
symmetric <- function(m, power) { e <- eigen((m + t(m)) / 2, symmetric = TRUE)
  d <- ifelse(e$values > 1e-12 * max(e$values), e$values^power, 0); e$vectors %*% (d * t(e$vectors)) }
answer <- function(X) {
  Phi <- diag(v + tau2); W <- solve(Phi); M <- solve(t(X) %*% W %*% X); beta <- drop(M %*% t(X) %*% W %*% y)
  H <- X %*% M %*% t(X) %*% W; IH <- diag(N) - H; e <- drop(IH %*% y)
  G <- lapply(unique(study), function(s) { i <- which(study == s); P <- Phi[i, i, drop = FALSE]; R <- symmetric(P, .5)
    B <- R %*% (IH %*% Phi %*% t(IH))[i, i, drop = FALSE] %*% R
    A <- R %*% symmetric(B, -.5) %*% R; list(i = i, L = A %*% W[i, i, drop = FALSE] %*% X[i, , drop = FALSE] %*% M) })
  V <- Reduce(`+`, lapply(G, function(g) { u <- t(g$L) %*% e[g$i]; u %*% t(u) }))
  # p vectors: what the data are multiplied by in study g's term of combination c.
  p <- function(g, c) drop(t(IH[g$i, , drop = FALSE]) %*% (g$L %*% c))
  df <- function(c) { K <- outer(seq_along(G), seq_along(G), Vectorize(function(i, j) drop(t(p(G[[i]], c)) %*% Phi %*% p(G[[j]], c))))
    sum(diag(K))^2 / sum(K^2) }
  unit <- function(k) as.numeric(seq_len(ncol(X)) == k)
  single <- lapply(seq_len(ncol(X)), function(k) { se <- sqrt(V[k, k]); d <- df(unit(k))
    list(value = beta[k], standardError = se, degreesOfFreedom = d, pValue = 2 * pt(-abs(beta[k] / se), d), reach = qt(.975, d) * se) })
  joint <- function(ks) { C <- diag(ncol(X))[ks, , drop = FALSE]; q <- nrow(C); Om <- C %*% M %*% t(C); S <- symmetric(Om, -.5); U <- S %*% C
    P <- lapply(1:q, function(s) sapply(G, function(g) p(g, U[s, ])))
    K <- function(s, t) t(P[[s]]) %*% Phi %*% P[[t]]
    total <- 0; for (s in 1:q) for (t in 1:q) total <- total + sum(K(s, s) * K(t, t) + K(s, t) * K(t, s))
    eta <- q * (q + 1) / total; b <- C %*% beta; Q <- drop(t(b) %*% solve(C %*% V %*% t(C)) %*% b)
    Fs <- (eta - q + 1) / (eta * q) * Q; list(statistic = Fs, numerator = q, denominator = eta - q + 1, pValue = pf(Fs, q, eta - q + 1, lower.tail = FALSE)) }
  list(coefficients = single, joint = joint, covariance = V)
}
dummies <- cbind(site == "b", site == "c", site == "d") * 1
full <- answer(cbind(1, dummies, age)); line <- answer(cbind(1, age))
cat(toJSON(list(madeBy = "tests/reference/rowsOfOneStudy.R", date = as.character(Sys.Date()), versions = list(R = R.version.string), tau2 = tau2,
  rows = data.frame(study = paste0("s", study), site = site, age = age, value = y, variance = v),
  full = list(coefficients = full$coefficients, covariance = full$covariance, site = full$joint(2:4), age = full$joint(5), all = full$joint(2:5)),
  line = list(coefficients = line$coefficients, age = line$joint(2))), auto_unbox = TRUE, digits = 15, pretty = TRUE))
