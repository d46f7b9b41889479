#pragma once
// The plan said in words: tongues, meat and time first, then what this panel can and cannot find.

#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::report {

/// Trays of some of the recipes that compare them so well, of what the best could, are told as 100 %, and no better ones are named.
inline constexpr double k_as_good_as_the_best = 0.995;

/// Several short paragraphs, ready for a terminal (80 columns). The title stands first unless it stands somewhere else already.
[[nodiscard]] std::string plan_in_words(const methods::Plan& plan, const core::Words& words, bool with_title = true);

/// The words where a form asks for the plan: what would name a key of the plan's file names the form's own field, or says it without either. Each such phrase
/// stands in the catalogue a second time, as on_page.ID.
[[nodiscard]] core::Words on_page(core::Words words);

/// Where the cut cannot give what the plan asks of it, a sentence a spot: what it gives, what is needed (spare bites and spare ballots among it) and for how
/// many people it would do. `gives`: portions of each recipe, one number for every spot or one for each of the plan's spots in their order of naming; other
/// counts of numbers than these say nothing. Empty where there is enough, or where the plan can't be drawn.
[[nodiscard]] std::vector<std::string> short_of_meat(const methods::Plan& plan, const std::vector<int>& gives, const core::Words& words);

/// Whether a round's panel falls short of the chance that it asks for.
[[nodiscard]] bool is_panel_too_small(const methods::Plan& plan);

/// What to do with a plan now, in a sentence: go on with `command` ("oddplate draw bcdfghjk"), or first mend what can't be drawn or
/// asks for more than its panel can give. Ready for a terminal.
[[nodiscard]] std::string after_the_plan(const methods::Plan& plan, const std::string& command, const core::Words& words);

}   // namespace oddplate::report
