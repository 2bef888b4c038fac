# Writes data/*.csv that come with R survival, and the invented ones. Run by ./regenerate.
suppressMessages(library(survival))
out <- function(d, name) write.csv(d, file.path("data", paste0(name, ".csv")), row.names = FALSE, quote = FALSE)
l <- survival::lung; out(data.frame(time = l$time, event = l$status - 1, age = l$age, sex = l$sex, ph_ecog = l$ph.ecog), "lung")
v <- survival::veteran; out(data.frame(time = v$time, status = v$status, trt = v$trt, celltype = v$celltype, cell = as.integer(v$celltype), karno = v$karno, age = v$age, prior = v$prior), "veteran")
k <- survival::kidney; out(data.frame(id = k$id, time = k$time, status = k$status, age = k$age, sex = k$sex), "kidney")
o <- survival::ovarian; out(data.frame(futime = o$futime, fustat = o$fustat, age = o$age, rx = o$rx, ecog_ps = o$ecog.ps), "ovarian")
b <- survival::bladder2; out(data.frame(id = b$id, rx = b$rx, number = b$number, size = b$size, start = b$start, stop = b$stop, event = b$event, enum = b$enum), "bladder2")
m <- survival::mgus2; etime <- with(m, ifelse(pstat == 0, futime, ptime)); cause <- with(m, ifelse(pstat == 1, 1, 2 * death))
out(data.frame(age = m$age, sex = m$sex, female = as.integer(m$sex == "F"), hgb = m$hgb, futime = m$futime, death = m$death, etime = etime, cause = cause), "mgus2")
f <- read.csv("data/freireich.csv"); out(f[f$arm == "6-MP", ], "freireich_6mp"); f$control <- as.integer(f$arm == "control"); out(f, "freireich_coded")
# Hand-worked: the answers as fractions stand in the test that reads this.
out(data.frame(time = c(1, 1, 6, 6, 8, 9), event = c(1, 0, 1, 1, 0, 1), x = c(1, 1, 1, 0, 0, 0)), "six")
# Invented: 240 rows in pairs, heavy ties, late entry, three causes coded 0 to 2, whole and fractional weights.
RNGversion("4.0.0"); set.seed(240229)
n <- 240; pair <- rep(1:(n / 2), each = 2); u <- rep(rnorm(n / 2, sd = .5), each = 2)
x1 <- rbinom(n, 1, .4); x2 <- round(rnorm(n), 2); x3 <- round(runif(n, 0, 10), 1)
stop <- pmin(ceiling(rexp(n, .05 * exp(.6 * x1 - .3 * x2 + u))), 60); start <- pmax(0, pmin(stop - 1, floor(rexp(n, .2)) * rbinom(n, 1, .5)))
cause <- sample(0:2, n, TRUE, c(.3, .45, .25)); cause[stop == 60] <- 0
out(data.frame(pair, start, stop, event = as.integer(cause == 1), cause, x1, x2, x3, arm = sample(1:3, n, TRUE), site = sample(1:4, n, TRUE),
  count = sample(1:4, n, TRUE), weight = round(runif(n, .2, 3), 3), shift = round(rnorm(n, sd = .4), 3)), "invented")
# Invented ratings and measurements.
set.seed(510); truth <- rnorm(30, 20, 6); out(data.frame(a = round(truth + rnorm(30), 2), b = round(truth + 1 + rnorm(30, sd = 1.5), 2), c = round(truth - .5 + rnorm(30), 2)), "measured")
level <- function(x, k) pmax(0, pmin(k - 1, round(x))); truth <- runif(120, 0, 4)
out(data.frame(one = level(truth + rnorm(120, sd = .6), 5), two = level(truth + .3 + rnorm(120, sd = .8), 5)), "two_raters")
truth <- sample(c(0, 0, 0, 1, 2, 3), 60, TRUE); wide <- sapply(1:5, function(j) { r <- level(truth + rnorm(60, sd = .7), 4); r[runif(60) < .15] <- -1; r })
colnames(wide) <- paste0("r", 1:5); out(as.data.frame(wide), "ratings")
# Invented: 300 rows with two causes and no two times alike; the first arm is followed for a shorter time.
set.seed(1141); n <- 300; arm <- sample(1:3, n, TRUE); site <- sample(1:3, n, TRUE)
first <- rexp(n, .08 * exp(.5 * (arm == 2) - .2 * site)); other <- rexp(n, .05 * exp(.6 * (arm == 3))); until <- ifelse(arm == 1, runif(n, 2, 12), runif(n, 2, 30))
stop <- round(pmin(first, other, until), 6); cause <- ifelse(until < pmin(first, other), 0, ifelse(first < other, 1, 2)); stopifnot(!anyDuplicated(stop))
out(data.frame(stop, cause, arm, site), "untied")
