// What a round's verdict says after its first sentence.
#pragma once

#include <vector>

#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

/// The verdict's own sentence and, where recipes ran out, which they were.
std::vector<core::Sentence> first_words(const methods::RoundFindings& found);

/// The sentences after those, without those that the checks say too: a check stands in its own list, once, on screen and
/// on paper.
std::vector<core::Sentence> further_words(const methods::RoundFindings& found);

/// The checks that have something to say: one of a kind that is tested and could not be (nobody gave two answers) is for scripts only.
std::vector<methods::Check> checks_to_say(const methods::RoundFindings& found);

}   // namespace oddplate::report
