#pragma once
// A draw that no host can try out: the host first shows the number of a part that is kept back, then the guests give words or
// dice, and only both together are the seed. (Commit and reveal, a common device.)

#include <string>
#include <vector>

#include "oddplate/core/bytes.hpp"
#include "oddplate/core/result.hpp"

namespace oddplate::tasting {

/// What is shown before the guests say anything: SHA-256 of the part's 64 lower-case hexadecimal digits, as 64 such digits.
[[nodiscard]] std::string host_number(const core::Bytes32& host);

/// SHA-256 of "oddplate guests 1\n", the host's part as 64 lower-case hexadecimal digits, "\n", and the guests' lines with "\n"
/// between.
[[nodiscard]] core::Bytes32 guests_seed(const core::Bytes32& host, const std::vector<std::string>& lines);

/// Lines that may stand in the log: 1 to 200 of them, each 1 to 200 bytes of UTF-8 without control characters. The fault (usage)
/// says which is wrong.
[[nodiscard]] core::Status check_guests(const std::vector<std::string>& lines);

}   // namespace oddplate::tasting
