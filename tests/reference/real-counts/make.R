#!/usr/bin/env Rscript
# Real weed counts and a real seedbank in soil through R: gstat's variogram, fits, kriging, blocks, inverse distance and
# leave-one-out; MASS's negative binomial. Writes results only: the data stay where they are.
# Run:  Rscript make.R DATA      DATA: folder with weeds/bjertorp-counts.csv and weeds/iowa-seedbank/ghobs.csv
suppressPackageStartupMessages({library(sp); library(gstat); library(MASS); library(jsonlite)})
options(digits = 17, warn = 1)
data <- normalizePath(commandArgs(TRUE)[1])
here <- sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)); setwd(dirname(normalizePath(here)))
num <- function(v) as.numeric(v)
table <- function(v) data.frame(pairs = v$np, distM = v$dist, gamma = v$gamma)
both <- function(k) list(prediction = num(k[[1]]), variance = num(k[[2]]))

# ---- Bjertorp: counts at 100 places of a field, ln(count) -------------------------------------------------------------------
d <- read.csv(file.path(data, "weeds/bjertorp-counts.csv")); counts <- d$count_exact
names(d)[1:2] <- c("x", "y"); coordinates(d) <- ~x + y; d$z <- log(counts)
b <- bbox(d); t <- expand.grid(x = seq(b[1, 1] + 7, b[1, 2] - 7, length.out = 6), y = seq(b[2, 1] + 5, b[2, 2] - 5, length.out = 5))
pts <- t; coordinates(pts) <- ~x + y
v <- variogram(z ~ 1, d, cutoff = 250, width = 25)
fits <- list()
for (m in c("Exp", "Sph", "Mat")) {
  start <- if (m == "Mat") vgm(1, m, 40, .1, kappa = 1.5) else vgm(1, m, if (m == "Exp") 60 else 150, .1)
  f <- suppressWarnings(fit.variogram(v, start, fit.method = 7))
  fits[[m]] <- list(nugget = num(f$psill[1]), partialSill = num(f$psill[2]), rangeParameterM = num(f$range[2]), weightedSSErr = num(attr(f, "SSErr")), singular = isTRUE(attr(f, "singular")))
}
model <- list(nugget = .15, partialSill = 1, rangeParameterM = 50); m <- vgm(model$partialSill, "Exp", model$rangeParameterM, model$nugget)
off <- c(-1.5, -.5, .5, 1.5) * 20 / 4; g <- expand.grid(x = off, y = off)
cv <- krige.cv(z ~ 1, d, m, nfold = nrow(d), verbose = FALSE, debug.level = 0)
nb <- function(x) { f <- glm.nb(x ~ 1, control = glm.control(epsilon = 1e-12, maxit = 200)); list(n = length(x), mean = mean(x), k = f$theta, kError = f$SE.theta, logLik = num(logLik(f))) }
bjertorp <- list(cutoffM = 250, widthM = 25, variogramMatheron = table(v), variogramCressieRobust = table(variogram(z ~ 1, d, cutoff = 250, width = 25, cressie = TRUE)), fits = fits,
  model = model, targets = t, kriging = both(krige(z ~ 1, d, pts, m, debug.level = 0)), nearest16 = both(krige(z ~ 1, d, pts, m, nmax = 16, debug.level = 0)),
  block = c(list(blockM = 20), both(krige(z ~ 1, d, pts, m, block = data.frame(x = g$x, y = g$y), debug.level = 0))),
  idw2 = num(idw(z ~ 1, d, pts, idp = 2, debug.level = 0)[[1]]),
  leaveOneOut = list(prediction = num(cv$var1.pred), variance = num(cv$var1.var)), negativeBinomial = nb(counts))

# ---- Iowa: seedlings of AMATU out of soil cores, trays and dates of a block and cover added up -----------------------------
s <- read.csv(file.path(data, "weeds/iowa-seedbank/ghobs.csv")); s$AMATU[is.na(s$AMATU)] <- 0
byBlock <- aggregate(AMATU ~ blockID + cc_trt, s, sum)
sums <- byBlock$AMATU[order(byBlock$blockID, byBlock$cc_trt, method = "radix")]
iowa <- list(sums = sums, negativeBinomial = nb(sums))

date <- Sys.getenv("MADE_ON", format(Sys.Date()))
write(toJSON(list(topic = "real-counts", made_by = list(script = "make.R", command = "Rscript make.R DATA", tools = c(R.version.string, paste("gstat", packageVersion("gstat")), paste("sp", packageVersion("sp")), paste("MASS", packageVersion("MASS"))), date = date),
  data = list(bjertorp = "weed counts in a field at Bjertorp, Sweden (Guillot, Loren & Rudemo 2009, J. R. Stat. Soc. C 58:525-542)", iowa = "waterhemp seedlings from soil cores, Iowa 2019 (Nichols, PFIweeds2020)"),
  bjertorp = bjertorp, iowa = iowa), auto_unbox = TRUE, digits = NA, null = "null", na = "null", dataframe = "columns"), "cases.json")
