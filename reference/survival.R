# Reference results of survival methods from R. Run by ./regenerate; writes survival.json.
suppressMessages({library(survival); library(cmprsk); library(etm); library(jsonlite)})
source("common.R")

tight <- coxph.control(eps = 1e-13, iter.max = 50, toler.chol = 1e-14)
cases <- list()
keep <- function(case) cases[[length(cases) + 1]] <<- case

y_of <- function(d, s) if (is.null(s$start)) Surv(d[[s$time]], d[[s$event]]) else Surv(d[[s$start]], d[[s$time]], d[[s$event]])
w_of <- function(d, s) if (is.null(s$weight)) NULL else d[[s$weight]]

km <- function(data, time, event, start = NULL, weight = NULL, cluster = NULL, conf = "log-log") {
  s <- list(data = data, time = time, event = event, start = start, weight = weight, cluster = cluster)
  d <- read_set(data); y <- y_of(d, s)
  args <- list(y ~ 1, conf.type = conf)
  if (!is.null(weight)) args$weights <- d[[weight]]
  if (!is.null(cluster)) args$cluster <- d[[cluster]] else args$robust <- FALSE
  f <- do.call(survfit, args); sm <- summary(f, censored = TRUE)
  tab <- summary(f, rmean = max(f$time) * 0.9)$table
  q <- quantile(f, c(.1, .25, .75))
  keep(c(list(kind = "km", call = deparse1(bquote(survfit(Surv(.(start), .(time), .(event)) ~ 1, weights = .(weight), cluster = .(cluster), conf.type = .(conf), robust = .(!is.null(cluster))))), conf = conf), s,
    list(times = f$time, at_risk = f$n.risk, events = f$n.event, censored = f$n.censor, surv = f$surv,
      std_err = sm$std.err, lower = f$lower, upper = f$upper,
      median = unname(tab[["median"]]), median_lower = unname(tab[["0.95LCL"]]), median_upper = unname(tab[["0.95UCL"]]),
      quantiles = list(p = c(.1, .25, .75), q = unname(q$quantile), lower = unname(q$lower), upper = unname(q$upper)),
      rmean_to = max(f$time) * 0.9, rmean = unname(tab[["rmean"]]), rmean_se = unname(tab[["se(rmean)"]]))))
}

hazard <- function(data, time, event, start = NULL) {
  s <- list(data = data, time = time, event = event, start = start)
  d <- read_set(data); y <- y_of(d, s)
  one <- survfit(y ~ 1, ctype = 1); two <- survfit(y ~ 1, ctype = 2)
  keep(c(list(kind = "hazard", call = "survfit(y ~ 1, ctype = 1) and ctype = 2; cumhaz and std.chaz"), s,
    list(times = one$time, together = one$cumhaz, together_se = one$std.chaz, one_by_one = two$cumhaz, one_by_one_se = two$std.chaz)))
}

lr <- function(data, time, event, by, strata = NULL, rho = 0) {
  d <- read_set(data)
  f <- if (is.null(strata)) survdiff(Surv(d[[time]], d[[event]]) ~ factor(d[[by]]), rho = rho) else
    survdiff(Surv(d[[time]], d[[event]]) ~ factor(d[[by]]) + strata(d[[strata]]), rho = rho)
  o <- if (is.matrix(f$obs)) rowSums(f$obs) else f$obs
  e <- if (is.matrix(f$exp)) rowSums(f$exp) else f$exp
  keep(list(kind = "logrank", call = deparse1(bquote(survdiff(Surv(.(time), .(event)) ~ .(by) + strata(.(strata)), rho = .(rho)))),
    data = data, time = time, event = event, by = by, strata = strata, rho = rho,
    observed = unname(o), expected = unname(e), chi2 = f$chisq, df = length(o) - 1,
    p = pchisq(f$chisq, length(o) - 1, lower.tail = FALSE), variance = unname(f$var)))
}

aj <- function(data, time, cause, start = NULL, conf = "log-log") {
  d <- read_set(data); d$cause_f <- factor(d[[cause]])
  y <- if (is.null(start)) Surv(d[[time]], d$cause_f) else Surv(d[[start]], d[[time]], d$cause_f)
  id <- seq_len(nrow(d))
  f <- survfit(y ~ 1, id = id, conf.type = conf)
  st <- 2:ncol(f$pstate)
  keep(list(kind = "aj", call = deparse1(bquote(survfit(Surv(.(start), .(time), factor(.(cause))) ~ 1, id = row, conf.type = .(conf)))),
    data = data, time = time, cause = cause, start = start, conf = conf, times = f$time, at_risk = f$n.risk[, 1],
    incidence = lapply(st, function(j) f$pstate[, j]), std_err = lapply(st, function(j) f$std.err[, j]),
    lower = lapply(st, function(j) f$lower[, j]), upper = lapply(st, function(j) f$upper[, j])))
}

aj_etm <- function(data, time, cause, start = NULL) {
  d <- read_set(data); n <- nrow(d); k <- max(d[[cause]])
  tra <- matrix(FALSE, k + 1, k + 1); tra[1, -1] <- TRUE
  e <- data.frame(id = 1:n, from = 0, to = ifelse(d[[cause]] == 0, "cens", as.character(d[[cause]])),
    entry = if (is.null(start)) 0 else d[[start]], exit = d[[time]])
  f <- etm(e, as.character(0:k), tra, "cens", s = 0)
  at <- f$time
  keep(list(kind = "aj_etm", call = "etm(entries, states, tra, 'cens', s = 0); trprob and trcov", package = "etm",
    data = data, time = time, cause = cause, start = start, times = at,
    incidence = lapply(1:k, function(j) trprob(f, paste("0", j))), std_err = lapply(1:k, function(j) sqrt(trcov(f, paste("0", j))))))
}

gray <- function(data, time, cause, by, strata = NULL, rho = 0) {
  d <- read_set(data)
  f <- if (is.null(strata)) cuminc(d[[time]], d[[cause]], d[[by]], rho = rho) else cuminc(d[[time]], d[[cause]], d[[by]], d[[strata]], rho = rho)
  keep(list(kind = "gray", call = deparse1(bquote(cuminc(.(time), .(cause), .(by), strata = .(strata), rho = .(rho)))), package = "cmprsk",
    data = data, time = time, cause = cause, by = by, strata = strata, rho = rho, causes = as.integer(rownames(f$Tests)),
    chi2 = unname(f$Tests[, "stat"]), df = unname(f$Tests[, "df"]), p = unname(f$Tests[, "pv"])))
}

cox <- function(data, time, event, x, start = NULL, strata = NULL, cluster = NULL, weight = NULL, offset = NULL, ties = "efron", at = NULL) {
  d <- read_set(data); s <- list(data = data, time = time, event = event, start = start)
  d <- d[complete.cases(d[, c(time, event, x)]), ]
  for (v in c(time, start, x, weight, offset)) d[[v]] <- as.double(d[[v]])
  d$y <- y_of(d, s)
  right <- x
  if (!is.null(strata)) right <- c(right, sprintf("strata(%s)", strata))
  if (!is.null(offset)) right <- c(right, sprintf("offset(%s)", offset))
  args <- list(as.formula(paste("y ~", paste(right, collapse = " + "))), data = d, ties = ties, control = tight, x = TRUE)
  if (!is.null(weight)) args$weights <- d[[weight]]
  if (!is.null(cluster)) args$cluster <- d[[cluster]]
  args$robust <- !is.null(cluster)
  first <- do.call(coxph, args)
  # One search more from its own end, so that R's answer is as good as its arithmetic.
  f <- do.call(coxph, c(args, list(init = coef(first))))
  naive <- if (is.null(cluster)) f$var else f$naive.var
  zph <- function(g) { z <- cox.zph(f, transform = g, global = TRUE)$table; list(chi2 = unname(z[, 1]), df = unname(z[, 2]), p = unname(z[, 3])) }
  cc <- concordance(f)
  base <- basehaz(f, centered = FALSE)
  case <- c(list(kind = "cox", call = paste("coxph(", deparse1(args[[1]]), ", ties =", ties, ", weights =", weight, ", cluster =", cluster, ", control(eps = 1e-13, iter.max = 50, toler.chol = 1e-14))")), s,
    list(x = as.list(x), strata = strata, cluster = cluster, weight = weight, offset = offset, ties = ties, n = f$n, events = f$nevent,
      coef = unname(coef(f)), naive = unname(naive), variance = unname(f$var), loglik_null = first$loglik[1], loglik = f$loglik[2],
      score = first$score, wald = unname(first$wald.test), zph_km = zph("km"), zph_identity = zph("identity"),
      concordance = unname(cc$concordance), concordance_se = unname(sqrt(cc$var)), counts = unname(colSums(matrix(cc$count, ncol = 5)))[1:3],
      residuals = if (data == "invented") unname(residuals(f, type = "score"))))
  if (is.null(offset)) {
    if (is.null(strata)) case$base <- list(time = base$time, hazard = base$hazard)
    new <- as.data.frame(as.list(setNames(colMeans(as.matrix(d[, x, drop = FALSE])) * 1.1 + 0.3, x)))
    if (!is.null(strata)) new[[strata]] <- sort(unique(d[[strata]]))[2]
    g <- survfit(f, newdata = new, conf.type = "log", se.fit = TRUE)
    dead <- g$n.event > 0
    case$curve <- list(x = unname(unlist(new[x])), stratum = if (is.null(strata)) NULL else new[[strata]], time = g$time[dead],
      at_risk = g$n.risk[dead], surv = g$surv[dead], std_err = g$std.err[dead], lower = g$lower[dead], upper = g$upper[dead])
  }
  keep(case)
}

for (conf in c("plain", "log", "log-log")) km("freireich_6mp", "time_weeks", "event", conf = conf)
km("lung", "time", "event"); km("lung", "time", "event", conf = "log"); km("miller_aml", "time_weeks", "event"); km("relapse_reconstructed", "age_years", "event")
km("veteran", "time", "status", conf = "plain"); km("ovarian", "futime", "fustat"); km("six", "time", "event")
km("invented", "stop", "event", start = "start"); km("invented", "stop", "event", start = "start", weight = "count", conf = "log")
km("invented", "stop", "event", cluster = "pair"); km("invented", "stop", "event", start = "start", cluster = "pair")
km("retinopathy", "time_months", "event", cluster = "id"); km("mgus2", "futime", "death", conf = "log")
hazard("freireich_6mp", "time_weeks", "event"); hazard("lung", "time", "event"); hazard("invented", "stop", "event", start = "start")
lr("freireich", "time_weeks", "event", "arm"); lr("miller_aml", "time_weeks", "event", "arm"); lr("veteran", "time", "status", "celltype")
lr("veteran", "time", "status", "celltype", strata = "prior"); lr("lung", "time", "event", "sex"); lr("lung", "time", "event", "sex", rho = 1)
lr("invented", "stop", "event", "arm", strata = "site", rho = 0.5); lr("invented", "stop", "event", "arm", rho = 1); lr("ovarian", "futime", "fustat", "rx")
aj("mgus2", "etime", "cause"); aj("mgus2", "etime", "cause", conf = "log"); aj("mgus2", "etime", "cause", conf = "plain")
aj("invented", "stop", "cause"); aj("invented", "stop", "cause", start = "start")
aj_etm("invented", "stop", "cause"); aj_etm("invented", "stop", "cause", start = "start")
gray("mgus2", "etime", "cause", "sex"); gray("invented", "stop", "cause", "arm"); gray("invented", "stop", "cause", "arm", strata = "site")
gray("invented", "stop", "cause", "arm", strata = "site", rho = 1); gray("invented", "stop", "cause", "site", rho = 0.5)
for (ties in c("efron", "breslow")) {
  cox("freireich_coded", "time_weeks", "event", "control", ties = ties)
  cox("lung", "time", "event", c("age", "sex", "ph_ecog"), ties = ties)
  cox("veteran", "time", "status", c("karno", "trt", "age"), strata = "cell", ties = ties)
  cox("retinopathy", "time_months", "event", c("treated", "age_at_dx", "risk"), cluster = "id", ties = ties)
  cox("kidney", "time", "status", c("age", "sex"), cluster = "id", ties = ties)
  cox("bladder2", "stop", "event", c("rx", "size", "number"), start = "start", strata = "enum", cluster = "id", ties = ties)
  cox("ovarian", "futime", "fustat", c("age", "rx", "ecog_ps"), ties = ties)
  cox("mgus2", "futime", "death", c("age", "female", "hgb"), ties = ties)
  cox("invented", "stop", "event", c("x1", "x2", "x3"), ties = ties)
  cox("invented", "stop", "event", c("x1", "x2", "x3"), cluster = "pair", ties = ties)
  cox("invented", "stop", "event", c("x1", "x2", "x3"), start = "start", cluster = "pair", strata = "site", ties = ties)
  cox("invented", "stop", "event", c("x1", "x2"), start = "start", cluster = "pair", weight = "count", ties = ties)
  cox("invented", "stop", "event", c("x1", "x2"), cluster = "pair", weight = "weight", strata = "site", ties = ties)
  cox("invented", "stop", "event", c("x1", "x2"), offset = "shift", ties = ties)
}
write_results("survival", cases, c("survival", "cmprsk", "etm"))
