#pragma once
// Findings as rows of a small table, for terminal and page alike: an estimate and its interval are one row.

#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/judge/judge.hpp"
#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

struct NumberRow {
    std::string label;
    std::string value;
};

/// One row a whole piece of meat, and the phrase that says what their numbers are.
[[nodiscard]] std::vector<NumberRow> piece_rows(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words);
[[nodiscard]] std::string piece_caption(const judge::JudgedRound& round);

[[nodiscard]] std::vector<NumberRow> number_rows(const methods::Findings& findings, const core::Words& words);

}   // namespace oddplate::report
