#pragma once
// The verdict as files to pin up, to send on and to defend.

#include <string>
#include <vector>

#include "oddplate/judge/answers.hpp"
#include "oddplate/report/verdict_page.hpp"

namespace oddplate::report {

/// A round's verdict: its few words, and what they rest on.
struct Headline {
    std::string head, rest;
};
[[nodiscard]] Headline headline_of(const judge::JudgedRound& round, const core::Words& words);

struct VerdictFiles {
    VerdictPage page;
    const std::vector<judge::AnswerRow>& answers;
    std::string date;          ///< as it is to be printed; "" where none is
    bool with_recipe{false};   ///< labels and salt of the versions are told; else only their ids
};

struct ReportFile {
    std::string name;          ///< "verdict.html", "figures/course-1-marks.svg"
    std::string bytes;
};

/// verdict.pdf, verdict.html (one file, nothing from outside, no script), verdict.png (1080 x 1350), verdict.txt (three lines), answers.csv, verdict.xlsx
/// (what is said, the numbers, the answers), rerun.R and the figures. Equal input gives equal bytes. Faults: no usable font, no spreadsheet (io).
[[nodiscard]] core::Result<std::vector<ReportFile>> verdict_files(const VerdictFiles& files, const core::Words& words);

/// The verdict as the inner part of a page: sentence, pictures, checks, what stands behind it, numbers.
[[nodiscard]] std::string verdict_body(const VerdictFiles& files, const core::Words& words);

}   // namespace oddplate::report
