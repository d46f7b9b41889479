#pragma once
// The law of the largest |t| of several contrasts: simultaneous p-values and intervals.

#include <cstdint>
#include <span>
#include <vector>

namespace oddplate::stats {

/// How the law was had.
enum class MaxTKind {
    single,       ///< one contrast: Student's t
    range,        ///< all pairs of means with one variance of a difference: the studentized range (Tukey 1953), by quadrature
    one_factor,   ///< correlations that are products, such as against a control (Dunnett 1955, J. American Statistical Association 50:1096), by quadrature
    integrated    ///< seeded quasi-Monte Carlo over directions
};

struct MaxTail {
    double value{1.0};
    double error{0.0};   ///< standard error of seeded integration; 0 where the law was had by quadrature
};

/// P(max |T_i| >= t) for T multivariate Student with the contrasts' own correlation: T_i = Z_i / S, Z normal, df S^2 chi-square of df.
///
/// Where nothing factors: in the space that the contrasts span every direction u has a largest |correlation| M(u), and the chance that the radius goes
/// beyond t / M(u) is a tail of F, so that only directions are drawn, from a randomly shifted lattice (Genz & Bretz 2009, Computation of Multivariate
/// Normal and t Probabilities, chapter 4; directions: Deak 1980, Numerische Mathematik 35:35). Dependent contrasts do no harm, small tails keep their
/// relative accuracy, and one set of directions serves every t and df. 8 shifts of 4,096 directions; their scatter is the error.
class MaxT {
public:
    /// All pairs of `means` means (from 2) with this covariance, means x means.
    [[nodiscard]] static MaxT pairs(std::span<const double> covariance, std::size_t means, std::uint64_t seed);
    /// Every other mean against one of them.
    [[nodiscard]] static MaxT against(std::span<const double> covariance, std::size_t means, std::size_t control, std::uint64_t seed);
    /// Any contrasts, given by their own covariance, contrasts x contrasts, no variance 0.
    [[nodiscard]] static MaxT of(std::span<const double> covariance, std::size_t contrasts, std::uint64_t seed);

    [[nodiscard]] MaxTKind kind() const noexcept { return m_kind; }
    /// t from 0; df above 0, may be infinite.
    [[nodiscard]] MaxTail upper(double t, double df) const;
    /// t whose upper tail is p, p in 0..1 (open): the critical value of simultaneous intervals. Within 1e-8 (of what was integrated).
    [[nodiscard]] double quantile(double p, double df) const;

private:
    /// Directions whose largest correlation lies close together.
    struct Bin {
        double largest{0.0};           ///< mean of M(u)
        std::vector<double> weights;   ///< share of each shift's directions
    };

    MaxTKind m_kind{MaxTKind::single};
    std::size_t m_means{0};
    std::vector<double> m_factors;
    std::size_t m_rank{0};
    std::vector<Bin> m_bins;

    void draw_directions(std::span<const double> correlation, std::size_t contrasts, std::uint64_t seed);
};

/// P(range of k independent standard normals / S >= q), k from 2.
[[nodiscard]] double studentized_range_upper(double q, std::size_t k, double df);

}   // namespace oddplate::stats
