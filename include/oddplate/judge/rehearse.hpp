#pragma once
// A rehearsal: the whole tasting with made-up tasters, many times over, before any meat is bought.

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/result.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::judge {

/// The made-up tasters.
struct MadeUpPanel {
    double d{0};          ///< true difference d' between the recipes at every spot, mean over tasters
    double spread{0};     ///< standard deviation of the tasters' own d', >= 0
    double fade{0};       ///< share of what is left of d' that each further tray takes away, 0..1
    double lean{0};       ///< share of trays on which the first portion stands out, whatever it holds, 0..1
    double no_shows{0};   ///< share of the plan's tasters who do not come, 0..1
    /// What people like is another question than what they notice: of those who choose, the share for the new recipe, above 0 and below 1, mean
    /// over tasters. Where none is said a round's own `share` is taken, else 1/2: nobody prefers either.
    std::optional<double> share_new{};
};

struct RehearsedRound {
    std::string method;
    std::vector<std::pair<std::string, std::int64_t>> verdicts;   ///< every verdict that the method knows, with how often it came
};
struct Rehearsal {
    std::int64_t times{0};
    std::vector<RehearsedRound> rounds;
};

/// The share for the new recipe that a round of votes is rehearsed with.
[[nodiscard]] double share_rehearsed(const methods::Round& round, const MadeUpPanel& panel);

/// Draws, serves, answers and judges the plan `times` times. A taster's own d' is gamma (method without a direction: nobody can
/// tell less than nothing) or normal; his own liking, in rounds of votes, is normal with the same spread about what gives the share, and
/// independent of his d' (Thurstone 1927, case V with people who differ); every portion gives a sensation of spread 1 and the method's own rule turns those into an
/// answer. Spares stay in the cupboard. Replicate i depends on the seed and i alone, so any number of threads gives the same bits.
/// Faults: a method without a decision rule; what the draw refuses.
[[nodiscard]] core::Result<Rehearsal> rehearse(const methods::Plan& plan, const MadeUpPanel& panel, std::int64_t times,
                                               const core::Bytes32& seed, unsigned threads);

}   // namespace oddplate::judge
