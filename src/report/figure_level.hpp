#pragma once
// A round along a ladder of levels, as a figure of the report.

#include <optional>

#include "figures.hpp"

namespace oddplate::report {

/// Absent where the answers were not given along levels.
[[nodiscard]] std::optional<Figure> level_figure(const judge::JudgedRound& round, const core::Words& words);
/// The same for the card that is sent on: lower, in larger type, with a caption of one sentence.
[[nodiscard]] std::optional<Figure> level_card(const judge::JudgedRound& round, const core::Words& words);

}   // namespace oddplate::report
