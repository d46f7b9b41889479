#pragma once
// What the desk may type short: the first letter of a word, = for "could not choose", scores in the order of the tray.

#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::cli {

/// The answer that is meant by what was typed for a set (0-based; -1 is the last box): "d2" is "different:2", "=" is "none", "6,5 4"
/// gives the tray's portions their scores from left to right, "y" is "yes". Everything else stays as it is; whether it is an answer at
/// all is asked afterwards.
[[nodiscard]] std::string made_whole(const tasting::State& state, int ballot, int set, const std::string& typed);

/// How answers are typed, a line for each kind that the plan asks for.
[[nodiscard]] std::vector<std::string> how_to_type(const tasting::State& state, const core::Words& words);

}   // namespace oddplate::cli
