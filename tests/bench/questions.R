# The same questions in base R, vectorised: seconds a call, the fastest of several.
fastest <- function(times, work) min(replicate(times, { begin <- proc.time()[["elapsed"]]; work(); proc.time()[["elapsed"]] - begin }))

# The table: one qbinom a level and one pbinom a level and difference over all panels to 3,000; each power read off with which().
table_of <- function(chance) {
  n <- 2:3000
  rows <- list()
  for (alpha in c(.2, .1, .05, .01, .001)) {
    needed <- qbinom(alpha, n, chance, lower.tail = FALSE)
    for (pd in c(.5, .4, .3, .2, .1)) {
      reached <- pbinom(needed, n, chance + (1 - chance) * pd, lower.tail = FALSE)
      for (power in c(.5, .8, .9, .95, .99)) {
        passes <- reached >= power
        rows[[length(rows) + 1]] <- c(alpha, power, pd, n[which.max(passes)], n[max(which(!passes), 0) + 1])
      }
    }
  }
  do.call(rbind, rows)
}
rows <- table_of(1 / 3)
stopifnot(nrow(rows) == 125)

# d' of the triangle with its limits: the curve by its closed wedge under one integral, inverted by uniroot.
curve_of <- function(d) 2 * integrate(function(z) {
  (pnorm(-z * sqrt(3) + d * sqrt(2 / 3)) + pnorm(-z * sqrt(3) - d * sqrt(2 / 3))) * dnorm(z)
}, 0, Inf, rel.tol = 1e-10)$value
inverse_of <- function(p) if (p <= 1 / 3) 0 else uniroot(function(d) curve_of(d) - p, c(0, 12), tol = 1e-10)$root
d_of <- function(k, n) {
  sapply(c(k / n, qbeta(.05, k, n - k + 1), qbeta(.95, k + 1, n - k)), inverse_of)
}
cat(sprintf("table %.9f\n", fastest(9, function() table_of(1 / 3))))
cat(sprintf("d %.9f\n", fastest(5, function() for (k in 20:39) d_of(k, 48)) / 20))
cat(sprintf("value %.9f\n", d_of(30, 48)))
