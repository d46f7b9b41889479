#pragma once
// The linear mixed model y = X b + Z u + e: ratings whose tasters, pieces and sittings are drawn from many.

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "oddplate/core/result.hpp"

namespace oddplate::stats {

/// One grouping of the rows whose levels shift the score by N(0, variance) each. With a slope every level also has its own slope in that
/// covariate, correlated with its shift.
struct RandomTerm {
    std::string name;                  ///< "taster", for words
    std::vector<std::int32_t> level;   ///< one a row, 0 .. levels - 1
    std::int32_t levels{0};
    std::vector<double> slope;         ///< empty, or the covariate, one a row
};

/// The rows. x is row by row: the fixed part of row i is x[i * columns .. i * columns + columns - 1].
struct MixedData {
    std::size_t columns{0};
    std::vector<double> x;
    std::vector<double> y;
    std::vector<RandomTerm> terms;
};

/// REML, whose variances allow for the fixed part having been estimated, or plain maximum likelihood.
enum class MixedCriterion { restricted, full };

/// What one random term came to.
struct VarianceTerm {
    std::string name;
    double deviation{0.0};                   ///< standard deviation of the levels' shifts, in units of y
    std::optional<double> slope_deviation;   ///< of the slopes, where the term has one
    std::optional<double> correlation;       ///< of shift and slope; none where either deviation is 0
    bool boundary{false};                    ///< a variance was estimated as 0 (or the correlation as +-1): the fit is singular
    std::vector<double> shifts;              ///< each level's predicted shift (best linear unbiased prediction)
};

struct MixedFit {
    MixedCriterion criterion{MixedCriterion::restricted};
    std::vector<double> coefficients;   ///< b
    std::vector<double> covariance;     ///< of b, columns x columns: residual variance times inv(X' inv(H) X)
    std::vector<VarianceTerm> terms;
    double residual_deviation{0.0};
    double deviance{0.0};               ///< -2 log (restricted) likelihood at the top, all constants counted
    double log_likelihood{0.0};         ///< -deviance / 2
    std::vector<double> theta;          ///< the relative covariance factor: of an intercept term its deviation over the residual's
    double gradient_norm{0.0};          ///< largest |d deviance / d theta| at the end
    double least_curvature{0.0};        ///< least eigenvalue of the second derivatives in the theta that are not at the boundary
    std::vector<double> curvature;      ///< second derivatives of the deviance in theta, all of them
    int steps{0};
    bool converged{false};              ///< gradient and curvature promise less than 1e-8 of a further fall, and the curvature is upward
};

/// A data set with its cross-products, made once; evaluations cost what the sparse factor of the random part costs and never touch the rows again.
/// The deviance is profiled over b and the residual variance (Bates, Maechler, Bolker & Walker 2015, J. Statistical Software 67(1)); it is
/// minimised in theta with its analytic gradient, whose trace comes from the entries of the inverse on the factor's pattern (Takahashi,
/// Fagan & Chin 1973; Erisman & Tinney 1975). Reentrant: const functions share nothing.
class LinearMixed {
public:
    /// Refuses, in one sentence: no rows, rows that are not finite, a fixed part whose columns say the same thing twice, a term with fewer than two
    /// levels or one for every row, scores that the fixed part explains to the last digit.
    [[nodiscard]] static core::Result<LinearMixed> make(const MixedData& data);
    ~LinearMixed();
    LinearMixed(LinearMixed&&) noexcept;
    LinearMixed& operator=(LinearMixed&&) noexcept;

    [[nodiscard]] MixedFit fit(MixedCriterion criterion) const;

    /// The parts of the deviance at a theta: deviance = log_det + (n - p) (1 + log(2 pi r2 / (n - p))) by REML; n for n - p in the full one.
    struct Height {
        double log_det{0.0};   ///< log |H| (+ log |X' inv(H) X| by REML), H = I + Z L L' Z'
        double r2{0.0};        ///< the least squares, weighted by inv(H)
        std::vector<double> log_det_slope, r2_slope;   ///< by theta
    };
    [[nodiscard]] Height height(std::span<const double> theta, MixedCriterion criterion) const;
    [[nodiscard]] double deviance(std::span<const double> theta, MixedCriterion criterion) const;

    struct Products;
    /// The cross-products, for what is built upon a fit (src/stats only).
    [[nodiscard]] const Products& products() const noexcept { return *m_products; }

private:
    explicit LinearMixed(std::unique_ptr<const Products> products);
    std::unique_ptr<const Products> m_products;
};

}   // namespace oddplate::stats
