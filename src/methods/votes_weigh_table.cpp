// A table of votes that was not drawn here, several a taster: tasters' net votes are what is tested.

#include <array>
#include <map>

#include "votes.hpp"
#include "votes_ladder.hpp"
#include "votes_many.hpp"

namespace oddplate::methods::votes {
namespace {

constexpr std::array<Column, 5> k_columns{{{"taster"}, {"for"}, {"first", false}, {"second", false}, {"level", false, "how much of it was in the new one, a number: tells from where on people rather have the usual one"}}};

}   // namespace

constinit const std::span<const Column> k_weigh_columns{k_columns};

core::Result<Findings> weigh_table(const Method& method, const PlainTable& plain, const Settings& settings) {
    if (holds_pairs(plain)) return weigh_pairs(method, plain, settings);
    if (holds_levels(plain)) return weigh_ladder(method, plain, settings);
    const auto taster_at = static_cast<std::size_t>(plain.column("taster"));
    const auto for_at = static_cast<std::size_t>(plain.column("for"));
    std::map<std::string, Pile> piles;
    core::Faults faults;
    Ask ask{.method = method.id, .alpha = number(settings, "alpha").value_or(0.05), .not_less = number(settings, "not_less")};
    ask.confidence = number(settings, "confidence").value_or(1 - ask.alpha);
    for (const PlainTable::Row& row : plain.rows) {
        const std::string place = "line " + std::to_string(row.line);
        const std::string& vote = row.cells[for_at];
        if (vote != "new" && vote != "current" && vote != "none")
            faults.push_back(core::found(place, "a vote for \"" + vote + "\"", "new, current or none"));
        if (row.cells[taster_at].empty()) faults.push_back(core::found(place, "no taster", "a name or a number"));
        piles[row.cells[taster_at]] += Pile{vote == "new", vote == "current", vote == "none"};
        ask.may_abstain = ask.may_abstain || vote == "none";
    }
    if (faults.empty() && piles.empty()) faults.push_back(core::found({}, "a header alone", "one vote a line"));
    if (!faults.empty()) return faults;
    std::vector<Pile> tasters;
    for (const auto& [name, pile] : piles) tasters.push_back(pile);
    Findings findings = weigh_by_tasters(tasters, ask);
    const leads::Split tastes = own_tastes(std::span(&tasters, 1), "current", "new");
    leads::add_split(findings, tastes);
    say_own_tastes(findings.words, ask.alpha, tastes, findings.verdict);
    return findings;
}

}   // namespace oddplate::methods::votes
