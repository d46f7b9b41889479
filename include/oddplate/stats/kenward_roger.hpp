#pragma once
// What a mixed model's fixed effects say in a small panel: their covariance and degrees of freedom, corrected for the variances being estimates.

#include <memory>
#include <span>
#include <vector>

#include "oddplate/stats/linear_mixed.hpp"

namespace oddplate::stats {

/// kenward_roger: covariance corrected and degrees of freedom by Kenward & Roger (1997, Biometrics 53:983-997), in the form of Halekoh & Hojsgaard
/// (2014, J. Statistical Software 59(9)). satterthwaite: covariance as fitted and degrees of freedom by the variance of the variance (Giesbrecht & Burns
/// 1985, Biometrics 41:477-486; for several contrasts Fai & Cornelius 1996, J. Statistical Computation and Simulation 54:363-378).
enum class FreedomKind { kenward_roger, satterthwaite };

/// One contrast c'b against 0.
struct ContrastTest {
    double estimate{0.0};
    double standard_error{0.0};
    double df{0.0};        ///< may be a fraction
    double t{0.0};
    double p_value{1.0};   ///< two-sided
};

/// Several contrasts against 0 at once.
struct OverallTest {
    double f{0.0};
    double df1{0.0};       ///< independent contrasts
    double df2{0.0};
    double p_value{1.0};
};

/// Inference about the fixed part of one fit. A variance at 0 keeps its place in the information, so that a balanced table has the degrees of freedom
/// of its analysis of variance whether the estimate is 0 or not. Kenward-Roger asks for all pairs of levels that are connected; above 4e9 of them
///, with random slopes, or where the information about the variances is singular, Satterthwaite's is taken, and said.
class FixedInference {
public:
    /// The fit must be this model's, by REML. `kind` is a wish: kind() is what was done.
    FixedInference(const LinearMixed& model, const MixedFit& fit, FreedomKind kind = FreedomKind::kenward_roger);
    ~FixedInference();
    FixedInference(FixedInference&&) noexcept;

    [[nodiscard]] FreedomKind kind() const noexcept;
    /// Of b, columns x columns; corrected under Kenward-Roger.
    [[nodiscard]] const std::vector<double>& covariance() const noexcept;
    /// c has one weight a coefficient, not all 0.
    [[nodiscard]] ContrastTest contrast(std::span<const double> c) const;
    /// Contrasts one after the other, columns weights each. Those that follow from others are left out and not counted in df1.
    [[nodiscard]] OverallTest overall(std::span<const double> contrasts) const;

private:
    struct Parts;
    std::unique_ptr<const Parts> m_parts;
};

}   // namespace oddplate::stats
