#pragma once
// Verdicts about several recipes at once: who leads, and who can't be told from the first.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oddplate/core/sentence.hpp"

namespace oddplate::methods::leads {

inline constexpr std::string_view k_one = "one-leads", k_some = "some-lead", k_none = "no-clear-order";
inline constexpr std::string_view k_verdicts[] = {k_one, k_some, k_none};

[[nodiscard]] inline bool claims_difference(std::string_view verdict) { return verdict != k_none; }

/// What the leading group of `compared` samples makes of a test of all of them. One or some lead only where the test holds and somebody is shown to be behind.
[[nodiscard]] std::string_view verdict_of(bool differ, std::size_t leading, std::size_t compared);

/// "A", "A and B", "A, B and C".
[[nodiscard]] core::Argument names_of(std::span<const std::string> names);

}   // namespace oddplate::methods::leads
