#pragma once
// Findings as rows of a small table, for terminal and page alike: an estimate and its interval are one row.

#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

struct NumberRow {
    std::string label;
    std::string value;
};

[[nodiscard]] std::vector<NumberRow> number_rows(const methods::Findings& findings, const core::Words& words);

}   // namespace oddplate::report
