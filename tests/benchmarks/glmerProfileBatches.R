# A lme4 process that waits for the number of fits in a batch and answers with milliseconds per fit with both profile
# limits of the mean log odds (the mean held as an offset, the deviation fitted again), and the upper limit.
# Arguments: events and totals, comma-separated.
suppressMessages(library(lme4))
given <- commandArgs(trailingOnly = TRUE)
events <- as.numeric(strsplit(given[1], ",")[[1]])
totals <- as.numeric(strsplit(given[2], ",")[[1]])
counts <- data.frame(events, rest = totals - events, study = factor(seq_along(events)))
quiet <- glmerControl(check.conv.grad = "ignore", check.conv.hess = "ignore", check.conv.singular = "ignore")
profiled <- function() {
  fit <- glmer(cbind(events, rest) ~ 1 + (1 | study), counts, binomial, nAGQ = 25, control = quiet)
  held <- function(mean) {
    counts$mean <- mean
    as.numeric(logLik(glmer(cbind(events, rest) ~ 0 + offset(mean) + (1 | study), counts, binomial, nAGQ = 25, control = quiet)))
  }
  top <- as.numeric(logLik(fit)); mean <- fixef(fit)[[1]]; error <- sqrt(vcov(fit)[1, 1])
  off <- function(at) 2 * (top - held(at)) - qchisq(0.95, 1)
  c(uniroot(off, mean - error * c(4, 1), tol = 1e-6)$root, uniroot(off, mean + error * c(1, 4), tol = 1e-6)$root)
}
invisible(profiled())
input <- file("stdin", "r")
cat("ready\n")
flush(stdout())
while (length(line <- readLines(input, n = 1)) > 0) {
  runs <- as.integer(line)
  began <- proc.time()[["elapsed"]]
  for (i in seq_len(runs)) limits <- profiled()
  spent <- proc.time()[["elapsed"]] - began
  cat(sprintf("%.9f %.9f\n", 1000 * spent / runs, limits[[2]]))
  flush(stdout())
}
