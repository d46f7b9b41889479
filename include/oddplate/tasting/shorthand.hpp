#pragma once
// What may be typed short, at the keyboard, at the desk and in a file alike: the first letter of a word, = for "could not choose", scores in the order of
// the tray, an order as codes one after the other.

#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

/// The answer that is meant by what was typed for a set (0-based; -1 is the last box): "d2" is "different:2", "=" is "none", "6,5 4" gives the tray's
/// portions their scores from left to right, "182 386 722" is an order, of two on a tray one code is the one put first, "y" is "yes". Everything else stays
/// as it is; whether it is an answer at all is asked afterwards.
[[nodiscard]] std::string made_whole(const State& state, int ballot, int set, const std::string& typed);

/// How a tray's answer is typed, with its own codes as the example.
[[nodiscard]] std::string how_to_type(const State& state, int ballot, int set, const core::Words& words);

/// The same, a line for each kind that the plan asks for, and the marks that every tray takes.
[[nodiscard]] std::vector<std::string> how_to_type(const State& state, const core::Words& words);

/// Whether trays ask for more than one kind of answer, so that each needs telling.
[[nodiscard]] bool asks_several_kinds(const State& state, const core::Words& words);

}   // namespace oddplate::tasting
