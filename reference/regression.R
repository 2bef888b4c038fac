# Reference results of regressions from R. Run by ./regenerate; writes regression.json.
suppressMessages({library(MASS); library(ordinal); library(sandwich); library(jsonlite)})
source("common.R")
cases <- list()
keep <- function(case) cases[[length(cases) + 1]] <<- case

form <- function(y, x, offset) as.formula(paste(y, "~", paste(c(x, if (!is.null(offset)) sprintf("offset(%s)", offset)), collapse = " + ")))
hc <- function(f, d, cluster) unname(vcovCL(f, cluster = if (is.null(cluster)) seq_len(nrow(d)) else d[[cluster]], type = "HC0", cadjust = FALSE))

logit <- function(data, y, x, cluster = NULL, offset = NULL) {
  d <- read_set(data)
  f <- glm(form(y, x, offset), binomial, d, epsilon = 1e-15, maxit = 100)
  # Started again from its own end: glm gives the variance of the step before the last.
  f <- glm(form(y, x, offset), binomial, d, start = coef(f), epsilon = 1e-15, maxit = 100)
  g <- glm(form(y, "1", offset), binomial, d, epsilon = 1e-15, maxit = 100)
  keep(list(kind = "logistic", call = paste("glm(", deparse1(formula(f)), ", binomial, epsilon = 1e-15); vcovCL(type = HC0, cadjust = FALSE, cluster =", cluster, ")"),
    data = data, y = y, x = as.list(x), cluster = cluster, offset = offset, coef = unname(coef(f)), variance = unname(vcov(f)),
    robust = hc(f, d, cluster), loglik = as.numeric(logLik(f)), loglik_null = as.numeric(logLik(g))))
}

clm_case <- function(data, y, x, cluster = NULL, offset = NULL) {
  d <- read_set(data); d[[y]] <- factor(d[[y]], ordered = TRUE)
  f <- clm(form(y, x, offset), data = d, control = clm.control(gradTol = 1e-12, relTol = 1e-14, maxIter = 200))
  g <- clm(form(y, "1", offset), data = d, control = clm.control(gradTol = 1e-12, relTol = 1e-14))
  # The sandwich by hand: clm's gradients row by row are those of the log of the fitted probability.
  X <- as.matrix(d[, x, drop = FALSE]); th <- f$alpha; b <- f$beta; k <- as.integer(d[[y]]); off <- if (is.null(offset)) 0 else d[[offset]]
  eta <- drop(X %*% b) + off; up <- c(th, Inf)[k] - eta; lo <- c(-Inf, th)[k] - eta
  p <- plogis(up) - plogis(lo); T <- matrix(0, nrow(d), length(th))
  for (i in seq_len(nrow(d))) { if (k[i] <= length(th)) T[i, k[i]] <- dlogis(up[i]) / p[i]; if (k[i] > 1) T[i, k[i] - 1] <- -dlogis(lo[i]) / p[i] }
  S <- cbind(T, -X * ((dlogis(up) - dlogis(lo)) / p))
  if (!is.null(cluster)) S <- rowsum(S, d[[cluster]])
  V <- vcov(f)
  keep(list(kind = "ordinal", call = paste("clm(", deparse1(formula(f)), ", gradTol = 1e-12); scores written out and summed by", cluster),
    data = data, y = y, x = as.list(x), cluster = cluster, offset = offset, thresholds = unname(th), coef = unname(b), variance = unname(V),
    robust = unname(V %*% crossprod(S) %*% V), loglik = as.numeric(logLik(f)), loglik_null = as.numeric(logLik(g))))
}

negbin <- function(data, y, x, cluster = NULL, offset = NULL) {
  d <- read_set(data)
  f <- glm.nb(form(y, x, offset), d, control = glm.control(epsilon = 1e-14, maxit = 200))
  for (i in 1:200) { # glm.nb stops at 1e-8 in theta; go on in turn until nothing moves
    th <- as.numeric(theta.ml(d[[y]], fitted(f), limit = 200, eps = 1e-14))
    h <- glm(form(y, x, offset), negative.binomial(th), d, start = coef(f), epsilon = 1e-15, maxit = 100)
    done <- max(abs(coef(h) - coef(f))) < 1e-14; f <- h; if (done) break
  }
  tm <- theta.ml(d[[y]], fitted(f), limit = 200, eps = 1e-14)
  f$family$family <- "Negative Binomial"
  V <- summary(f, dispersion = 1)$cov.scaled
  X <- model.matrix(f); mu <- fitted(f); S <- X * ((d[[y]] - mu) / (1 + mu / th))
  if (!is.null(cluster)) S <- rowsum(S, d[[cluster]])
  keep(list(kind = "negbin", call = paste("glm.nb(", deparse1(formula(f)), ") carried on with theta.ml and glm in turn; scores written out and summed by", cluster),
    data = data, y = y, x = as.list(x), cluster = cluster, offset = offset, theta = as.numeric(tm), theta_se = attr(tm, "SE"),
    coef = unname(coef(f)), variance = unname(V), robust = unname(V %*% crossprod(S) %*% V),
    loglik = sum(dnbinom(d[[y]], size = th, mu = mu, log = TRUE))))
}

logit("invented", "event", c("x1", "x2", "x3")); logit("invented", "event", c("x1", "x2"), cluster = "pair", offset = "shift"); logit("kidney", "status", c("age", "sex"), cluster = "id")
clm_case("invented", "site", c("x1", "x2", "x3")); clm_case("invented", "arm", c("x2", "x3"), cluster = "pair"); clm_case("invented", "count", c("x1", "x2"), cluster = "site", offset = "shift")
negbin("invented", "stop", c("x1", "x2", "x3")); negbin("invented", "stop", c("x1", "x2"), cluster = "pair", offset = "shift"); negbin("bladder2", "stop", c("rx", "size", "number"), cluster = "id")
write_results("regression", cases, c("MASS", "ordinal", "sandwich"))
