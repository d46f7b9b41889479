#pragma once
// Whether log, ballots and list of codes speak of the same room. Each can be read by itself and still name a ballot, a set or a
// version that the others don't have: in a file from elsewhere, or in a book that somebody changed.

#include <string>

#include "oddplate/core/result.hpp"
#include "oddplate/tasting/drawn_json.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::tasting {

/// Gives a drawn state its ballots, the text of Paper::room. Fault (check_failed): the text cannot be read, the ballots are not
/// the plan's, or the log names a set that they don't have.
[[nodiscard]] core::Status seat(State& state, const std::string& room_text);

/// The list of codes of a seated state, from the text of Paper::key. Fault (check_failed): it cannot be read, or is not of these
/// ballots, this plan or the log's tubs.
[[nodiscard]] core::Result<KeyPaper> key_of(const State& state, const std::string& key_text);

}   // namespace oddplate::tasting
