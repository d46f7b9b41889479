#pragma once
// Typing in paper slips: ballot number, one code a tray. Every confirmed line is on disk before it is confirmed.

#include "oddplate/tasting/keeper.hpp"
#include "verb.hpp"

namespace oddplate::cli {

/// The first pass. Reads lines from standard input (a terminal or a pipe) until `q` or the end of input.
[[nodiscard]] core::Result<ExitCode> type_answers(Call& call, tasting::Keeper& keeper, const std::string& id, bool late);

/// An independent second pass: what was typed first is never shown; only differences are, until none is left; then the error rate.
[[nodiscard]] core::Result<ExitCode> type_second_pass(Call& call, tasting::Keeper& keeper, const std::string& id);

}   // namespace oddplate::cli
