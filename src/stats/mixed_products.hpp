#pragma once
// The cross-products of a mixed model: all that its likelihood needs of the rows. Columns of Z stand in the order in which the sparse factor
// eliminates them (the fewest neighbours first), so that factors of it need no further permutation.

#include <cstdint>
#include <string>
#include <vector>

#include "oddplate/stats/linear_mixed.hpp"

namespace oddplate::stats {

/// A symmetric matrix, both triangles, column by column with rows rising.
struct SparseSquare {
    std::vector<std::int32_t> start, row;
    std::vector<double> value;
};

/// The columns of Z that belong to one deviation: a term's shifts, or its slopes.
struct ColumnGroup {
    std::size_t term{0};
    bool is_slope{false};
    std::vector<std::int32_t> columns;   ///< of each level, in Z
};

/// One entry of the relative covariance factor: it carries group `from`'s spherical effects into group `to`.
struct ThetaPlace {
    std::size_t to{0}, from{0};
};

struct LinearMixed::Products {
    std::size_t rows{0}, fixed{0}, random{0};
    std::vector<std::string> names;
    std::vector<ColumnGroup> groups;
    std::vector<std::int32_t> group_of;   ///< of each column of Z
    std::vector<ThetaPlace> thetas;
    bool has_slope{false};
    SparseSquare zz;
    std::vector<double> zx;               ///< random x (fixed + 1), row by row; the last column is Z'y
    std::vector<double> xx;               ///< (fixed + 1) x (fixed + 1): X and y together
    std::vector<double> least_squares;    ///< the plain fit's coefficients: y stands for its residuals, which keeps digits
};

/// As LinearMixed::make.
[[nodiscard]] core::Result<std::unique_ptr<const LinearMixed::Products>> mixed_products(const MixedData& data);

}   // namespace oddplate::stats
