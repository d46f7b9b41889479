#pragma once
// The same people put two samples into three sorts each (too little, just right, too much): did the shares of the sorts change?

#include <array>
#include <cstdint>
#include <optional>

namespace oddplate::stats {

/// counts[i][j]: people who put the first sample into sort i and the second into j.
using SortTable = std::array<std::array<std::int64_t, 3>, 3>;

struct HomogeneityTest {
    double statistic{0.0};
    double df{0.0};                     ///< 2, or 1 where only two sorts changed places
    double p_value{1.0};                ///< chi-square
    std::optional<double> p_exact;      ///< every way counted; absent above 5e7 ways (hundreds of people who changed)
};

/// Stuart (1955, Biometrika 42:412) and Maxwell (1970, British J. Psychiatry 116:651): d' inv(V) d of the net moves d between sorts; the same as the
/// generalised Mantel-Haenszel statistic with each person a stratum. Exact: when the samples are alike each person's two sorts are as likely the other way
/// round, so that of m people who moved between two sorts Binomial(m, 1/2) moved up, independently for each two sorts, and V stays as it is.
/// None where nobody put the two into different sorts. All counts from 0.
[[nodiscard]] std::optional<HomogeneityTest> marginal_homogeneity(const SortTable& counts);

}   // namespace oddplate::stats
