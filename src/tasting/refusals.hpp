#pragma once
// Sentences for things asked before or after their time, and the small checks that many acts share.

#include <string>

#include "oddplate/core/result.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

[[nodiscard]] core::Error not_drawn_yet(const State& state);
/// The list of codes is in another book.
[[nodiscard]] core::Error key_elsewhere(const State& state);
/// Nothing where entry is open, else why it is not.
[[nodiscard]] core::Status must_be_open(const State& state);
/// 0-based ballot, or a fault that says which there are.
/// The ballot's evening is not over.
[[nodiscard]] core::Status must_be_on(const State& state, int ballot);

[[nodiscard]] core::Result<int> ballot_named(const State& state, const std::string& name);
/// 0-based set of that ballot; "0" gives -1 (the last box) where `last_box` allows it.
[[nodiscard]] core::Result<int> set_named(const State& state, int ballot, const std::string& text, bool last_box);
/// A reason that can stand in the report: not empty, at most 400 bytes, no control characters. `flag` is where it was given.
[[nodiscard]] core::Status check_reason(const std::string& why, const char* flag = "--why");

}   // namespace oddplate::tasting
