#pragma once
// The lists of findings as small tables for a terminal.

#include <string>

#include "oddplate/core/words.hpp"
#include "oddplate/methods/findings.hpp"

namespace oddplate::report {

/// Each list under its name: a header, then a line an entry; numbers to the right. Where a line would be too long the columns go on in a table below,
/// after the first one. At most 40 entries a list, then how many more there are.
[[nodiscard]] std::string lists_text(const methods::Findings& findings, const core::Words& words, const std::string& indent);

}   // namespace oddplate::report
