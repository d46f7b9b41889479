#pragma once
// Small questions about text.

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace oddplate::core {

/// The candidate with the smallest edit distance (insert, delete, replace, swap of neighbours), or "" when none is near
/// enough to be meant (more than a third of the longer word's letters, at least 1 allowed).
[[nodiscard]] std::string nearest(std::string_view word, std::span<const std::string> candidates);

/// Whether the bytes are well-formed UTF-8 (no overlong forms, no surrogates); `bad_at` gets the offset of the first fault.
[[nodiscard]] bool is_utf8(std::string_view bytes, std::size_t* bad_at = nullptr);

[[nodiscard]] std::string trimmed(std::string_view text);
[[nodiscard]] std::string lower_ascii(std::string_view text);
[[nodiscard]] std::vector<std::string> split(std::string_view text, char separator);
[[nodiscard]] std::string joined(std::span<const std::string> parts, std::string_view separator);
/// Control characters replaced by a space and the text cut to `most` characters with "..." - for quoting a user's input in a fault.
[[nodiscard]] std::string quoted(std::string_view text, std::size_t most = 40);
/// 1234567 as "1,234,567".
[[nodiscard]] std::string with_commas(long long value);

}   // namespace oddplate::core
