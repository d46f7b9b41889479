#include "votes_ladder.hpp"

#include <charconv>
#include <cmath>
#include <map>

#include "ladder_told.hpp"
#include "oddplate/core/text.hpp"

namespace oddplate::methods::votes {
namespace {

constexpr double k_most = 1e30;   // of a level: what is made of it stays a number
constexpr std::string_view k_rejected = "rejected", k_borne = "not-rejected";

core::Result<ladders::Votes> read(const PlainTable& plain) {
    ladders::Votes table;
    core::Faults faults;
    std::map<std::string, std::int32_t> numbers;
    for (const PlainTable::Row& row : plain.rows) {
        const auto cell = [&](std::string_view name) { return core::trimmed(row.cells[static_cast<std::size_t>(plain.column(name))]); };
        const std::string place = "line " + std::to_string(row.line), taster = cell("taster"), vote = cell("for"), text = cell("level");
        double level = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), level);
        const bool is_number = error == std::errc{} && end == text.data() + text.size() && std::abs(level) <= k_most;
        if (taster.empty()) faults.push_back(core::found(place, "no taster", "a name or a number"));
        if (!is_number) faults.push_back(core::found(place, "the level \"" + core::quoted(text) + "\"", "a number such as 2.4"));
        if (vote != "new" && vote != "current" && vote != "none") faults.push_back(core::found(place, "a vote for \"" + core::quoted(vote) + "\"", "new, current or none"));
        if (!is_number) continue;
        const std::int32_t who = numbers.try_emplace(taster, static_cast<std::int32_t>(numbers.size())).first->second;
        if (vote == "none") ++table.undecided;
        table.votes.push_back({who, level, vote == "current", vote == "none"});
    }
    table.tasters = numbers.size();
    if (faults.empty() && plain.rows.empty()) faults.push_back(core::found({}, "a header alone", "one vote a line"));
    if (!faults.empty()) return faults;
    return table;
}

}   // namespace

bool holds_levels(const PlainTable& table) { return table.column("level") >= 0; }

core::Result<Findings> weigh_ladder(const Method& method, const PlainTable& plain, const Settings& settings) {
    const auto table = read(plain);
    if (!table) return table.faults();
    const double alpha = number(settings, "alpha").value_or(0.05);
    const ladders::Told told = ladders::told(*table, number(settings, "reject_at").value_or(ladders::k_reject_at), alpha, number(settings, "confidence").value_or(1 - alpha));
    Findings findings;
    findings.verdict = told.rejected() ? k_rejected : k_borne;
    findings.add("method", std::string(method.id));
    ladders::add(findings, told);
    findings.add("tasters", static_cast<std::int64_t>(table->tasters));
    findings.add("answers", static_cast<std::int64_t>(table->votes.size()) - table->undecided);
    findings.add("no_preference", table->undecided);
    findings.words = ladders::words_of(told);
    return findings;
}

}   // namespace oddplate::methods::votes
