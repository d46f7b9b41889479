#pragma once
// A tasting's id and the two words that people say instead of it.

#include <string>
#include <string_view>

#include "oddplate/core/bytes.hpp"

namespace oddplate::tasting {

/// Eight letters of "bcdfghjkmnpqrstvwxyz" (no vowels: no words; no l: no 1).
[[nodiscard]] std::string new_id(const core::Bytes32& random);
[[nodiscard]] bool is_id(std::string_view text);

/// Two words from the id, always the same: "BLUE GATE". 64 x 64 names; nothing edible, nothing that praises or blames.
[[nodiscard]] std::string two_words(std::string_view id);

}   // namespace oddplate::tasting
