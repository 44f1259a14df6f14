#!/usr/bin/env Rscript
# Profile likelihood intervals (90 %) of the negative binomial k of the counts in cases.json, by R alone: the rate by optimize at each k,
# the ends by uniroot over log k where twice the fall of the log likelihood is qchisq(0.9, 1).
# Run:  Rscript make-clumping.R      (needs r-base-core, r-cran-jsonlite)
suppressPackageStartupMessages(library(jsonlite)); options(digits = 17, warn = 1)
here <- sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)); if (length(here)) setwd(dirname(normalizePath(here)))
cases <- fromJSON("cases.json", simplifyVector = FALSE)
numbers <- function(v) as.numeric(unlist(v))
sets <- c(lapply(Filter(function(s) is.numeric(s$ml$k), cases$negativeBinomialFit), function(s) list(id = s$id, x = numbers(s$x), e = rep(1, length(s$x)))),
          list(list(id = "offset", x = numbers(cases$negativeBinomialOffset$x), e = numbers(cases$negativeBinomialOffset$effortM2))))
profile <- function(logK, s) { start <- log(sum(s$x) / sum(s$e)); optimize(function(m) sum(dnbinom(s$x, size = exp(logK), mu = exp(m) * s$e, log = TRUE)), start + c(-3, 3), maximum = TRUE, tol = 1e-12)$objective }
out <- lapply(sets, function(s) {
  best <- optimize(profile, log(c(1e-4, 1e4)), s = s, maximum = TRUE, tol = 1e-12)
  fall <- function(logK) profile(logK, s) - best$objective + qchisq(0.9, 1) / 2
  top <- log(1e4)
  list(id = s$id, x = s$x, effort = s$e, k = exp(best$maximum), low = exp(uniroot(fall, c(log(1e-4), best$maximum), tol = 1e-12)$root),
       high = if (fall(top) < 0) exp(uniroot(fall, c(best$maximum, top), tol = 1e-12)$root) else NULL) })
write(toJSON(list(topic = "clumping range", level = 0.9, made_by = list(script = "make-clumping.R", command = "Rscript make-clumping.R", tools = R.version.string), sets = out), auto_unbox = TRUE, digits = NA, null = "null"), "clumping.json")
str(out)
