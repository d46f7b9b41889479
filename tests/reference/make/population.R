# Mixed probit models with general software. Rscript population.R OUT.csv
# 2-AFC with normal tasters is a probit: Phi((m + s z)/sqrt 2), so m = intercept sqrt 2 and s = sd sqrt 2. Needs lme4.
suppressMessages(library(lme4))
panels <- list(kitchen = list(n = 4, tasters = c(3, 6, 5, 4, 6)),
               large = list(n = 4, tasters = c(150, 500, 800, 850, 700)),
               six = list(n = 6, tasters = c(1, 2, 4, 7, 9, 8, 9)))
out <- file(commandArgs(TRUE)[1], "w")
cat(sprintf("# what     probit mixed models of 2-AFC counts: most likely mean and standard deviation of d', log-likelihood without binomial coefficients\n"), file = out)
cat(sprintf("# made by  make/population.R, %s, lme4 %s, adaptive Gauss-Hermite, 40 points\n", R.version.string, packageVersion("lme4")), file = out)
cat("panel,of,tasters,mean,sd,log_likelihood\n", file = out)
for (name in names(panels)) {
  panel <- panels[[name]]
  k <- rep(0:panel$n, panel$tasters)
  data <- data.frame(right = k, wrong = panel$n - k, who = factor(seq_along(k)))
  fit <- glmer(cbind(right, wrong) ~ 1 + (1 | who), data, binomial("probit"), nAGQ = 40,
               control = glmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-9)))
  m <- fixef(fit)[[1]]; s <- sqrt(VarCorr(fit)$who[1])
  # With several points glmer's logLik is beside the saturated model; that model's own, without binomial coefficients, is put back.
  p <- k / panel$n
  ll <- as.numeric(logLik(fit)) + sum(dbinom(k, panel$n, p, log = TRUE) - lchoose(panel$n, k))
  cat(sprintf("%s,%d,%s,%.12g,%.12g,%.15g\n", name, panel$n, paste(panel$tasters, collapse = " "), m * sqrt(2), s * sqrt(2), ll), file = out)
}
close(out)
