# Makes tests/reference/audit.json: p values of two-by-two tables by the tests of base R, and mid-P and doubled tails from
# the hypergeometric distribution. Run: Rscript tests/reference/audit.R
library(jsonlite)
tables <- list(c(8, 530, 6, 996), c(19, 106, 8, 143), c(21, 40, 2, 15), c(15, 45, 4, 42), c(18, 31, 5, 24),
  c(0, 23, 3, 23), c(1, 2, 0, 2), c(10, 20, 10, 20), c(109, 401, 41, 410), c(44, 1083, 12, 15085), c(3, 7, 7, 7), c(60, 60, 50, 55))
rows <- lapply(tables, function(t) {
  a <- t[1]; n1 <- t[2]; c <- t[3]; n2 <- t[4]; m <- matrix(c(a, n1 - a, c, n2 - c), 2, byrow = TRUE); k <- a + c
  x <- max(0, k - n2):min(k, n1); p <- dhyper(x, n1, n2, k); own <- dhyper(a, n1, n2, k)
  less <- sum(p[p < own * (1 - 1e-7)]); ties <- sum(p[abs(p / own - 1) <= 1e-7])
  q <- function(correct) suppressWarnings(chisq.test(m, correct = correct))
  e <- q(FALSE)$expected; chi <- unname(q(FALSE)$statistic); n <- n1 + n2
  yates <- n * max(0, abs(m[1] * m[4] - m[2] * m[3]) - n / 2)^2 / (n1 * n2 * k * (n - k))
  list(one = c(a, n1), other = c(c, n2), tests = list(
    "Fisher's exact test" = fisher.test(m)$p.value,
    "chi-square without correction" = q(FALSE)$p.value,
    "chi-square with Yates's correction" = pchisq(yates, 1, lower.tail = FALSE),
    "mid-P exact test" = less + ties / 2,
    "twice the smaller exact tail" = min(1, 2 * min(sum(p[x <= a]), sum(p[x >= a]))),
    "chi-square with N − 1" = pchisq(chi * (n - 1) / n, 1, lower.tail = FALSE),
    "likelihood ratio" = pchisq(2 * sum(ifelse(m > 0, m * log(m / e), 0)), 1, lower.tail = FALSE)))
})
writeLines(toJSON(list(made = list(date = format(Sys.Date()), R = R.version.string, script = "tests/reference/audit.R"),
  rows = rows), auto_unbox = TRUE, digits = 16, pretty = TRUE), "tests/reference/audit.json")
