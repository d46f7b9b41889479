// The same facts for a terminal: sentences first, the numbers one step behind.

#include <algorithm>

#include "further.hpp"
#include "list_text.hpp"
#include "oddplate/report/lines.hpp"
#include "number_rows.hpp"
#include "oddplate/report/conduct.hpp"
#include "oddplate/report/results.hpp"
#include "oddplate/tasting/names.hpp"

namespace oddplate::report {
namespace {

std::string table(const std::vector<NumberRow>& rows, const std::string& indent) {
    std::size_t width = 0;
    for (const auto& row : rows) width = std::max(width, columns_of(row.label));
    std::string out;
    for (const auto& row : rows) out += indent + row.label + std::string(width + 2 - columns_of(row.label), ' ') + row.value + "\n";
    return out;
}

std::string numbers_text(const methods::Findings& findings, const core::Words& words, const std::string& indent) {
    return table(field_rows(findings, words), indent) + lists_text(findings, words, indent);
}

std::string sentences_text(std::span<const core::Sentence> sentences, const core::Words& words, const std::string& indent) {
    std::string out;
    for (const auto& sentence : sentences) out += lines_of(words.text(sentence), indent, indent);
    return out;
}

std::string checks_text(const char* heading, const std::vector<methods::Check>& checks, const core::Words& words) {
    std::string out = "  " + words.text(heading) + "\n";
    for (const auto& check : checks) out += lines_of(words.text(check.words), check.alarm ? "  ! " : "  - ", "    ");
    return out;
}

std::string round_numbers(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words) {
    const methods::RoundFindings& found = round.findings;
    std::string out;
    const bool several = found.spots.size() > 1;
    if (several)
        for (const auto& spot : found.spots) out += "  " + (spot.spot.empty() ? words.text("results.one_spot") : spot.spot) + "\n" + numbers_text(spot.findings, words, "    ");
    out += "  " + words.text(several ? "results.pooled" : "results.numbers") + "\n" + numbers_text(found.pooled, words, "    ");
    if (!round.pieces.empty()) out += lines_of(words.text(piece_caption(round)), "  ", "  ") + table(piece_rows(round, plan, words), "    ");
    return out;
}

std::string round_text(const judge::JudgedRound& round, const methods::Plan& plan, const core::Words& words, Depth depth) {
    const methods::RoundFindings& found = round.findings;
    std::string out = words.text("results.course", {{"n", std::int64_t{round.round + 1}}, {"method", words.text(round.method + ".title")}}) + "\n\n";
    out += sentences_text(first_words(found), words, "  ");
    if (round.tally.counted + round.tally.undecided == 0) return out;   // nothing came, so there are no numbers to look at
    out += "\n";
    std::vector<methods::Check> alarms = checks_to_say(found);
    const auto first_quiet = std::stable_partition(alarms.begin(), alarms.end(), [](const methods::Check& check) { return check.alarm; });
    const std::vector<methods::Check> quiet(first_quiet, alarms.end());
    alarms.erase(first_quiet, alarms.end());
    if (!alarms.empty()) out += checks_text("results.checks", alarms, words) + "\n";
    else if (!quiet.empty()) out += lines_of(words.text(depth == Depth::words ? "results.checks.quiet_all" : "results.checks.none"), "  ", "  ") + "\n";
    const std::vector<core::Sentence> further = further_words(found);
    if (!further.empty()) out += sentences_text(further, words, "  ") + "\n";
    if (depth == Depth::numbers) out += round_numbers(round, plan, words);
    for (const auto& variant : round.variants) {
        const std::map<std::string, core::Argument> args{{"n", std::int64_t{variant.answers}}, {"verdict", words.text("verdict." + variant.verdict)}};
        out += lines_of(words.text("results.variant." + variant.id, args), "  ", "  ");
    }
    if (!quiet.empty() && depth == Depth::numbers) out += "\n" + checks_text("results.checks.quiet", quiet, words);   // a hurried reader needs to know only that they are
    return out;
}

std::string judged_text(const judge::Judged& judged, const methods::Plan& plan, const core::Words& words, Depth depth) {
    std::string out;
    for (const auto& round : judged.rounds) out += round_text(round, plan, words, depth) + "\n";
    return out;
}

}   // namespace

std::string findings_text(const methods::Findings& findings, const core::Words& words) {
    std::string out = sentences_text(findings.words, words, "");
    if (!out.empty()) out += "\n";
    return out + numbers_text(findings, words, "  ");
}

std::string outcome_text(const tasting::State& state, const tasting::Outcome& outcome, const std::vector<tasting::Earlier>& earlier,
                         const core::Words& words, Depth depth) {
    std::string out = tasting::two_words(state.id) + " - " + state.plan.title + "\n\n" + judged_text(outcome.at_close, state.plan, words, depth);
    if (outcome.corrected)
        out += "\n" + lines_of(words.text("results.after_corrections", {{"n", std::int64_t{state.corrections_after_opening}}})) + "\n" + judged_text(*outcome.corrected, state.plan, words, depth);
    out += words.text("verdict_page.rest") + "\n";
    for (const auto& sentence : about_the_whole(outcome.at_close)) out += lines_of(words.text(sentence), "  - ", "    ");
    for (const auto& sentence : conduct_of(state, earlier, words)) out += lines_of(words.text(sentence), "  - ", "    ");
    return out;
}

}   // namespace oddplate::report
