#pragma once
// Findings as JSON and as plain text. Nothing here knows a method's keys.

#include <string>

#include "oddplate/core/json.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/methods/findings.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::report {

/// Dotted keys become objects; a null's reason stands in `why` of the object that holds it; verdict, words and warnings follow.
[[nodiscard]] core::Json findings_json(const methods::Findings& findings, const core::Words& words);

/// The plain sentences, then a small table of the numbers.
[[nodiscard]] std::string findings_text(const methods::Findings& findings, const core::Words& words);

/// How far a text goes: the words and the alarms, or below them every number and every check.
enum class Depth { words, numbers };

/// What `judge` answers.
[[nodiscard]] core::Json outcome_json(const tasting::State& state, const tasting::Outcome& outcome, const std::vector<tasting::Earlier>& earlier,
                                      const core::Words& words);
[[nodiscard]] std::string outcome_text(const tasting::State& state, const tasting::Outcome& outcome, const std::vector<tasting::Earlier>& earlier,
                                       const core::Words& words, Depth depth);

/// All sentences, a space between.
[[nodiscard]] std::string spoken(const std::vector<core::Sentence>& sentences, const core::Words& words);

}   // namespace oddplate::report
