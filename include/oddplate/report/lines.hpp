#pragma once
// Text in the room that there is: lines of at most 80 columns for a terminal, names cut to fit.

#include <string>
#include <string_view>

namespace oddplate::report {

inline constexpr std::size_t k_columns = 80;

/// Columns that a UTF-8 text takes, one a character.
[[nodiscard]] std::size_t columns_of(std::string_view text);

/// The text, or where it takes more than `most` columns its beginning and an ellipsis.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t most);

/// Lines of at most 80 columns, each ended; words are never cut, so a longer word has a line of its own. The first line begins
/// with `first`, the others with `rest`.
[[nodiscard]] std::string lines_of(std::string_view text, std::string_view first = "", std::string_view rest = "");

}   // namespace oddplate::report
