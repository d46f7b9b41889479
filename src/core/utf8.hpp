#pragma once
// UTF-8 letter by letter, and places in a text; private to core.

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace oddplate::core {

struct Utf8Letter {
    bool good;            ///< false: the byte here begins no letter
    std::size_t bytes;    ///< 1 to 4; 1 where the letter is bad
    std::uint32_t code;   ///< its code point; 0 where it is bad
};

/// The letter that begins at `at` (inside the text). Overlong forms, surrogates and codes above 10FFFF are bad (Unicode 15, table
/// 3-7).
[[nodiscard]] Utf8Letter utf8_letter(std::string_view text, std::size_t at);

/// Adds a code point (not a surrogate, at most 10FFFF).
void append_utf8(std::string& text, std::uint32_t code);

/// "line 3, column 5" for a byte offset; both count from 1, columns in letters. Lines end at LF, CRLF or CR.
[[nodiscard]] std::string place_at(std::string_view text, std::size_t offset);

}   // namespace oddplate::core
