// The verdict for whoever works in a spreadsheet: what was said, every number as a number, every answer.

#include "further.hpp"
#include "number_rows.hpp"
#include "spreadsheet.hpp"
#include "verdict_parts.hpp"

namespace oddplate::report {
namespace {

/// A number that was estimated, or why there is none.
std::vector<Cell> value_cells(const methods::Field& field, const core::Words& words) {
    const auto cell = std::visit(
        [](const auto& value) -> Cell {
            using T = std::decay_t<decltype(value)>;
            if constexpr (std::is_same_v<T, std::monostate>) return {};
            else if constexpr (std::is_same_v<T, bool>) return std::string(value ? "yes" : "no");
            else if constexpr (std::is_same_v<T, std::string>) return value;
            else return static_cast<double>(value);
        },
        field.value);
    return {cell, words.has(field.why) ? words.text(field.why) : field.why};
}

/// Where the numbers of one findings stand: "course 1, edge".
struct Place {
    double course;
    std::string spot, method;
};

void add_row(Sheet& sheet, const Place& place, const std::string& label, const methods::Field& field, const core::Words& words) {
    std::vector<Cell> row{place.course, place.spot, label};
    for (Cell& cell : value_cells(field, words)) row.push_back(std::move(cell));
    sheet.rows.push_back(std::move(row));
}

void add_findings(Sheet& sheet, const Place& place, const methods::Findings& findings, const core::Words& words) {
    for (const methods::Field& field : findings.fields) add_row(sheet, place, label_of(field.key, words, place.method), field, words);
    for (const methods::List& list : findings.lists)
        for (std::size_t i = 0; i < list.rows.size(); ++i)
            for (const methods::Field& field : list.rows[i])
                add_row(sheet, place, label_of(list.key, words) + " " + std::to_string(i + 1) + ": " + label_of(field.key, words), field, words);
}

std::vector<Cell> heading(const core::Words& words, std::initializer_list<const char*> columns) {
    std::vector<Cell> row;
    for (const char* column : columns) row.push_back(words.text("sheet.column." + std::string(column)));
    return row;
}

Sheet said_sheet(const VerdictFiles& files, const core::Words& words) {
    const VerdictPage& page = files.page;
    Sheet sheet{.name = words.text("sheet.said"), .widths = {100}, .rows = {}, .is_table = false};
    const auto say = [&](std::string text) { sheet.rows.push_back({Cell(std::move(text))}); };
    say(page.state.plan.title + (files.date.empty() ? "" : " · " + files.date));
    if (page.made_up) say(words.text("verdict_page.made_up"));
    for (const auto& round : page.outcome.at_close.rounds) {
        say("");
        say(words.text("verdict_page.course", {{"n", std::int64_t{round.round + 1}}, {"title", words.text(round.method + ".title")}}));
        for (const auto& sentence : first_words(round.findings)) say(words.text(sentence));
        for (const auto& check : checks_to_say(round.findings)) say((check.alarm ? "! " : "") + words.text(check.words));
        for (const auto& sentence : further_words(round.findings)) say(words.text(sentence));
    }
    say("");
    for (std::string& sentence : behind_it(page, words)) say(std::move(sentence));
    return sheet;
}

Sheet numbers_sheet(const VerdictFiles& files, const core::Words& words) {
    Sheet sheet{.name = words.text("sheet.numbers"), .widths = {8, 24, 48, 16, 60}, .rows = {heading(words, {"course", "spot", "number", "value", "why"})}};
    for (const auto& round : files.page.outcome.at_close.rounds) {
        const double course = round.round + 1;
        if (round.findings.spots.size() > 1)
            for (const auto& spot : round.findings.spots) add_findings(sheet, {course, spot.spot, round.method}, spot.findings, words);
        const bool one = round.findings.spots.size() == 1;
        const std::string all = one ? round.findings.spots.front().spot : words.text("results.pooled");
        add_findings(sheet, {course, all, round.method}, round.findings.pooled, words);
    }
    return sheet;
}

Sheet answers_sheet(const VerdictFiles& files, const core::Words& words) {
    const std::vector<std::string> columns = answer_columns();
    Sheet sheet{.name = words.text("sheet.answers"), .widths = {10, 8, 8, 22, 24, 8, 24, 12, 8, 8, 8, 40}, .rows = {{columns.begin(), columns.end()}}};
    for (const judge::AnswerRow& row : files.answers) {
        std::vector<std::string> texts = answer_cells(files, row);
        std::vector<Cell> cells(texts.begin(), texts.end());
        for (std::size_t i = 0; i < columns.size(); ++i) {
            if (columns[i] == "tray") cells[i] = static_cast<double>(row.set + 1);
            else if (columns[i] == "course") cells[i] = static_cast<double>(row.round + 1);
            else if (columns[i] == "taster") cells[i] = static_cast<double>(row.taster + 1);
            else if (columns[i] == "trait") cells[i] = static_cast<double>(row.trait);
            else if (columns[i] == "blank") cells[i] = row.is_blank ? 1.0 : 0.0;
            else if (columns[i] == "score") cells[i] = row.score ? Cell(*row.score) : Cell();
        }
        sheet.rows.push_back(std::move(cells));
    }
    return sheet;
}

}   // namespace

core::Result<std::string> verdict_spreadsheet(const VerdictFiles& files, const core::Words& words) {
    return spreadsheet({said_sheet(files, words), numbers_sheet(files, words), answers_sheet(files, words)});
}

}   // namespace oddplate::report
