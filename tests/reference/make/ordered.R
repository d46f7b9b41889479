# Proportional odds with a random taster, by its definition. Rscript ordered.R OUT.csv
# Each taster's likelihood is integrated by R's adaptive quadrature; the top is found by optim and Newton steps on differences of fourth order.
# Data: ../mixed_rows.csv; the wine's words are its line scores in fifths (Randall 1989), those of the set with gaps are cut at 3.5, 4.5 .. 7.5.
rows <- read.csv("tests/reference/mixed_rows.csv", comment.char = "#")
wine <- rows[rows$set == "wine", ]; gaps <- rows[rows$set == "gaps", ]
temp <- as.numeric(wine$b >= 4); contact <- as.numeric(wine$b %in% c(2, 3, 6, 7))
sets <- list(wine = list(y = floor(wine$y / 20) + 1, taster = wine$a, X = cbind(temp, contact)),
             gaps = list(y = findInterval(gaps$y, 3.5:7.5) + 1, taster = gaps$a, X = sapply(1:3, function(k) as.numeric(gaps$b == k))))
minus <- function(par, s) {
  J <- max(s$y); p <- ncol(s$X); cut <- c(-Inf, par[1:(J - 1)], Inf); eta <- c(s$X %*% par[J - 1 + 1:p]); tau <- par[J + p]
  if (any(diff(par[1:(J - 1)]) <= 0)) return(1e10)
  -sum(sapply(split(seq_along(s$y), s$taster), function(i) {
    f <- function(v) sapply(v, function(u) prod(plogis(cut[s$y[i] + 1] - eta[i] - tau * u) - plogis(cut[s$y[i]] - eta[i] - tau * u))) * dnorm(v)
    log(integrate(f, -9, 9, rel.tol = 1e-11, subdivisions = 1000)$value)
  }))
}
out <- file(commandArgs(TRUE)[1], "w")
writeLines(c("# what     proportional odds with a random taster: thresholds, coefficients, deviation, log-likelihood",
             sprintf("# made by  make/ordered.R, %s, adaptive quadrature of each taster", R.version.string), "set,quantity,value"), out)
for (name in names(sets)) {
  s <- sets[[name]]; J <- max(s$y); p <- ncol(s$X)
  par <- c(qlogis(cumsum(table(s$y))[1:(J - 1)] / length(s$y)), rep(0, p), 1)
  par <- optim(par, minus, s = s, method = "BFGS", control = list(reltol = 1e-12, maxit = 500))$par
  h <- 2e-3
  slope <- function(x, k) { f <- function(d) { x[k] <- x[k] + d * h; minus(x, s) }; (8 * (f(1) - f(-1)) - (f(2) - f(-2))) / (12 * h) }
  for (round in 1:3) {
    g <- sapply(seq_along(par), function(k) slope(par, k))
    H <- sapply(seq_along(par), function(j) { up <- down <- par; up[j] <- up[j] + h; down[j] <- down[j] - h; sapply(seq_along(par), function(k) (slope(up, k) - slope(down, k)) / (2 * h)) })
    par <- par - solve(H, g)
  }
  se <- sqrt(diag(solve(H)))
  put <- function(q, v) writeLines(sprintf("%s,%s,%.12g", name, q, v), out)
  for (j in 1:(J - 1)) put(paste0("threshold", j - 1), par[[j]])
  for (j in 1:p) { put(paste0("b", j - 1), par[[J - 1 + j]]); put(paste0("se", j - 1), se[[J - 1 + j]]) }
  put("deviation", par[[J + p]]); put("log_likelihood", -minus(par, s))
}
close(out)
