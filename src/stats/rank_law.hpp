#pragma once
// The exact law of the sum of squares of column sums, when each row's scores are dealt to the columns at random.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace oddplate::stats {

/// One row's scores as whole numbers, ascending; ties are equal numbers.
using ScorePattern = std::vector<int>;

/// P(sum over columns of R_j^2 >= `observed`), every row's scores dealt to its columns in an order drawn uniformly and independently of the
/// other rows'. All patterns have the same length, 2..10. Exact: a walk over the multisets of column sums, row by row; a multiset and its mirror
/// image are one state where every row's scores lie symmetrically; a state from which the end is certain is not followed. None where that
/// would take more than `budget` steps (4e7 take about a second: 5 columns x 25 rows, 6 x 10, 4 x 90) or too much memory.
/// Source: Friedman (1937), Journal of the American Statistical Association 32:675 (the law by counting); the merging of states is ours.
[[nodiscard]] std::optional<double> square_sum_tail(std::span<const ScorePattern> rows, std::int64_t observed, double budget = 4e7);

}   // namespace oddplate::stats
