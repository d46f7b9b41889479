#pragma once
// What was done, in the order in which it was done: the log of a tasting told to whoever wants to check it.

#include <string>
#include <vector>

#include "oddplate/core/words.hpp"
#include "oddplate/report/verdict_page.hpp"

namespace oddplate::report {

struct Act {
    std::string at;     ///< "2026-06-14 18:30", or "2026-06-14 18:30 to 20:05" for what went on for a while; UTC
    std::string says;
};

/// Every act of the page's rows. Ballots that were handed out and answers that came in between two other acts are one line. Without nicknames. Empty where
/// the page was made without rows.
[[nodiscard]] std::vector<Act> acts_of(const VerdictPage& page, const core::Words& words);

/// Who knew what: how the draw came about, how the list of codes was kept shut, and what was opened before close and why.
[[nodiscard]] std::vector<std::string> concealment_of(const VerdictPage& page, const core::Words& words);

/// The versions of program, draw and book, in a sentence.
[[nodiscard]] std::string versions_of(const VerdictPage& page, const core::Words& words);

}   // namespace oddplate::report
