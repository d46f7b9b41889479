#pragma once
// Ratings as ordered words: the proportional-odds model, with tasters who differ.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// logit P(Y <= j) = threshold_j - offset - x'b - u, u ~ N(0, deviation^2) a taster (McCullagh & Nelder 1989, section 5.2; Hedeker & Gibbons 1994,
/// Biometrics 50:933). x is row by row and has no column for a constant: the thresholds are that.
struct OrderedData {
    std::size_t columns{0};
    std::vector<double> x;
    std::vector<std::int32_t> y;        ///< the word's rank from 0; ranks nobody used are left out
    std::vector<std::int32_t> taster;   ///< from 0; empty: every answer stands alone (deviation 0)
    std::vector<double> offset;         ///< empty, or one a row
};

struct OrderedFit {
    std::vector<double> thresholds;     ///< between the used ranks, rising
    std::vector<double> coefficients;   ///< b: above 0 is a liking for higher words; log odds ratios
    std::vector<double> errors;         ///< standard errors of thresholds, then coefficients, from the curvature
    double deviation{0.0};              ///< of the tasters' shifts
    bool boundary{false};               ///< deviation estimated as 0
    double log_likelihood{0.0};
    double gradient_norm{0.0};          ///< largest derivative of the log-likelihood at the end
    double least_curvature{0.0};        ///< least eigenvalue of the information about thresholds, coefficients (and deviation where it is not 0)
    int steps{0};
    bool converged{false};              ///< a top was reached; false also where a sample's answers all lie at one end, so that there is none
};

/// Maximum likelihood; tasters by adaptive Gauss-Hermite quadrature with this many points (from 1) about each taster's own mode (Liu & Pierce 1994,
/// Biometrika 81:624), the gradient by the same points. Refuses, in one sentence: fewer than two ranks in use, or columns that cannot be told apart.
[[nodiscard]] core::Result<OrderedFit> fit_cumulative_link(const OrderedData& data, int points = 15);

/// The likelihood at given parameters, for tests and profiles: thresholds and coefficients as in a fit.
[[nodiscard]] double cumulative_log_likelihood(const OrderedData& data, std::span<const double> thresholds, std::span<const double> coefficients,
                                               double deviation, int points = 15);

struct OrderedTest {
    double statistic{0.0};       ///< twice the log-likelihood lost without the columns
    double df{0.0};
    double p_value{1.0};         ///< chi-square: liberal in small panels
    PValue bootstrap;            ///< share of tables drawn from the fit without the columns that lose as much
};

/// Likelihood-ratio test of columns from .. from + many - 1, with its parametric bootstrap: `draws` tables from the model without them, the same
/// tasters and rows, stopped at 20 that reach the statistic (Besag & Clifford 1991). Refuses as the fit, and where a top is not reached.
[[nodiscard]] core::Result<OrderedTest> test_cumulative_link(const OrderedData& data, std::size_t from, std::size_t many, std::uint64_t seed, int draws = 999);

/// Profile likelihood interval of c'b; infinite where the likelihood does not fall that far on a side. `fit` is the data's own.
[[nodiscard]] Interval cumulative_interval(const OrderedData& data, const OrderedFit& fit, std::span<const double> c, double confidence);

}   // namespace oddplate::stats
