#include "verdict_parts.hpp"

#include "figures.hpp"
#include "further.hpp"
#include "oddplate/core/csv.hpp"
#include "oddplate/core/text.hpp"
#include "oddplate/report/conduct.hpp"
#include "oddplate/tasting/plan_json.hpp"

namespace oddplate::report {

Headline headline_of(const judge::JudgedRound& round, const core::Words& words) {
    const std::vector<core::Sentence> said = first_words(round.findings);
    if (said.empty()) return {};
    const std::string text = words.text(said.front());
    const std::size_t stop = text.find(". ");
    Headline headline = stop == std::string::npos ? Headline{text, {}} : Headline{text.substr(0, stop + 1), text.substr(stop + 2)};
    if (said.size() > 1) headline.rest += (headline.rest.empty() ? "" : " ") + words.text(said[1]);   // the headline's own sentences carry on from it
    return headline;
}

std::vector<std::string> behind_it(const VerdictPage& page, const core::Words& words) {
    std::vector<std::string> said;
    for (const auto& sentence : about_the_whole(page.outcome.at_close)) said.push_back(words.text(sentence));
    for (const auto& sentence : conduct_of(page.state, page.earlier, words)) said.push_back(words.text(sentence));
    if (page.outcome.corrected)
        said.push_back(words.text("verdict_page.mended", {{"n", std::int64_t{page.state.corrections_after_opening}},
                                                          {"verdict", words.text("verdict." + page.outcome.corrected->verdict)}}));
    for (const auto& round : page.outcome.at_close.rounds)
        for (const auto& variant : round.variants)
            said.push_back(words.text("results.variant." + variant.id, {{"n", std::int64_t{variant.answers}}, {"verdict", words.text("verdict." + variant.verdict)}}));
    said.push_back(words.text("verdict_page.local_code"));
    return said;
}

core::Json told_plan(const VerdictFiles& files) {
    methods::Plan plan = files.page.state.plan;
    if (!files.with_recipe) {
        for (methods::Version& version : plan.versions) version.label = version.id;
        plan.salt_percent.clear();
    }
    return tasting::plan_to_json(plan);
}

std::vector<std::string> answer_columns() {
    return {"ballot", "tray", "course", "method", "spot", "taster", "answer", "fate", "score", "trait", "blank", "each"};
}

std::vector<std::string> answer_cells(const VerdictFiles& files, const judge::AnswerRow& row) {
    const methods::Round& round = files.page.state.plan.rounds[static_cast<std::size_t>(row.round)];
    return {files.page.state.ballot_name(row.ballot), std::to_string(row.set + 1), std::to_string(row.round + 1), round.method,
            round.spots[static_cast<std::size_t>(row.spot)], std::to_string(row.taster + 1), row.answer, row.fate,
            row.score ? core::shortest(*row.score) : std::string(), std::to_string(row.trait), row.is_blank ? "1" : "0", row.each};
}

core::Result<std::vector<ReportFile>> verdict_files(const VerdictFiles& files, const core::Words& words) {
    auto pdf = verdict_pdf(files.page, words);
    if (!pdf) return pdf.faults();
    auto card = verdict_card(files, words);
    if (!card) return card.faults();
    auto sheets = verdict_spreadsheet(files, words);
    if (!sheets) return sheets.faults();
    std::string csv = core::joined(answer_columns(), ",") + "\n";
    for (const auto& row : files.answers) {
        std::vector<std::string> cells = answer_cells(files, row);
        for (std::string& cell : cells) cell = core::csv_cell(cell);
        csv += core::joined(cells, ",") + "\n";
    }
    const Headline headline = headline_of(files.page.outcome.at_close.rounds.front(), words);
    std::string others;   // what to change first may be a later course's
    for (const auto& round : std::span(files.page.outcome.at_close.rounds).subspan(1)) others += " " + words.text(round.method + ".title") + ": " + headline_of(round, words).head;
    const std::string title = files.page.state.plan.title + (files.date.empty() ? "" : " (" + files.date + ")");
    const std::string made_up = files.page.made_up ? words.text("verdict_page.made_up") : std::string();
    std::vector<ReportFile> made{{"verdict.pdf", std::move(*pdf)},
                                 {"verdict.html", verdict_html(files, words)},
                                 {"verdict.png", std::move(*card)},
                                 {"verdict.txt", title + "\n" + (made_up.empty() ? "" : made_up + " ") + headline.head + "\n" + headline.rest + others + "\n"},
                                 {"answers.csv", std::move(csv)},
                                 {"verdict.xlsx", std::move(*sheets)},
                                 {"rerun.R", rerun_script(files)}};
    for (const Figure& figure : figures_of(files.page.outcome.at_close, files.page.state.plan, words))
        made.push_back({"figures/" + figure.id + ".svg", svg_of(figure.picture, figure.title, figure.caption)});
    return made;
}

}   // namespace oddplate::report
