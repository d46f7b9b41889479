#pragma once
// The picture of a ranking: how often each recipe was put first, second, ... last.

#include <optional>

#include "figures.hpp"

namespace oddplate::report {

/// Best first, a disc a place whose area is how often; lines join what can't be told apart. Absent where nothing was put in order.
[[nodiscard]] std::optional<Figure> places_figure(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words);

}   // namespace oddplate::report
