#pragma once
// The normal law and Owen's T.

namespace oddplate::stats {

[[nodiscard]] double normal_density(double z);
/// P(Z <= z), accurate in the far left tail.
[[nodiscard]] double normal_cdf(double z);
/// P(Z >= z), accurate in the far right tail.
[[nodiscard]] double normal_upper(double z);
/// z with P(Z <= z) = p, p in 0..1 (open).
[[nodiscard]] double normal_quantile(double p);
/// z with P(Z >= z) = p, p in 0..1 (open).
[[nodiscard]] double normal_upper_quantile(double p);
/// T(h, a) = 1/(2 pi) Int_0^a exp(-h^2 (1 + x^2) / 2) / (1 + x^2) dx (Owen 1956); within 1e-15 absolute.
[[nodiscard]] double owens_t(double h, double a);

}   // namespace oddplate::stats
