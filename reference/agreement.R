# Reference results of intraclass correlation from R. Run by ./regenerate; writes agreement_r.json.
suppressMessages({library(psych); library(jsonlite)})
source("common.R")
cases <- list()
for (data in c("shrout_fleiss", "measured")) {
  d <- as.matrix(read_set(data))
  f <- ICC(d, lmer = FALSE, alpha = .05)
  r <- f$results
  cases[[length(cases) + 1]] <- list(kind = "icc", call = "psych::ICC(x, lmer = FALSE, alpha = .05)$results", data = data, value = r$ICC,
    f = r$F, df1 = r$df1, df2 = r$df2, p = r$p, lower = r[["lower bound"]], upper = r[["upper bound"]])
}
d <- read_set("measured")
diff <- d$a - d$b; n <- length(diff); s <- sd(diff); z <- qnorm(.975); t <- qt(.975, n - 1)
se <- s * sqrt(1 / n + z^2 / (2 * (n - 1)))
cases[[length(cases) + 1]] <- list(kind = "bland_altman", call = "written out with mean, sd, qnorm and qt", data = "measured", bias = mean(diff), bias_ci = t.test(d$a, d$b, paired = TRUE)$conf.int,
  sd = s, lower = mean(diff) - z * s, upper = mean(diff) + z * s, lower_ci = mean(diff) - z * s + c(-1, 1) * t * se, upper_ci = mean(diff) + z * s + c(-1, 1) * t * se)
q <- c(1e-12, 1e-5, .025, .3, .5, .9, .975, 1 - 1e-9)
cases[[length(cases) + 1]] <- list(kind = "functions", call = "qnorm, pnorm, pchisq, qt, pt, qf, pf, pbinom, lgamma, digamma, trigamma", data = "none", q = q, qnorm = qnorm(q),
  pnorm = pnorm(c(-30, -8, -1.96, -.1, 0, .7, 3, 8)), chi2 = pchisq(c(.001, .5, 1, 3.84, 20, 100, 700), 1, lower.tail = FALSE), chi2_7 = pchisq(c(.001, .5, 1, 3.84, 20, 100, 700), 7, lower.tail = FALSE),
  qt_3 = qt(q, 3), qt_41 = qt(q, 41.5), pt = 2 * pt(-c(.01, .5, 2, 9, 40), 5.5), qf = qf(q, 5, 12.25), pf = pf(c(.01, .5, 1, 3, 30, 500), 5, 12.25, lower.tail = FALSE),
  pbinom = pbinom(0:12, 12, .37), pbinom_big = pbinom(c(400, 450, 500, 550, 600), 1000, .5), lgamma = lgamma(c(1e-8, .5, 1.5, 3.7, 14.9, 200, 1e6)), digamma = digamma(c(1e-3, .5, 1.4616, 3.7, 14.9, 200, 1e6)), trigamma = trigamma(c(1e-3, .5, 1.5, 3.7, 14.9, 200, 1e6)))
write_results("agreement", cases, c("psych", "stats"))
file.rename("agreement.json", "agreement_r.json")
