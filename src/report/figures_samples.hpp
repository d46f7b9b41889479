#pragma once
// Pictures of several samples at once, of any method whose findings hold them as lists: means with intervals and who can't be told from whom, sorts of
// answers as bars, what goes with lower liking.

#include <optional>

#include "figures.hpp"

namespace oddplate::report {

/// `samples` (name, mean, lower, upper) the highest first, and, by `pairs` (a, b, p_adjusted), a line beside those that can't be told apart.
[[nodiscard]] std::optional<Figure> samples_figure(const judge::JudgedRound& round, const core::Words& words);
/// `worths` (name, share_first, lower, upper) in the same way, in percent; none where `places` tell how often each came where.
[[nodiscard]] std::optional<Figure> worths_figure(const judge::JudgedRound& round, const core::Words& words);
/// `distribution` (attribute, sample, too_little, just_right, too_much, people, answers): a bar each, in answers.
[[nodiscard]] std::optional<Figure> levels_figure(const judge::JudgedRound& round, const core::Words& words);
/// `ticks` (word, name, share, lower, upper): a line a word and sample, a star where `words_ticked` has the word at alpha.
[[nodiscard]] std::optional<Figure> ticks_figure(const judge::JudgedRound& round, const core::Words& words);
/// The same for the card that is sent on, in larger type: as many words as `most_high` mm hold (at least one), the likeliest to tell recipes apart.
[[nodiscard]] std::optional<Figure> ticks_card(const judge::JudgedRound& round, const core::Words& words, double most_high);
/// `drops` (attribute, sample, side, share, drop, lower, upper), those that were compared.
[[nodiscard]] std::optional<Figure> drops_figure(const judge::JudgedRound& round, const core::Words& words);

}   // namespace oddplate::report
