# Base nlme fitting the two-level model with known sampling variances by maximum likelihood, timed from the inside.
# (Only maximum likelihood: with the residual variance held at 1 its restricted answer is another model's.)
suppressMessages(library(nlme))
given <- commandArgs(trailingOnly = TRUE)
data <- data.frame(value = as.numeric(strsplit(given[1], ",")[[1]]), variance = as.numeric(strsplit(given[2], ",")[[1]]))
data$study <- factor(seq_len(nrow(data)))
fit <- function() lme(value ~ 1, random = ~ 1 | study, weights = varFixed(~variance), data = data, method = "ML",
  control = lmeControl(sigma = 1))
for (i in 1:3) fit()
input <- file("stdin", "r")
cat("ready\n")
flush(stdout())
while (length(line <- readLines(input, n = 1)) > 0) {
  runs <- as.integer(line)
  began <- proc.time()[["elapsed"]]
  for (i in seq_len(runs)) model <- fit()
  spent <- proc.time()[["elapsed"]] - began
  cat(sprintf("%.9f %.9f\n", 1000 * spent / runs, as.numeric(VarCorr(model)[1, "Variance"])))
  flush(stdout())
}
