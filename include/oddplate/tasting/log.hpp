#pragma once
// The log of a tasting: every act is one row with a kind, chained by hashes, never changed and never removed.

#include <cstdint>
#include <string>
#include <vector>

#include "oddplate/core/json.hpp"
#include "oddplate/core/result.hpp"

namespace oddplate::tasting {

struct LogRow {
    std::int64_t seq{0};      ///< from 1, without gaps
    std::string kind;         ///< see `kinds`
    std::string at;           ///< UTC, "2026-11-25T12:30:00Z"
    std::string body;         ///< canonical JSON text; never names a version before close
    std::string hash;         ///< 64 hex digits
};

/// The kinds of act. A name is never reused with another meaning.
namespace kinds {
inline constexpr const char* planned = "planned";           ///< plan
inline constexpr const char* host_committed = "host-committed";   ///< number: the hash of what the host brings to a draw with guests
inline constexpr const char* drawn = "drawn";               ///< fingerprint, how the seed came about, the guests' words
inline constexpr const char* printed = "printed";           ///< which papers
inline constexpr const char* handed = "handed";             ///< ballot, taster
inline constexpr const char* spoiled = "spoiled";           ///< ballot, why
inline constexpr const char* answered = "answered";         ///< from, answers [[ballot, set, text, taster?, note?]], late
inline constexpr const char* corrected = "corrected";       ///< ballot, set, text, why, after_opening
inline constexpr const char* differed = "differed";         ///< from, answers [[ballot, set, text]]: came after another one was kept, which stands
inline constexpr const char* first_stands = "first-stands"; ///< ballot, set, why: the slip was looked at, and what was kept is right
inline constexpr const char* second_pass = "second-pass";   ///< how many compared, how many differed
inline constexpr const char* swapped = "swapped";           ///< ballots, set, why
inline constexpr const char* stopped = "stopped";           ///< spot, why
inline constexpr const char* withdrawn = "withdrawn";       ///< version, why
inline constexpr const char* served_again = "served-again"; ///< version, why: withdrawn by mistake that evening, or there again on a later one
inline constexpr const char* tubs_found = "tubs-found";     ///< row, letter, version, why
inline constexpr const char* revealed = "revealed";         ///< ballot, code, why
inline constexpr const char* opened_early = "opened-early"; ///< why
inline constexpr const char* evening_over = "evening-over"; ///< evening, reconciliation of its ballots
inline constexpr const char* looked = "looked";             ///< evening, may_end: whether a look that the plan named lets the tasting end
inline constexpr const char* closed = "closed";             ///< reconciliation
inline constexpr const char* unsealed = "unsealed";         ///< nothing: after close the words opened the sealed list of codes
inline constexpr const char* follows = "follows";           ///< id of the earlier tasting of the same question
}   // namespace kinds

/// hash = SHA-256 of "previous hash \n id \n seq \n kind \n at \n body" (64 zeros before the first row).
[[nodiscard]] std::string chain_hash(const std::string& previous, const std::string& tasting_id, const LogRow& row);

/// Whether the rows chain from the first to the last; the fault (check_failed) names the first row that does not.
[[nodiscard]] core::Status check_chain(const std::string& tasting_id, const std::vector<LogRow>& rows);

}   // namespace oddplate::tasting
