#pragma once
// A line as somebody types it from a slip: the answer, and behind a semicolon what the guest wrote.

#include <string>
#include <string_view>

namespace oddplate::tasting {

struct Typed {
    std::string answer, note;   ///< trimmed
};

/// "417; too dry" is 417 with "too dry". Everything is the answer where there is no semicolon.
[[nodiscard]] Typed typed_line(std::string_view line);

}   // namespace oddplate::tasting
