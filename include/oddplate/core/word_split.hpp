#pragma once
// What people wrote, word by word.

#include <string>
#include <string_view>
#include <vector>

namespace oddplate::core {

/// The runs of letters of a UTF-8 text (marks on letters with them), each in lower case and composed form (Unicode 15: categories L and M; NFC; simple lower
/// case), in the order written. Everything else parts words. Bytes that are no letters of UTF-8 part them too.
[[nodiscard]] std::vector<std::string> words_in(std::string_view text);

}   // namespace oddplate::core
