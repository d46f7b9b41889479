// Do people stick to one of the two? Asked of those who chose twice or more. Test: unit.methods, votes_steady.test.cpp.

#include <algorithm>
#include <utility>
#include <vector>

#include "oddplate/stats/repeats.hpp"
#include "votes.hpp"

namespace oddplate::methods::votes {
namespace {

/// The seeded deals go by how people are numbered: those with the fewest votes for the new one first, so that another numbering changes nothing.
std::vector<stats::TasteTray> trays_of(std::span<const std::vector<Pile>> spots) {
    using Votes = std::vector<std::pair<std::int64_t, std::int64_t>>;   // by spot: for the new one, and how many chose
    std::vector<Votes> people;
    for (std::size_t spot = 0; spot < spots.size(); ++spot)
        for (std::size_t taster = 0; taster < spots[spot].size(); ++taster) {
            if (people.size() <= taster) people.resize(taster + 1, Votes(spots.size()));
            people[taster][spot] = {spots[spot][taster].for_new, spots[spot][taster].chose()};
        }
    std::sort(people.begin(), people.end());
    std::vector<stats::TasteTray> trays;
    for (std::size_t taster = 0; taster < people.size(); ++taster)
        for (std::size_t spot = 0; spot < spots.size(); ++spot)
            for (std::int64_t vote = 0; vote < people[taster][spot].second; ++vote) {
                const double is_new = vote < people[taster][spot].first ? 1 : 0;
                trays.push_back({static_cast<std::int32_t>(taster), static_cast<std::int32_t>(spot), {0, 1}, {1 - is_new, is_new}});
            }
    return trays;
}

/// Exact at one spot where nobody chose more than twice; those who chose once say nothing of it.
std::optional<double> exact_p(std::span<const std::vector<Pile>> spots) {
    if (spots.size() != 1) return std::nullopt;
    std::int64_t people = 0, for_new = 0, changed = 0;
    for (const Pile& pile : spots.front()) {
        if (pile.chose() > 2) return std::nullopt;
        if (pile.chose() < 2) continue;
        ++people;
        for_new += pile.for_new;
        changed += pile.for_new == 1;
    }
    if (people == 0) return std::nullopt;
    return stats::steady_p(people, for_new, changed);
}

}   // namespace

leads::Split own_tastes(std::span<const std::vector<Pile>> spots, const std::string& current, const std::string& fresh) {
    leads::Split split = leads::split_of(trays_of(spots), {current, fresh}, 1, 0, false);
    if (const auto exact = exact_p(spots); exact && split.tastes.p) split.tastes.p = stats::PValue{.p = *exact};
    return split;
}

void say_own_tastes(std::vector<core::Sentence>& words, double alpha, const leads::Split& split, std::string_view verdict) {
    if (!split.tastes.p) {
        if (!split.tastes.repeated && verdict == k_neither) words.push_back({"votes.own.untold", {}});
        return;
    }
    const bool shown = split.is_shown(alpha);
    words.push_back({shown ? "leads.split.shown" : "leads.split.quiet", {{"n", split.tastes.tasters}, {"p", split.tastes.p->p}}});
    words.push_back({"votes.own.habit", {{"a", split.a}, {"b", split.b}, {"k", split.habit.always_a}, {"m", split.habit.always_b}, {"j", split.habit.mixed}}});
    if (shown) words.push_back({"votes.own.next", {}});
}

}   // namespace oddplate::methods::votes
