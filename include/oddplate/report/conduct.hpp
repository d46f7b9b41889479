#pragma once
// How the tasting was run, as sentences that stand in every report: draws, seeds, openings, mends, the count of slips, earlier tastings.

#include <vector>

#include "oddplate/core/sentence.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::report {

[[nodiscard]] std::vector<core::Sentence> conduct_of(const tasting::State& state, const std::vector<tasting::Earlier>& earlier,
                                                     const core::Words& words);

/// What judging says of the tasting as a whole, beyond its first round.
[[nodiscard]] std::vector<core::Sentence> about_the_whole(const judge::Judged& judged);

}   // namespace oddplate::report
