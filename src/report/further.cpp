// Judging puts every alarm among its sentences, so that a script reads all warnings in one place. A reader has the checks in a
// list of their own, and would meet them twice.
#include "further.hpp"

#include <algorithm>
#include <iterator>
#include <string_view>

namespace oddplate::report {

std::vector<core::Sentence> first_words(const methods::RoundFindings& found) {
    if (found.words.empty()) return {};
    std::vector<core::Sentence> first{found.words.front()};
    std::copy_if(found.words.begin() + 1, found.words.end(), std::back_inserter(first), methods::says_ran_out);
    return first;
}

std::vector<core::Sentence> further_words(const methods::RoundFindings& found) {
    std::vector<core::Sentence> further;
    if (found.words.empty()) return further;
    std::copy_if(found.words.begin() + 1, found.words.end(), std::back_inserter(further), [&](const core::Sentence& sentence) {
        return !methods::says_ran_out(sentence) && std::none_of(found.checks.begin(), found.checks.end(),
                            [&](const methods::Check& check) { return check.words == sentence; });
    });
    return further;
}

std::vector<methods::Check> checks_to_say(const methods::RoundFindings& found) {
    constexpr std::string_view k_tested[] = {"falling_over_sitting", "carry_over", "first_and_second", "position_picks"};
    std::vector<methods::Check> said;
    std::copy_if(found.checks.begin(), found.checks.end(), std::back_inserter(said), [&](const methods::Check& check) {
        return check.alarm || check.p_value || std::find(std::begin(k_tested), std::end(k_tested), check.id) == std::end(k_tested);
    });
    return said;
}

}   // namespace oddplate::report
