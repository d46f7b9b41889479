#pragma once
// Reading one answer against its ballot, for entry by file, by keyboard and for corrections alike.

#include <string>

#include "oddplate/core/result.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

/// The canonical text of an answer typed for a set (0-based; set -1 is the last box, which takes yes or no). A code that is not on that set is
/// refused with the nearest that is.
[[nodiscard]] core::Result<std::string> answer_text(const State& state, int ballot, int set, const std::string& typed);

/// Whether answers are taken in now: entry is open, or `late` and closed. The fault says why not.
[[nodiscard]] core::Status may_enter(const State& state, bool late);

}   // namespace oddplate::tasting
