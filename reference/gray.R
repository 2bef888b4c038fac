# Reference results of Gray's test from cmprsk, on times without ties. Run by ./regenerate; writes gray.json.
# The program is run for its numbers only.
suppressMessages({library(cmprsk); library(jsonlite)})
source("common.R")
cases <- list()
gray <- function(by, strata = NULL, rho = 0) {
  d <- read_set("untied")
  f <- if (is.null(strata)) cuminc(d$stop, d$cause, d[[by]], rho = rho) else cuminc(d$stop, d$cause, d[[by]], d[[strata]], rho = rho)
  cases[[length(cases) + 1]] <<- list(kind = "gray", call = deparse1(bquote(cuminc(stop, cause, .(by), strata = .(strata), rho = .(rho)))), package = "cmprsk",
    data = "untied", time = "stop", cause = "cause", by = by, strata = strata, rho = rho, causes = as.integer(rownames(f$Tests)),
    chi2 = unname(f$Tests[, "stat"]), df = unname(f$Tests[, "df"]), p = unname(f$Tests[, "pv"]))
}
for (rho in c(0, 0.5, 1, 2)) { gray("arm", rho = rho); gray("arm", strata = "site", rho = rho); gray("site", rho = rho); gray("site", strata = "arm", rho = rho) }
write_results("gray", cases, "cmprsk")
