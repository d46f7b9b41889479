#pragma once
// How tasters differ from each other: quantiles of their own differences, for simulation.

namespace oddplate::stats {

/// Quantile at u (0 < u < 1) of a gamma law with this mean (> 0) and standard deviation (>= 0; 0 gives the mean): a difference that a
/// taster cannot have below zero. Shape (mean/sd)^2, scale sd^2/mean. Source: definition; Johnson, Kotz & Balakrishnan (1994), ch. 17.
[[nodiscard]] double gamma_quantile(double mean, double sd, double u);

}   // namespace oddplate::stats
