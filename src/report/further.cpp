// Judging puts every alarm among its sentences, so that a script reads all warnings in one place. A reader has the checks in a
// list of their own, and would meet them twice.
#include "further.hpp"

#include <algorithm>
#include <iterator>

namespace oddplate::report {

std::vector<core::Sentence> further_words(const methods::RoundFindings& found) {
    std::vector<core::Sentence> further;
    if (found.words.empty()) return further;
    std::copy_if(found.words.begin() + 1, found.words.end(), std::back_inserter(further), [&](const core::Sentence& sentence) {
        return std::none_of(found.checks.begin(), found.checks.end(),
                            [&](const methods::Check& check) { return check.words == sentence; });
    });
    return further;
}

}   // namespace oddplate::report
