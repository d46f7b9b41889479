#pragma once
// Which of our languages a reader asks for.

#include <string_view>

namespace oddplate::core {

/// The code of the built-in language (Words::languages) that an HTTP Accept-Language header likes best: "de-AT,de;q=0.9,en;q=0.8"
/// gives "de". A region or script after the dash is passed over; a higher weight q (0 to 1, 1 where none stands) comes first, of equal
/// ones the earlier; q=0 rules a language out, and a range that cannot be read is passed over. "en" where nothing fits, as for an
/// empty header or "*".
/// Source: RFC 9110, 12.4.2 (weights) and 12.5.4 (Accept-Language); RFC 4647, 3.4 (a range is shortened till it fits).
[[nodiscard]] std::string_view language_for(std::string_view accept_language);

}   // namespace oddplate::core
