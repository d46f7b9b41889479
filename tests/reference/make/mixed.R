# Linear mixed models with general software. Rscript mixed.R ROWS.csv FITS.csv
# Estimates by lme4. Kenward-Roger by its definition (Kenward & Roger 1997, Biometrics 53:983) on dense matrices of all rows, which the
# program never forms. Data: those of R and lme4, the wine's line scores (Randall 1989), and one made set with gaps, repeats and sittings.
suppressMessages(library(lme4))
files <- commandArgs(TRUE)
code <- function(f) as.integer(f) - 1L
wine <- c(36,48,47,67,77,60,83,90, 17,22,14,50,30,51,90,70, 36,50,42,23,80,81,73,62, 46,27,48,32,57,37,84,58, 26,45,61,41,48,41,58,55,
          46,30,54,37,32,60,88,73, 13,19,31,29,22,43,32,49, 25,32,39,40,51,45,42,67, 12,29,47,28,47,38,72,65)
set.seed(20)
gaps <- expand.grid(b = 0:3, a = 0:19, r = 0:1)
gaps <- gaps[runif(nrow(gaps)) < 0.7, ]
gaps$c <- sample(0:2, nrow(gaps), TRUE)
gaps$y <- round(5 + 0.5 * gaps$b + rnorm(20)[gaps$a + 1] + 1.2 * rnorm(80)[gaps$a * 4 + gaps$b + 1] + c(-0.5, 0, 0.6)[gaps$c + 1] + rnorm(nrow(gaps)), 2)
sets <- list(
  sleepstudy = with(sleepstudy, data.frame(y = Reaction, a = code(Subject), b = Days)),
  cake = with(cake, data.frame(y = angle, a = code(recipe), b = code(temperature), c = code(recipe) * 15 + code(replicate))),
  dyestuff = with(Dyestuff, data.frame(y = Yield, a = code(Batch))),
  dyestuff2 = with(Dyestuff2, data.frame(y = Yield, a = code(Batch))),
  penicillin = with(Penicillin, data.frame(y = diameter, a = code(plate), b = code(sample))),
  pastes = with(Pastes, data.frame(y = strength, a = code(batch), b = code(sample))),
  warpbreaks = with(warpbreaks, data.frame(y = breaks, a = code(wool), b = code(tension))),
  orchard = with(OrchardSprays, data.frame(y = log(decrease), a = rowpos - 1, b = colpos - 1, c = code(treatment))),
  npk = with(npk, data.frame(y = yield, a = code(block), b = code(N), c = code(P), d = code(K))),
  wine = data.frame(y = wine, a = rep(0:8, each = 8), b = rep(0:7, 9)),
  gaps = gaps[, c("y", "a", "b", "c")])
# fixed part and random part of each
models <- list(
  sleepstudy = y ~ b + (b | a), cake = y ~ factor(a) * factor(b) + (1 | c), dyestuff = y ~ 1 + (1 | a), dyestuff2 = y ~ 1 + (1 | a),
  penicillin = y ~ 1 + (1 | a) + (1 | b), pastes = y ~ 1 + (1 | a) + (1 | b), warpbreaks = y ~ factor(a) * factor(b),
  orchard = y ~ factor(c) + (1 | a) + (1 | b), npk = y ~ factor(b) + factor(c) + factor(d) + (1 | a),
  wine = y ~ factor(b) + (1 | a), gaps = y ~ factor(b) + (1 | a) + (1 | a:b) + (1 | c))

rows <- file(files[1], "w")
writeLines(c("# what     data of the mixed models: score and up to four codes or covariates",
             sprintf("# made by  make/mixed.R, %s, lme4 %s (its data and R's; wine: Randall 1989, line scores; gaps: made there)", R.version.string, packageVersion("lme4")),
             "set,y,a,b,c,d"), rows)
for (name in names(sets)) {
  s <- sets[[name]]
  for (column in setdiff(c("a", "b", "c", "d"), names(s))) s[[column]] <- 0
  writeLines(sprintf("%s,%.17g,%g,%g,%g,%g", name, s$y, s$a, s$b, s$c, s$d), rows)
}
close(rows)

out <- file(files[2], "w")
writeLines(c("# what     mixed models fitted: deviance (-2 log likelihood), deviations, fixed effects, their errors, and Kenward-Roger",
             sprintf("# made by  make/mixed.R, %s, lme4 %s; Kenward-Roger on dense matrices there, F of all but the intercept", R.version.string, packageVersion("lme4")),
             "set,criterion,quantity,value"), out)
put <- function(set, criterion, quantity, value) writeLines(sprintf("%s,%s,%s,%.15g", set, criterion, quantity, value), out)

kenward_roger <- function(X, y, Zs, variances, l) {   # variances: of each Z, the residual's last
  n <- nrow(X); D <- c(lapply(Zs, tcrossprod), list(diag(n)))
  V <- Reduce(`+`, Map(`*`, D, variances)); iV <- solve(V)
  Phi <- solve(t(X) %*% iV %*% X); m <- length(D)
  P <- lapply(D, function(d) -t(X) %*% iV %*% d %*% iV %*% X)
  Q <- function(i, j) t(X) %*% iV %*% D[[i]] %*% iV %*% D[[j]] %*% iV %*% X
  I <- matrix(0, m, m)
  for (i in 1:m) for (j in 1:m)
    I[i, j] <- (sum(diag(iV %*% D[[i]] %*% iV %*% D[[j]])) - 2 * sum(diag(Phi %*% Q(i, j))) + sum(diag(Phi %*% P[[i]] %*% Phi %*% P[[j]]))) / 2
  W <- solve(I); L <- matrix(0, ncol(X), ncol(X))
  for (i in 1:m) for (j in 1:m) L <- L + W[i, j] * (Q(i, j) - P[[i]] %*% Phi %*% P[[j]])
  PhiA <- Phi + 2 * Phi %*% L %*% Phi
  Th <- l %*% solve(t(l) %*% Phi %*% l) %*% t(l); q <- ncol(l); A1 <- A2 <- 0
  for (i in 1:m) for (j in 1:m) {
    a <- Th %*% Phi %*% P[[i]] %*% Phi; b <- Th %*% Phi %*% P[[j]] %*% Phi
    A1 <- A1 + W[i, j] * sum(diag(a)) * sum(diag(b)); A2 <- A2 + W[i, j] * sum(diag(a %*% b))
  }
  B <- (A1 + 6 * A2) / (2 * q); g <- ((q + 1) * A1 - (q + 4) * A2) / ((q + 2) * A2)
  den <- 3 * q + 2 * (1 - g); c1 <- g / den; c2 <- (q - g) / den; c3 <- (q + 2 - g) / den
  E <- 1 / (1 - A2 / q); S <- 2 / q * (1 + c1 * B) / ((1 - c2 * B)^2 * (1 - c3 * B)); rho <- S / (2 * E^2)
  df <- 4 + (q + 2) / (q * rho - 1); lambda <- df / (E * (df - 2))
  beta <- Phi %*% t(X) %*% iV %*% y
  F <- c(t(t(l) %*% beta) %*% solve(t(l) %*% PhiA %*% l) %*% (t(l) %*% beta)) / q
  list(F = lambda * F, df = df, se = sqrt(diag(PhiA)))
}

# lme4's optimisers stop some 1e-5 short; Newton steps on differences of fourth order go on, along what is not at 0.
polished <- function(height, theta) {
  free <- which(abs(theta) > 1e-4); h <- 2e-3
  slope <- function(x, k) {
    f <- function(step) { x[k] <- x[k] + step * h; height(x) }
    (8 * (f(1) - f(-1)) - (f(2) - f(-2))) / (12 * h)
  }
  theta[setdiff(seq_along(theta), free)] <- 0
  if (length(free) > 0) for (round in 1:6) {
    g <- sapply(free, function(k) slope(theta, k))
    H <- sapply(free, function(j) { up <- down <- theta; up[j] <- up[j] + h; down[j] <- down[j] - h; sapply(free, function(k) (slope(up, k) - slope(down, k)) / (2 * h)) })
    theta[free] <- theta[free] - solve(H, g)
  }
  theta
}

for (name in names(models)) {
  s <- sets[[name]]
  for (criterion in c("restricted", "full")) {
    if (name == "warpbreaks") {
      fit <- lm(models[[name]], s)
      put(name, criterion, "deviance", -2 * as.numeric(logLik(fit, REML = criterion == "restricted")))
      for (i in seq_along(coef(fit))) put(name, criterion, paste0("b", i - 1), coef(fit)[[i]])
      next
    }
    parts <- lFormula(models[[name]], s, REML = criterion == "restricted")
    height <- do.call(mkLmerDevfun, parts)
    best <- optimizeLmer(height, optimizer = "bobyqa", control = list(rhoend = 1e-9, maxfun = 1e5))
    best$par <- polished(height, best$par); best$fval <- height(best$par)
    fit <- mkMerMod(environment(height), best, parts$reTrms, fr = parts$fr)
    put(name, criterion, "deviance", -2 * as.numeric(logLik(fit)))
    put(name, criterion, "residual", sigma(fit))
    v <- as.data.frame(VarCorr(fit))
    for (g in setdiff(unique(v$grp), "Residual")) put(name, criterion, paste0("sd_", sub(":", "", g)), v$sdcor[v$grp == g & v$var1 == "(Intercept)" & is.na(v$var2)])
    if (name == "sleepstudy") { put(name, criterion, "sd_slope", v$sdcor[2]); put(name, criterion, "correlation", v$sdcor[3]) }
    for (i in seq_along(fixef(fit))) { put(name, criterion, paste0("b", i - 1), fixef(fit)[[i]]); put(name, criterion, paste0("se", i - 1), sqrt(vcov(fit)[i, i])) }
    if (criterion == "restricted" && name %in% c("cake", "orchard", "npk", "wine", "gaps")) {
      X <- getME(fit, "X"); Zs <- lapply(getME(fit, "Ztlist"), function(z) t(as.matrix(z)))
      sd <- sapply(sub("\\..*", "", names(Zs)), function(g) v$sdcor[v$grp == g])
      l <- diag(ncol(X))[, -1, drop = FALSE]
      k <- kenward_roger(unname(X), s$y, Zs, c(sd^2, sigma(fit)^2), l)
      put(name, criterion, "kr_f", k$F); put(name, criterion, "kr_df", k$df)
      for (i in seq_along(k$se)) put(name, criterion, paste0("kr_se", i - 1), k$se[i])
      for (i in 2:min(ncol(X), 4)) put(name, criterion, paste0("kr_df", i - 1), kenward_roger(unname(X), s$y, Zs, c(sd^2, sigma(fit)^2), diag(ncol(X))[, i, drop = FALSE])$df)
    }
  }
}
close(out)
