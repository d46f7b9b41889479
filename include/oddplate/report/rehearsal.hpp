#pragma once
// A rehearsal told: the same sentences and shares on a terminal and in a picture.

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "oddplate/core/words.hpp"

namespace oddplate::report {

/// One course of a rehearsed plan.
struct RehearsedCourse {
    std::string title;                                           ///< "Course 1: Triangle"
    std::string liking;                                          ///< what was taken of what people like; "" where nobody votes
    std::vector<std::pair<std::string, std::int64_t>> verdicts;   ///< each verdict in words, with the number of evenings that came to it, 0..times
};

struct ToldRehearsal {
    std::int64_t times{0};       ///< evenings, 1 or more
    std::string head, error;     ///< what was played; how near the shares are
    std::vector<RehearsedCourse> courses;
};

/// The rehearsal as text for a terminal: a row a verdict with its share of 100 evenings and a bar of 40 columns for all of them.
[[nodiscard]] std::string rehearsal_text(const ToldRehearsal& told);

/// The same as one picture (SVG, 160 mm across): a bar a verdict within a frame that is all evenings, its share of 100 and its number of evenings beside it;
/// the sentences stand below. Equal input gives equal bytes.
[[nodiscard]] std::string rehearsal_svg(const ToldRehearsal& told, const core::Words& words);

}   // namespace oddplate::report
