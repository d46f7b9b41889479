#pragma once
// The laws of test statistics: Student's t, Fisher's F, chi-square. Infinite degrees of freedom give the normal law and its kin.

namespace oddplate::stats {

/// P(T >= t), accurate in the far right tail; df above 0, may be infinite or a fraction.
[[nodiscard]] double student_upper(double t, double df);
/// P(|T| >= |t|).
[[nodiscard]] double student_two_sided(double t, double df);
/// t with P(T >= t) = p, p in 0..1 (open).
[[nodiscard]] double student_upper_quantile(double p, double df);
/// P(F >= f), f from 0; df1 above 0 and finite, df2 above 0, may be infinite.
[[nodiscard]] double f_upper(double f, double df1, double df2);
/// P(X >= x) for chi-square of df above 0, x from 0.
[[nodiscard]] double chi_square_upper(double x, double df);

/// How far from 0, in standard errors, a mean must lie so that its t (with `df` degrees of freedom, above 0) is above `bound` (from 0) with the chance `power`: by noncentral t
/// (Johnson, Kotz & Balakrishnan 1995, Continuous Univariate Distributions 2, ch. 31), bisected to rounding.
[[nodiscard]] double noncentrality_for(double bound, double df, double power);

}   // namespace oddplate::stats
