#pragma once
// How an argument of a sentence is written; private to core. The formats are told in words.hpp.

#include <optional>
#include <string>
#include <string_view>

#include "oddplate/core/sentence.hpp"

namespace oddplate::core {

/// Without format: text as it is, whole numbers with commas, other numbers in the shortest way. Nothing for NaN and infinity.
[[nodiscard]] std::optional<std::string> plain_text(const Argument& argument);

/// With a format ("in100", "of10", "percent", "2"). Nothing where the format is unknown or does not suit the argument.
[[nodiscard]] std::optional<std::string> formatted_text(const Argument& argument, std::string_view format);

}   // namespace oddplate::core
