#pragma once
// The verdict as a PDF to pin up: the sentence, the picture, what it rests on, the numbers one step behind.

#include <string>
#include <vector>

#include "oddplate/core/result.hpp"
#include "oddplate/core/words.hpp"
#include "oddplate/report/papers.hpp"
#include "oddplate/tasting/outcome.hpp"
#include "oddplate/tasting/state.hpp"

namespace oddplate::report {

struct VerdictPage {
    const tasting::State& state;
    const tasting::Outcome& outcome;
    std::vector<tasting::Earlier> earlier{};   ///< tastings of the same question before this one
    std::vector<tasting::LogRow> rows{};       ///< the tasting's log, for the list of what was done; without it there is none
    int book_format{0};        ///< of the book that kept it
    bool made_up{false};       ///< the demo's pages say on their face that nobody tasted anything
    PaperSize size{PaperSize::a4};
};

/// Fault: no usable font (io).
[[nodiscard]] core::Result<std::string> verdict_pdf(const VerdictPage& page, const core::Words& words);

}   // namespace oddplate::report
