#pragma once
// How many people, when each gives several answers and a rule over spots decides.

#include <cstdint>
#include <optional>

#include "oddplate/stats/power.hpp"

namespace oddplate::stats {

enum class DecideOn { overall, any_spot, each_spot };

struct SpotsPlan {
    int spots{1};   ///< 1 or more
    DecideOn decide_on{DecideOn::overall};
    int sets_per_taster{1};   ///< sets a spot, 1 or more
    double gamma{0.0};        ///< spread of tasters' own pd in 0..1: pd_i ~ Beta with mean pd and variance gamma pd (1 - pd);
                              ///< 0 all alike, 1 two kinds of taster
};

struct PeopleSize {
    std::int64_t tasters{0};   ///< people: first count from 2 with the power wanted
    std::int64_t tasters_safe{0};
    std::int64_t answers{0};    ///< tasters x spots x sets
    std::int64_t critical{0};   ///< of the count that is tested (all answers, or one spot's)
    double alpha_actual{0.0};
    double power_actual{0.0};
};

/// Difference. overall: the pooled count, every spot at pd. any_spot: one spot differs, tested at alpha over the number of spots
/// (Holm's first step). each_spot: all differ and all must pass at alpha, taken as independent given pd (power to the power of
/// spots). Within a count a taster's answers share his own pd_i (chance-corrected beta-binomial; Brockhoff & Schlich 1998, Ennis
/// & Bi 1998). `critical`, `alpha_actual` are those of the count that is tested, `power_actual` is the rule's. None above
/// k_most_tasters answers; where tasters differ (gamma > 0 and several answers in the count) none above 10,000 people or where
/// the last dip cannot be shown to lie below 25,000 (Hoeffding's and Bernstein's inequalities).
[[nodiscard]] std::optional<PeopleSize> size_over_spots(const SpotsPlan& plan, double chance, double pd, double alpha,
                                                        double power);

/// Similarity at test.p_margin with the truth pd_true. overall: the pooled count by tasters (the larger of the binomial and
/// two-kinds tails, as it is judged). any_spot and each_spot: S at every spot, taken as independent. The guard of SimilarityTest
/// holds for each count. Several answers a taster in the count: none above 10,000 people, as above.
[[nodiscard]] std::optional<PeopleSize> size_similarity_over_spots(const SpotsPlan& plan, const SimilarityTest& test,
                                                                   double pd_true, double power);

/// The same by the chance of the verdict itself: counts below chance are no closeness, and a pooled count over several spots is withheld
/// where they are found to differ (chance_spots_agree; `power_actual` is that chance). None too where no panel is sure to reach it,
/// since each guard takes up to alpha however many people come.
[[nodiscard]] std::optional<PeopleSize> size_similarity_verdict_over_spots(const SpotsPlan& plan, const SimilarityTest& test,
                                                                           double pd_true, double power);

struct SimilarityPower {
    double tails{0.0};     ///< the tails of S pass, as the standards count power
    double verdict{0.0};   ///< S itself, guards included
};
/// Both at a panel of so many people, from 2.
[[nodiscard]] SimilarityPower similarity_power_over_spots(const SpotsPlan& plan, const SimilarityTest& test, double pd_true,
                                                          std::int64_t people);

}   // namespace oddplate::stats
