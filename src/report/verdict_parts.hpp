#pragma once
// What the files of a verdict share: its first words, its answers as a table, its plan as it may be told.

#include <string>
#include <vector>

#include "oddplate/core/json.hpp"
#include "oddplate/report/verdict_files.hpp"

namespace oddplate::report {

/// How the tasting was run, the verdicts under other choices, the local code: sentences.
[[nodiscard]] std::vector<std::string> behind_it(const VerdictPage& page, const core::Words& words);

/// The plan as frozen; without the recipes unless they are to be told: no labels, no salt.
[[nodiscard]] core::Json told_plan(const VerdictFiles& files);

/// One answer as cells of a table, under these columns.
[[nodiscard]] std::vector<std::string> answer_columns();
[[nodiscard]] std::vector<std::string> answer_cells(const VerdictFiles& files, const judge::AnswerRow& row);

/// A short script in base R that reads answers.csv and computes each round's count, test and interval again.
[[nodiscard]] std::string rerun_script(const VerdictFiles& files);

/// An .xlsx workbook of three sheets: what is said, the numbers, the answers. Faults as spreadsheet().
[[nodiscard]] core::Result<std::string> verdict_spreadsheet(const VerdictFiles& files, const core::Words& words);

[[nodiscard]] std::string verdict_html(const VerdictFiles& files, const core::Words& words);
/// 1080 x 1350 pixels: one sentence, one picture, n, date.
[[nodiscard]] core::Result<std::string> verdict_card(const VerdictFiles& files, const core::Words& words);

}   // namespace oddplate::report
