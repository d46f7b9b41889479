#pragma once
// Pictures of how the evening went: which places were picked, how right answers ran along the sitting, how people used a scale, what a model leaves over.

#include <optional>

#include "figures.hpp"

namespace oddplate::report {

/// How often each place on the tray was picked against what people without a habit would pick. From two places on.
[[nodiscard]] std::optional<Figure> picks_figure(const judge::JudgedRound& round, const core::Words& words);
/// Right answers by place in the sitting, with what they could be. From two trays a head on.
[[nodiscard]] std::optional<Figure> sitting_figure(const judge::JudgedRound& round, const core::Words& words);
/// Each person's lowest, mean and highest score, without names.
[[nodiscard]] std::optional<Figure> scale_use_figure(const judge::JudgedRound& round, const core::Words& words);
/// What is left of each score once the person's level and the recipe's mean are taken off, against a normal law's quantiles.
[[nodiscard]] std::optional<Figure> left_over_figure(const judge::JudgedRound& round, const core::Words& words);

}   // namespace oddplate::report
