# A lme4 process that waits for the number of fits in a batch and answers with milliseconds per fit and the fitted
# mean. Arguments: events and totals, comma-separated.
suppressMessages(library(lme4))
given <- commandArgs(trailingOnly = TRUE)
events <- as.numeric(strsplit(given[1], ",")[[1]])
totals <- as.numeric(strsplit(given[2], ",")[[1]])
counts <- data.frame(events, rest = totals - events, study = factor(seq_along(events)))
fit <- function() glmer(cbind(events, rest) ~ 1 + (1 | study), counts, binomial, nAGQ = 7)
for (i in 1:3) fit()
input <- file("stdin", "r")
cat("ready\n")
flush(stdout())
while (length(line <- readLines(input, n = 1)) > 0) {
  runs <- as.integer(line)
  began <- proc.time()[["elapsed"]]
  for (i in seq_len(runs)) model <- fit()
  spent <- proc.time()[["elapsed"]] - began
  cat(sprintf("%.9f %.9f\n", 1000 * spent / runs, fixef(model)[[1]]))
  flush(stdout())
}
