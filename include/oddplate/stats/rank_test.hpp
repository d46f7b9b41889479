#pragma once
// Ranks of several samples: whether they differ at all, whether they rise as expected, and which pairs differ. Complete trays and incomplete
// ones, ties, gaps, and tasters with several trays are one thing here: a row of scores dealt to the samples of that row.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "oddplate/stats/p_value.hpp"

namespace oddplate::stats {

/// One tray as one taster ranked it.
struct RankedTray {
    std::int32_t taster{0};
    std::vector<int> samples;     ///< which of the samples, from 0; no two alike
    std::vector<double> ranks;    ///< beside them, 1 = first; any numbers in that order: they are made midranks within the tray
};

/// Ranks within a tray: 1..k, ties share the mean of theirs. Source: Kendall (1945), Biometrika 33:239.
[[nodiscard]] std::vector<double> midranks(std::span<const double> numbers);

struct RankStatistic {
    std::vector<double> sums;       ///< rank sums by sample, midranks added over all trays
    std::vector<double> means;      ///< mean rank by sample over the trays that held it; 0 where none did
    std::vector<double> effects;    ///< ranks above (worse, +) or below an average sample's, adjusted for what lay beside it: least squares with a
                                    ///< level a row; complete rows: mean less (k+1)/2. Within a group of samples they add up to 0
    std::vector<std::int64_t> trays;   ///< trays that held the sample
    double statistic{0};            ///< U' V^- U: see rank_statistic
    int df{0};                      ///< samples less groups that were never compared with one another
    double p_chi_square{1};         ///< its asymptotic upper tail; 1 where df is 0
    std::optional<double> concordance;   ///< Kendall's W, statistic / (n df), where every row holds every sample
    std::vector<int> group;         ///< by sample: samples of unlike groups were never compared, not even through others
    int groups{1};
};

/// Friedman's statistic in its general form. Rows are tasters: trays of the same samples are added within a taster first. With r the scores of
/// a row less their mean, U the column sums of r and V = sum over rows of s^2/(k-1) (I - J/k) on the row's own samples (s^2 = sum of r^2, k their
/// number), which is U's covariance when scores are dealt at random: T = U' V^- U.
/// Complete rows: Friedman (1937, JASA 32:675) with the correction for ties (Conover 1999, Practical Nonparametric Statistics, sec. 5.8). Rows of
/// one smaller size: Durbin (1951, Brit. J. Psychol. Stat. Sec. 4:85), with ties. Rows of several sizes: scores weighted by sqrt(12/(k+1))
/// (Skillings & Mack 1981, Technometrics 23:171), with V from the scores as they are tied.
/// `samples` from 2. No trays: statistic 0, df 0.
[[nodiscard]] RankStatistic rank_statistic(std::span<const RankedTray> trays, int samples);

/// p of that statistic, scores dealt to the samples of each row at random. Exact for complete rows while it fits about a second (square_sum_tail),
/// and for any rows with at most 2e6 orders in all; else up to 99,999 seeded shuffles with their error, fewer once 2,500 reach the statistic (stopped_early_p). A taster whose trays hold unlike samples has no
/// row to deal: then each taster's column of scores U_i turns to -U_i with probability 1/2, as it would if tasters were as likely to rank in one
/// order as in its reverse (exact for up to 18 tasters, else seeded). 1 where nothing was ranked or df is 0.
/// `budget` is that of square_sum_tail and `draws` how many shuffles are made; fewer of both suit simulations.
[[nodiscard]] PValue rank_p(std::span<const RankedTray> trays, int samples, std::uint64_t seed, double budget = 4e7, std::int64_t draws = 99'999);

struct PageTest {
    double statistic{0};          ///< L = sum over samples of place (1..k) x rank sum
    double expected{0}, variance{0};   ///< of L when scores are dealt at random
    double p_normal{1};           ///< upper tail of (L - expected)/sqrt(variance), no correction
    PValue p;                     ///< P(L or more): exact by convolution over rows; by flips where a taster has unlike trays
};
/// Page's test that ranks rise in the order expected: `order[0]` is the sample with the smallest rank expected (ranked first). All samples,
/// each once. Incomplete rows count with the places of their own samples. Source: Page (1963), JASA 58:216.
[[nodiscard]] PageTest page_test(std::span<const RankedTray> trays, std::span<const int> order, std::uint64_t seed);

/// Two samples compared by the tasters who ranked both.
struct RankPair {
    int a{0}, b{0};                   ///< a < b
    std::int64_t tasters{0};          ///< who had both on a tray
    std::int64_t a_first{0}, b_first{0};   ///< of them, who ranked the one before the other (on balance, with several trays)
    double difference{0};             ///< mean rank of b less that of a, over those tasters: above 0 where a was ranked before b
    PValue p;                         ///< two-sided: each taster's difference turns its sign with probability 1/2
    double p_adjusted{1};             ///< Holm over all pairs with a taster
};
/// All pairs, (0,1), (0,2), ... Source: Fisher (1935), The Design of Experiments, section 21 (flipping signs); Holm (1979), Scand. J. Statist. 6:65.
[[nodiscard]] std::vector<RankPair> rank_pairs(std::span<const RankedTray> trays, int samples, std::uint64_t seed);

/// P that the order differs so much from spot to spot, each taster's trays of the same samples exchanged among his spots: 9,999 seeded
/// permutations of the sum over spots and samples of trays x (mean rank there - mean rank)^2. `spots` beside `trays`. None where no taster ranked the
/// same samples unlike at two spots.
[[nodiscard]] std::optional<PValue> rank_spots_p(std::span<const RankedTray> trays, std::span<const int> spots, int samples, std::uint64_t seed);

/// Samples that no pair shows to be behind another: of each pair with p_adjusted <= alpha the one ranked after the other is out. Ascending by effect; all of them where no pair shows
/// anything. Empty without trays, or where pairs go round in a circle.
[[nodiscard]] std::vector<int> leading_group(const RankStatistic& found, std::span<const RankPair> pairs, double alpha);

}   // namespace oddplate::stats
