#pragma once
// A made-up small deli, three evenings, every file that a user would get. The answers come from stated true differences, and say so.

#include "verb.hpp"

namespace oddplate::cli {

[[nodiscard]] core::Result<ExitCode> make_demo(Call& call, const std::string& folder);

}   // namespace oddplate::cli
