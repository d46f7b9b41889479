#pragma once
// The first step of reading a table: from the bytes of a file to UTF-8 text without a mark; private to core.

#include <string>
#include <string_view>

#include "oddplate/core/result.hpp"

namespace oddplate::core {

/// A fault in a table, told with its place.
[[nodiscard]] Error bad_csv(std::string where, std::string got, std::string expected, std::string hint = {});

/// UTF-8 (with or without mark) and UTF-16 of either order (by mark, or by NULs at every other place of the first kilobyte).
/// Refused with line and column: invalid text and NUL.
[[nodiscard]] Result<std::string> csv_text(std::string_view bytes);

}   // namespace oddplate::core
