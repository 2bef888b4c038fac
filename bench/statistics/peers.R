# R survival, cmprsk and ordinal on FOLDER/rows_N.csv: whose, what, rows, median seconds on the clock and of processor time.
suppressMessages({library(survival); library(cmprsk); library(ordinal)})
args <- commandArgs(TRUE); n <- as.integer(args[2]); slow <- n > 1e5
race <- function(who, what, times, run) {
  t <- sapply(seq_len(times), function(i) { gc(FALSE); s <- system.time(run()); c(s[["elapsed"]], s[["user.self"]] + s[["sys.self"]]) })
  cat(who, what, n, median(t[1, ]), median(t[2, ]), sep = "\t"); cat("\n")
}
k <- if (slow) 3 else 5
race("R read.csv", "reading", if (slow) 1 else 3, function() d <<- read.csv(file.path(args[1], sprintf("rows_%d.csv", n))))
x <- quote(x1 + x2 + x3 + x4 + x5)
race("R survival", "kaplan-meier", k, function() survfit(Surv(stop, event) ~ 1, d))
race("R survival", "log-rank", k, function() survdiff(Surv(stop, event) ~ group, d))
race("R survival", "cox efron", k, function() coxph(Surv(stop, event) ~ x1 + x2 + x3 + x4 + x5, d))
race("R survival", "cox breslow cluster", if (slow) 1 else 3, function() coxph(Surv(stop, event) ~ x1 + x2 + x3 + x4 + x5, d, cluster = pair, ties = "breslow"))
if (n <= 1e4) race("R survival", "cox efron cluster", 3, function() coxph(Surv(stop, event) ~ x1 + x2 + x3 + x4 + x5, d, cluster = pair))
race("R survival", "cox efron start-stop", if (slow) 1 else 3, function() coxph(Surv(start, stop, event) ~ x1 + x2 + x3 + x4 + x5, d))
d$state <- factor(d$cause)
race("R survival", "aalen-johansen", if (slow) 1 else 3, function() survfit(Surv(stop, state) ~ 1, d))
race("R cmprsk", "aalen-johansen", k, function() cuminc(d$stop, d$cause))
if (!slow) race("R ordinal", "ordinal", 3, function() clm(factor(level) ~ x1 + x2 + x3 + x4 + x5, data = d))
status <- readLines("/proc/self/status")
cat("R", "most memory of all the above (MB)", n, round(as.numeric(gsub("[^0-9]", "", grep("^VmHWM", status, value = TRUE))) / 1024), sep = "\t"); cat("\n")
