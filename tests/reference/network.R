# References for the network: generalised least squares in base R with dense matrices, no package but jsonlite
# for writing. Run: Rscript tests/reference/network.R > tests/reference/network-r.json
library(jsonlite)

arms <- read.csv(text = "
study,treatment,events,total
s1,A,12,80
s1,B,7,84
s2,A,41,101
s2,B,9,97
s3,A,15,66
s3,C,6,70
s4,B,11,92
s4,C,8,95
s5,A,14,60
s5,B,8,62
s5,C,4,59
s6,C,19,77
s6,D,13,80
s7,A,6,55
s7,D,12,58
s8,B,17,120
s8,D,9,118
s9,A,25,140
s9,C,9,138
s9,D,15,141
", strip.white = TRUE)

treatments <- c("A", "B", "C", "D")
p <- function(x, n) log(x / (n - x))
v <- function(x, n) 1 / x + 1 / (n - x)

build <- function(arms) {
  y <- c(); X <- NULL; S <- list(); P <- list(); who <- c()
  for (s in unique(arms$study)) {
    a <- arms[arms$study == s, ]
    k <- nrow(a) - 1
    val <- p(a$events, a$total); va <- v(a$events, a$total)
    for (j in 1 + seq_len(k)) {
      y <- c(y, val[j] - val[1])
      row <- setNames(rep(0, 4), treatments)
      row[a$treatment[j]] <- 1; row[a$treatment[1]] <- row[a$treatment[1]] - 1
      X <- rbind(X, row); who <- c(who, s)
    }
    S[[s]] <- matrix(va[1], k, k) + diag(va[-1], k)
    P[[s]] <- (matrix(1, k, k) + diag(k)) / 2
  }
  bd <- function(l) { n <- sum(sapply(l, nrow)); m <- matrix(0, n, n); at <- 0
    for (b in l) { i <- at + seq_len(nrow(b)); m[i, i] <- b; at <- at + nrow(b) }; m }
  list(y = y, X = X[, -1], S = bd(S), P = bd(P), who = who)
}

gls <- function(d, tau2, X = d$X) {
  W <- solve(d$S + tau2 * d$P)
  C <- solve(t(X) %*% W %*% X)
  b <- C %*% t(X) %*% W %*% d$y
  r <- d$y - X %*% b
  list(b = as.numeric(b), C = C, q = as.numeric(t(r) %*% W %*% r), W = W)
}
# The slope of the (restricted) log-likelihood in tau2, solved for zero.
reml <- function(d, X = d$X, restricted = TRUE) {
  slope <- function(t2) {
    g <- gls(d, t2, X)
    H <- g$W - g$W %*% X %*% g$C %*% t(X) %*% g$W
    Hy <- H %*% d$y
    -0.5 * sum((if (restricted) H else g$W) * d$P) + 0.5 * as.numeric(t(Hy) %*% d$P %*% Hy)
  }
  if (slope(0) <= 0) return(0)
  uniroot(slope, c(0, 20), tol = 1e-14)$root
}

d <- build(arms)
common <- gls(d, 0)
df <- length(d$y) - 3
W <- common$W; H <- W - W %*% d$X %*% common$C %*% t(d$X) %*% W
dl <- max(0, (common$q - df) / sum(diag(H %*% d$P)))
tau2 <- reml(d); tau2ml <- reml(d, restricted = FALSE)
random <- gls(d, tau2)

# Symmetrical split of A against B: half of omega on either arm in studies that hold both.
split <- function(one, other, at = NULL) {
  term <- c()
  for (s in unique(arms$study)) {
    a <- arms[arms$study == s, ]
    both <- all(c(one, other) %in% a$treatment)
    w <- ifelse(a$treatment == one, 0.5, ifelse(a$treatment == other, -0.5, 0)) * both
    term <- c(term, w[-1] - w[1])
  }
  X <- cbind(d$X, omega = term)
  t2 <- if (is.null(at)) reml(d, X) else at
  g <- gls(d, t2, X)
  cvec <- setNames(rep(0, 4), treatments); cvec[one] <- 1; cvec[other] <- -1
  ci <- c(cvec[-1], 0); cd <- c(cvec[-1], 1)
  list(one = one, other = other, tau2 = t2,
    direct = sum(cd * g$b), directSe = sqrt(as.numeric(t(cd) %*% g$C %*% cd)),
    indirect = sum(ci * g$b), indirectSe = sqrt(as.numeric(t(ci) %*% g$C %*% ci)),
    omega = g$b[4], omegaSe = sqrt(g$C[4, 4]), p = unname(2 * pnorm(-abs(g$b[4]) / sqrt(g$C[4, 4]))))
}

# Firth's penalised likelihood on the arms of a sparse network, maximised from the dense design.
sparse <- read.csv(text = "
study,treatment,events,total
t1,A,1,40
t1,B,0,42
t2,A,3,90
t2,C,1,88
t3,B,0,35
t3,C,2,37
t4,A,2,50
t4,B,1,52
t4,C,0,49
t5,B,1,61
t5,D,4,60
t6,C,0,45
t6,D,1,44
", strip.white = TRUE)
Z <- model.matrix(~ 0 + study + factor(treatment, treatments), sparse)
ll <- function(th) {
  eta <- as.numeric(Z %*% th); q <- plogis(eta)
  sum(sparse$events * plogis(eta, log.p = TRUE) + (sparse$total - sparse$events) * plogis(-eta, log.p = TRUE)) +
    0.5 * as.numeric(determinant(t(Z) %*% (sparse$total * q * (1 - q) * Z))$modulus)
}
th <- rep(0, ncol(Z)); th[1:6] <- -3
score <- function(th) {
  q <- plogis(as.numeric(Z %*% th)); w <- sparse$total * q * (1 - q)
  I <- t(Z) %*% (w * Z); h <- w * rowSums((Z %*% solve(I)) * Z)
  list(u = as.numeric(t(Z) %*% (sparse$events - sparse$total * q + h * (0.5 - q))), I = I)
}
for (i in 1:2000) { s <- score(th); step <- solve(s$I, s$u); th <- th + 0.5 * step; if (max(abs(step)) < 1e-14) break }
s <- score(th)
stopifnot(max(abs(s$u)) < 1e-9, ll(th) > ll(th + 1e-3), ll(th) > ll(th - 1e-3))
# Profile limits of treatment B less A: the penalised likelihood maximised over everything else.
profile <- function(value, k = 7) {
  h <- th; h[k] <- value
  for (i in 1:3000) { s <- score(h); step <- solve(s$I[-k, -k], s$u[-k]); h[-k] <- h[-k] + 0.5 * step; if (max(abs(step)) < 1e-13) break }
  ll(h)
}
cut <- ll(th) - qchisq(0.95, 1) / 2
limits <- c(uniroot(function(v) profile(v) - cut, c(th[7] - 8, th[7]), tol = 1e-12)$root,
  uniroot(function(v) profile(v) - cut, c(th[7], th[7] + 6), tol = 1e-12)$root)
firth <- list(limits = limits, p = pchisq(2 * (ll(th) - profile(0)), 1, lower.tail = FALSE), effects = th[7:9], se = sqrt(diag(solve(s$I)))[7:9], height = ll(th))

cat(toJSON(list(
  about = list(made = format(Sys.Date()), r = R.version.string, script = "tests/reference/network.R"),
  arms = arms, sparse = sparse,
  common = list(effects = common$b, covariance = common$C, q = common$q, df = df),
  tau2 = list(dl = dl, reml = tau2, ml = tau2ml),
  random = list(effects = random$b, covariance = random$C),
  # P values of the random effects of B, C and D less A: normal, and by the scatter around the network (t).
  p = list(wald = 2 * pnorm(-abs(random$b) / sqrt(diag(random$C))),
    "hartung-knapp" = 2 * pt(-abs(random$b) / sqrt(diag(random$C) * random$q / df), df)),
  splits = list(split("A", "B"), split("A", "C"), split("B", "C"), split("C", "D")),
  splitsUnsplit = list(split("A", "B", tau2), split("A", "C", tau2), split("B", "C", tau2), split("C", "D", tau2)),
  firth = firth
), digits = NA, auto_unbox = TRUE, pretty = TRUE), "\n")
