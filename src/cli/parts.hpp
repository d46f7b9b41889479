#pragma once
// What several verbs share: opening a tasting, reading flags as values.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "oddplate/tasting/keeper.hpp"
#include "verb.hpp"

namespace oddplate::cli {

/// A book with its keeper, for as long as a verb runs.
struct Desk {
    std::unique_ptr<tasting::Book> book;
    std::unique_ptr<tasting::Keeper> keeper;
};
[[nodiscard]] core::Result<Desk> open_desk(Call& call, bool create = false);

/// The method's settings as typed, read against their kinds and ranges; the required ones must be there.
[[nodiscard]] core::Result<methods::Settings> read_settings(const Call& call, std::span<const methods::Setting> settings);

/// A flag's number, or its fault.
[[nodiscard]] core::Result<double> number_flag(const Call& call, std::string_view flag);

/// The same where the flag may be left out, within lo..hi.
[[nodiscard]] core::Result<double> number_flag_or(const Call& call, std::string_view flag, double otherwise, double lo, double hi);

/// A whole one.
[[nodiscard]] core::Result<std::int64_t> whole_flag_or(const Call& call, std::string_view flag, std::int64_t otherwise, std::int64_t lo, std::int64_t hi);

/// The verb has nothing to say for this method; names the one that has.
[[nodiscard]] core::Error not_for(const methods::Method& method, std::string_view verb);

[[nodiscard]] std::string counted(long long n, const std::string& one, const std::string& many);

// The verbs, grouped as the help lists them.
[[nodiscard]] std::vector<Verb> question_verbs();
[[nodiscard]] std::vector<Verb> plan_verbs();
[[nodiscard]] std::vector<Verb> room_verbs();
[[nodiscard]] std::vector<Verb> mending_verbs();
[[nodiscard]] std::vector<Verb> verdict_verbs();
[[nodiscard]] std::vector<Verb> report_verbs();
[[nodiscard]] std::vector<Verb> book_verbs();
[[nodiscard]] std::vector<Verb> host_verbs();
[[nodiscard]] std::vector<Verb> ahead_verbs();
[[nodiscard]] std::vector<Verb> rehearsal_verbs();

}   // namespace oddplate::cli
