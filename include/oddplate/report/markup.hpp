#pragma once
// Text inside HTML and SVG.

#include <string>
#include <string_view>

namespace oddplate::report {

/// The text with & < > " ' as entities, so that it is text wherever it stands, in an attribute too.
[[nodiscard]] std::string escaped(std::string_view text);

}   // namespace oddplate::report
