# What every script here shares.
read_set <- function(name) read.csv(file.path("data", paste0(name, ".csv")))
write_results <- function(name, cases, packages) {
  from <- paste(vapply(packages, function(p) paste(p, packageVersion(p)), ""), collapse = ", ")
  provenance <- list(program = R.version.string, packages = from, script = paste0("reference/", name, ".R"),
    date = format(Sys.Date()), data = "reference/data/PROVENANCE.csv names the origin of every data set; each case names its own call and data set")
  writeLines(jsonlite::toJSON(list(provenance = provenance, cases = cases), digits = I(17), auto_unbox = TRUE, na = "null", null = "null"), paste0(name, ".json"))
  cat(name, length(cases), "cases\n")
}
