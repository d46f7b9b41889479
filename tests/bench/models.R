# The general mixed-model package on the panel of models.cpp: seconds of the fastest of three fits and the log-likelihood reached,
# without binomial coefficients. It finds the maximum only; no profile limits.
suppressMessages(library(lme4))
k <- rep(0:4, c(150, 500, 800, 850, 700))
panel <- data.frame(right = k, wrong = 4 - k, who = factor(seq_along(k)))
saturated <- sum(dbinom(k, 4, k / 4, log = TRUE) - lchoose(4, k))   # glmer's logLik is beside this model's
for (points in c(9, 25)) {
  fits <- lapply(1:3, function(i) {
    begin <- proc.time()[["elapsed"]]
    fit <- glmer(cbind(right, wrong) ~ 1 + (1 | who), panel, binomial("probit"), nAGQ = points)
    list(seconds = proc.time()[["elapsed"]] - begin, height = as.numeric(logLik(fit)) + saturated)
  })
  cat(sprintf("%d %.3f %.8f\n", points, min(sapply(fits, `[[`, "seconds")), fits[[1]]$height))
}
