#pragma once
// Writing the papers into their folders.

#include "oddplate/report/papers.hpp"
#include "oddplate/tasting/keeper.hpp"
#include "verb.hpp"

namespace oddplate::cli {

/// room/ (ballots, runner, mats), kitchen/ (kitchen, labels; owner only), sealed/ (the slip, only where asked; with a seal, the envelope for its words). The act is in the log.
[[nodiscard]] core::Result<ExitCode> print_papers(Call& call, tasting::Keeper& keeper, const std::string& id, const std::string& folder);

/// --paper: a4 unless it says letter.
[[nodiscard]] core::Result<report::PaperSize> paper_size(const Call& call);

}   // namespace oddplate::cli
