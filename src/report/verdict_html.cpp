// The verdict as one page without script and without anything from outside. What is said stands in the order in which a reader asks: what was found, the
// picture, was the evening sound, what stands behind it; the numbers one step behind, all of it for whoever wants to compute again at the end.

#include <fmt/format.h>

#include <cstdlib>

#include "acts.hpp"
#include "figures.hpp"
#include "further.hpp"
#include "list_tables.hpp"
#include "narrow.hpp"
#include "number_rows.hpp"
#include "oddplate/core/bytes.hpp"
#include "oddplate/report/conduct.hpp"
#include "oddplate/report/verdict_files.hpp"
#include "oddplate/tasting/names.hpp"
#include "oddplate/tasting/plan_json.hpp"
#include "verdict_parts.hpp"

namespace oddplate::report {
namespace {

constexpr std::size_t k_most_rows = 2000;   // of answers on the page; the file answers.csv has all

constexpr const char* k_style = R"(:root{color-scheme:light dark;--paper:#fffdf6;--ink:#171512;--soft:#5d574d;--rule:#171512}
@media (prefers-color-scheme:dark){:root{--paper:#191714;--ink:#f3eee2;--soft:#b9b1a1;--rule:#f3eee2}}
*{box-sizing:border-box}body{margin:0;background:var(--paper);color:var(--ink);font:1.05rem/1.5 system-ui,sans-serif}
main{max-width:46rem;margin:0 auto;padding:1.2rem 1rem 4rem}h1{font-size:clamp(2rem,7vw,3.2rem);line-height:1.05;margin:.2em 0 .3em;letter-spacing:-.01em}
h2{font-size:1.25rem;margin:2.2rem 0 .4rem;border-top:.25rem solid var(--rule);padding-top:.5rem}h3,h2.sub{font-size:1.05rem;margin:1.4rem 0 .3rem;border:0;padding:0}
.lead{font-size:1.2rem}.soft,figcaption,footer{color:var(--soft);font-size:.95rem}figure{margin:1.2rem 0}svg{width:100%;height:auto;display:block}.narrow{display:none;max-width:26rem}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums;font-size:.95rem}th,td{text-align:left;padding:.25rem .6rem .25rem 0;border-bottom:1px solid color-mix(in srgb,var(--ink) 25%,transparent);vertical-align:top;overflow-wrap:anywhere}
details{margin:.4rem 0}th details{margin:0;font-weight:400}th summary{padding:0;text-decoration:underline dotted;text-underline-offset:.2em}summary{cursor:pointer;padding:.4rem 0;font-weight:600}ul{padding-left:1.2rem}li.alarm{font-weight:700}pre{white-space:pre-wrap;overflow-wrap:anywhere;font-size:.85rem}
.numbers{overflow-x:auto}.numbers td,.numbers th{overflow-wrap:normal;white-space:nowrap}
.stub{border:.2rem solid var(--rule);padding:.1rem .5rem;display:inline-block;font-weight:700}
@media screen and (max-width:40rem){.roomy{display:none}.narrow{display:block}}
@media print{body{background:#fff;color:#000}details{display:block}details>*{display:block}})";

std::string paragraph(const std::string& text, const char* kind = "") {
    return std::string("<p") + (*kind ? std::string(" class=\"") + kind + "\"" : "") + ">" + escaped(text) + "</p>\n";
}

std::string table_of(const std::vector<std::vector<std::string>>& rows) {
    std::string out = "<table>\n";
    for (std::size_t i = 0; i < rows.size(); ++i) {
        out += "<tr>";
        for (const std::string& cell : rows[i]) out += i == 0 ? "<th scope=\"col\">" + escaped(cell) + "</th>" : "<td>" + escaped(cell) + "</td>";
        out += "</tr>\n";
    }
    return out + "</table>\n";
}

std::string numbers_table(const std::vector<NumberRow>& rows) {
    std::string out = "<table>\n";
    for (const NumberRow& row : rows) {
        const std::string name = row.explained.empty() ? escaped(row.label) : "<details><summary>" + escaped(row.label) + "</summary>" + escaped(row.explained) + "</details>";
        out += "<tr><th scope=\"row\">" + name + "</th><td>" + escaped(row.value) + "</td></tr>\n";
    }
    return out + "</table>\n";
}

/// The fields, then every list as a table that scrolls by itself where the screen is narrow.
std::string findings_tables(const methods::Findings& findings, const core::Words& words) {
    std::string out = numbers_table(field_rows(findings, words));
    for (const ListTable& table : list_tables(findings, words)) {
        out += table.explained.empty() ? paragraph(table.label, "soft") : "<details><summary>" + escaped(table.label) + "</summary>" + escaped(table.explained) + "</details>\n";
        std::vector<std::vector<std::string>> rows(table.rows());
        for (const auto& column : table.columns)
            for (std::size_t row = 0; row < rows.size(); ++row) rows[row].push_back(column[row]);
        out += "<div class=\"numbers\" tabindex=\"0\">" + table_of(rows) + "</div>\n";
        if (table.left_out > 0) out += paragraph(words.text("results.list_more", {{"n", static_cast<std::int64_t>(table.left_out)}}), "soft");
    }
    return out;
}

/// A heading inside a round: the first round's stand right below the page's title, the others' below their own.
std::string sub_heading(int round, const std::string& text) {
    return round == 0 ? "<h2 class=\"sub\">" + escaped(text) + "</h2>\n" : "<h3>" + escaped(text) + "</h3>\n";
}

std::string figure_html(const Figure& figure, const core::Words& words) {
    const auto drawn = [&](const Picture& picture, const char* kind) { return std::string("<div class=\"picture") + kind + "\" tabindex=\"0\">" + svg_of(picture, figure.title, figure.caption) + "</div>"; };
    const auto narrow = narrowed(figure.picture);
    return "<figure>\n" + sub_heading(figure.round, figure.title) + drawn(figure.picture, narrow ? " roomy" : "") + (narrow ? drawn(*narrow, " narrow") : "") + "<figcaption>" + escaped(figure.caption) +
           "</figcaption>\n</figure>\n<details><summary>" + escaped(words.text("report.as_table")) + "</summary>\n" + table_of(figure.table) + "</details>\n";
}

std::string checks_html(const judge::JudgedRound& round, const core::Words& words) {
    const std::vector<methods::Check> checks = checks_to_say(round.findings);
    if (checks.empty()) return {};
    std::string out = sub_heading(round.round, words.text("verdict_page.checks")) + "<ul>\n";
    for (const auto& check : checks) out += std::string(check.alarm ? "<li class=\"alarm\">! " : "<li>") + escaped(words.text(check.words)) + "</li>\n";
    return out + "</ul>\n";
}

/// What the numbers of the first sentences are, by what was counted.
const char* lead_explained(const judge::JudgedRound& round) {
    switch (round.scale) {
        case methods::Scale::right: return "explain.lead.right";
        case methods::Scale::votes: return "explain.lead.votes";
        case methods::Scale::values: return "explain.lead.values";
        case methods::Scale::each: return "explain.lead.each";
    }
    std::abort();
}

std::string round_html(const judge::JudgedRound& round, const std::vector<Figure>& figures, const core::Words& words) {
    std::string out = "<section>\n";
    const std::string asked = words.text("verdict_page.course", {{"n", std::int64_t{round.round + 1}}, {"title", words.text(round.method + ".title")}});
    out += round.round == 0 ? paragraph(asked, "soft") : "<h2>" + escaped(asked) + "</h2>\n";
    const Headline headline = headline_of(round, words);
    out += round.round == 0 ? "<h1>" + escaped(headline.head) + "</h1>\n" : paragraph(headline.head, "lead");
    if (!headline.rest.empty()) out += paragraph(headline.rest, "lead");
    out += "<details class=\"why\"><summary>" + escaped(words.text("report.lead_explained")) + "</summary>\n" + paragraph(words.text(lead_explained(round))) + "</details>\n";
    bool first = true;
    std::string further;
    for (const Figure& figure : figures)
        if (figure.round == round.round) (first ? out : further) += figure_html(figure, words), first = false;
    out += checks_html(round, words);
    out += sub_heading(round.round, words.text("report.further"));
    for (const core::Sentence& sentence : further_words(round.findings)) out += paragraph(words.text(sentence));
    return out + further + "</section>\n";
}

std::string numbers_html(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words) {
    std::string out = paragraph(words.text("report.explained"), "soft");
    const bool several = round.findings.spots.size() > 1;
    if (several)
        for (const auto& spot : round.findings.spots) out += "<h3>" + escaped(spot.spot) + "</h3>\n" + findings_tables(spot.findings, words);
    if (several) out += "<h3>" + escaped(words.text("results.pooled")) + "</h3>\n";
    out += findings_tables(round.findings.pooled, words);
    if (!round.pieces.empty()) out += "<h3>" + escaped(words.text(piece_caption(round))) + "</h3>\n" + numbers_table(piece_rows(round, plan, words));
    return out;
}

std::string folded(const std::string& summary, const std::string& inside) {
    return "<details><summary>" + escaped(summary) + "</summary>\n" + inside + "</details>\n";
}

/// Who drew and how, what was kept shut and what was opened, and every act with its time.
std::string acts_html(const VerdictPage& page, const core::Words& words) {
    std::string out = "<ul>\n";
    for (const std::string& said : concealment_of(page, words)) out += "<li>" + escaped(said) + "</li>\n";
    out += "</ul>\n";
    std::vector<std::vector<std::string>> rows{{words.text("report.act.at"), words.text("report.act.what")}};
    for (const Act& act : acts_of(page, words)) rows.push_back({act.at, act.says});
    return out + table_of(rows) + paragraph(versions_of(page, words));
}

std::string appendix(const VerdictFiles& files, const core::Words& words) {
    const tasting::State& state = files.page.state;
    std::string out = "<h2>" + escaped(words.text("report.again")) + "</h2>\n";
    out += paragraph(words.text("report.again.how", {{"seal", core::printed_seal(state.draw().fingerprint)}, {"id", state.id}}));
    if (!files.page.rows.empty()) out += folded(words.text("report.acts"), acts_html(files.page, words));
    out += folded(words.text("report.plan"), "<pre>" + escaped(core::to_pretty_text(told_plan(files))) + "</pre>\n");
    std::vector<std::vector<std::string>> rows{answer_columns()};
    for (std::size_t i = 0; i < files.answers.size() && i < k_most_rows; ++i) rows.push_back(answer_cells(files, files.answers[i]));
    out += folded(words.text("report.answers", {{"n", static_cast<std::int64_t>(files.answers.size())}}), table_of(rows));
    return out + folded(words.text("report.r"), "<pre>" + escaped(rerun_script(files)) + "</pre>\n");
}

}   // namespace

std::string verdict_body(const VerdictFiles& files, const core::Words& words) {
    const VerdictPage& page = files.page;
    const judge::Judged& judged = page.outcome.at_close;
    std::string out = "<p><span class=\"stub\">" + escaped(tasting::two_words(page.state.id)) + "</span> <span class=\"soft\">" +
                      escaped(page.state.plan.title + (files.date.empty() ? "" : " · " + files.date)) + "</span></p>\n";
    if (page.made_up) out += paragraph(words.text("verdict_page.made_up"), "lead");
    const std::vector<Figure> figures = figures_of(judged, page.state.plan, words);
    for (const auto& round : judged.rounds) out += round_html(round, figures, words);
    out += "<h2>" + escaped(words.text("verdict_page.rest")) + "</h2>\n<ul>\n";
    for (const std::string& said : behind_it(page, words)) out += "<li>" + escaped(said) + "</li>\n";
    out += "</ul>\n<h2>" + escaped(words.text("verdict_page.numbers")) + "</h2>\n";
    for (const auto& round : judged.rounds)
        out += folded(words.text("verdict_page.course", {{"n", std::int64_t{round.round + 1}}, {"title", words.text(round.method + ".title")}}),
                      numbers_html(round, page.state.plan, words));
    return out + appendix(files, words);
}

std::string verdict_html(const VerdictFiles& files, const core::Words& words) {
    const tasting::State& state = files.page.state;
    return "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
           escaped(state.plan.title) + "</title>\n<style>\n" + k_style + "\n</style>\n</head>\n<body>\n<main>\n" + verdict_body(files, words) +
           "<footer>" + escaped(words.text("verdict_page.foot", {{"name", tasting::two_words(state.id)}, {"seal", core::printed_seal(state.draw().fingerprint)}})) +
           "</footer>\n</main>\n</body>\n</html>\n";
}

}   // namespace oddplate::report
