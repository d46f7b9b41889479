#pragma once
// Worths: one number a sample that says how often it would be put before others. From whole orders (Plackett-Luce) and from pairs (Bradley-Terry with
// ties and an order effect; Thurstone's case V).

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "oddplate/stats/rank_test.hpp"

namespace oddplate::stats {

/// One sample's worth.
struct Worth {
    double log_worth{0};               ///< less the mean of all samples'
    double standard_error{0};
    double share_first{0};             ///< of all samples together, how often it would come first
    double lower{0}, upper{0};         ///< of share_first
};

enum class NoWorths {
    has_some,
    nothing,        ///< no order of two samples
    ties,           ///< orders with ties
    apart,          ///< samples in two groups were never compared
    one_sided       ///< some samples were always put before all others that they met: their worth has no bound
};

struct Worths {
    NoWorths why{NoWorths::nothing};
    std::vector<Worth> samples;              ///< empty where there are none
    double log_likelihood{0};
    std::optional<double> tie;               ///< log nu of Davidson's model, where ties were seen
    std::optional<double> served_first;      ///< log odds that being served first adds, where orders of service are known
    std::optional<double> served_first_error;
    double deviance{0};                      ///< against every pair for itself (pairs only)
    int deviance_df{0};
    double deviance_p{1};                    ///< asymptotic upper tail; 1 where df is 0
};

/// P(order) = product over places of worth / sum of worths still to be placed, by maximum likelihood (Luce 1959; Plackett 1975, Applied Statistics 24:193),
/// Newton steps on the log scale. Standard errors allow for a taster's trays being alike (sandwich over tasters; Huber 1967). It has a finite maximum where
/// samples can't be split in two groups of which one is always first (Ford 1957; Hunter 2004, Annals of Statistics 32:384); `why` says when not.
/// Trays need not hold all samples. samples from 2; confidence in (0, 1).
[[nodiscard]] Worths plackett_luce(std::span<const RankedTray> trays, int samples, double confidence);

/// Comparisons of one pair, a served before b (where that is not known: any order, and served_order false below).
struct PairCount {
    int a{0}, b{0};
    std::int64_t for_a{0}, for_b{0}, ties{0};
    std::int32_t taster{-1};     ///< whose comparisons they are; -1: nobody's in particular, each for itself
};
struct PairSettings {
    bool served_order{false};    ///< estimate what being served first adds
    double confidence{0.95};
};
/// Bradley & Terry (1952), Biometrika 39:324, with ties by Davidson (1970), JASA 65:317: P(a) : P(b) : P(tie) = worth_a : worth_b : nu sqrt(worth_a worth_b),
/// worth_a times exp(delta) where a is served first (Davidson & Beaver 1977, Biometrics 33:693). Standard errors allow for a taster's comparisons being alike where
/// tasters are known (sandwich, as plackett_luce). Answers that the model can explain beyond all bounds (every vote went to the one served first, say) have
/// no finite maximum: one_sided.
[[nodiscard]] Worths bradley_terry(std::span<const PairCount> pairs, int samples, const PairSettings& settings);

/// P(a before b) = Phi(scale_a - scale_b + delta) (Thurstone 1927, Psychological Review 34:273, case V); ties count half to each side. log_worth is the
/// scale value; share_first is left 0.
[[nodiscard]] Worths thurstone_v(std::span<const PairCount> pairs, int samples, const PairSettings& settings);

}   // namespace oddplate::stats
