# The general mixed-model package on the 10,000 x 6 panel of linear_mixed.cpp: seconds of the fastest of three fits, and the deviance.
suppressMessages(library(lme4))
spread <- function(i, step) qnorm(((i + 0.5) * step) %% 1)
panel <- expand.grid(sample = 0:5, taster = 0:9999)
panel$y <- 5 + 0.2 * panel$sample + spread(panel$taster, 0.6180339887498949) + spread(seq_len(nrow(panel)) - 1, 0.7548776662466927)
panel$taster <- factor(panel$taster); panel$sample <- factor(panel$sample)
fits <- lapply(1:3, function(i) {
  begin <- proc.time()[["elapsed"]]
  fit <- lmer(y ~ 0 + sample + (1 | taster), panel)
  list(seconds = proc.time()[["elapsed"]] - begin, height = -2 * as.numeric(logLik(fit)))
})
cat(sprintf("%.3f %.8f\n", min(sapply(fits, `[[`, "seconds")), fits[[1]]$height))
