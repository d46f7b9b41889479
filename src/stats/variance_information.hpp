#pragma once
// What the rows say about the variances of a mixed model, in the traces that the Kenward-Roger correction is made of.

#include <optional>
#include <vector>

#include "mixed_products.hpp"

namespace oddplate::stats {

/// With H = V / residual variance, G = Z' inv(H) Z and T = Z' inv(H) X, for groups i and j of Z's columns (intercepts only).
struct VarianceMoments {
    std::size_t groups{0};
    std::vector<double> trace;                    ///< tr G_ii
    std::vector<double> square;                   ///< sum of the squares of G_ij's entries, groups x groups
    std::vector<std::vector<double>> once;        ///< T_i' T_i, fixed x fixed each
    std::vector<std::vector<double>> twice;       ///< T_i' G_ij T_j, groups x groups of fixed x fixed
};

/// None where connected levels make more than 4e9 pairs, and for slopes. theta: of each group.
[[nodiscard]] std::optional<VarianceMoments> variance_moments(const LinearMixed::Products& of, const std::vector<double>& theta);

}   // namespace oddplate::stats
