#pragma once
// A line as somebody types it from a slip: the answer, and behind a semicolon what the guest wrote.

#include <string>
#include <string_view>

#include "oddplate/methods/plan.hpp"

namespace oddplate::tasting {

struct Typed {
    std::string answer, note;   ///< trimmed
};

/// "417; too dry" is 417 with "too dry". Everything is the answer where there is no semicolon.
[[nodiscard]] Typed typed_line(std::string_view line);

/// The last box: "yes, heard maple" is yes with "heard maple". Everything is the answer where it doesn't begin with yes or no, or y or n.
[[nodiscard]] Typed typed_box(std::string_view line);

/// The version that is meant by its id or its label, in any case; -1 where none is, or two are.
[[nodiscard]] int version_meant(const methods::Plan& plan, std::string_view typed);

}   // namespace oddplate::tasting
