#pragma once
// The plan said in words: tongues, meat and time first, then what this panel can and cannot find.

#include <string>

#include "oddplate/core/words.hpp"
#include "oddplate/methods/plan.hpp"

namespace oddplate::report {

/// Several short paragraphs, ready for a terminal (80 columns).
[[nodiscard]] std::string plan_in_words(const methods::Plan& plan, const core::Words& words);

/// What to do with a plan now, in a sentence: go on with `command` ("oddplate draw bcdfghjk"), or first mend what can't be drawn or
/// asks for more than its panel can give. Ready for a terminal.
[[nodiscard]] std::string after_the_plan(const methods::Plan& plan, const std::string& command, const core::Words& words);

}   // namespace oddplate::report
