#pragma once
// The nine plain questions of `new`.

#include <string>

#include "verb.hpp"

namespace oddplate::cli {

/// Asks on the terminal, writes the plan file and answers its path.
[[nodiscard]] core::Result<std::string> ask_for_plan(Call& call);

}   // namespace oddplate::cli
