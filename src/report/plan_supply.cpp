// Meat is what there is least of: what the cook says a spot can give, against what the plan would cut from it.

#include <algorithm>
#include <map>

#include "oddplate/report/plan_words.hpp"
#include "plan_facts.hpp"

namespace oddplate::report {
namespace {

/// By spot, in the order of naming: what its hungrier recipe needs.
std::vector<std::pair<std::string, int>> needs_of(const methods::Plan& plan) {
    std::vector<std::pair<std::string, int>> needs;
    const auto facts = facts_of(plan);
    if (!facts) return needs;
    for (const Bites& line : facts->bites) {
        const auto seen = std::find_if(needs.begin(), needs.end(), [&](const auto& need) { return need.first == line.spot; });
        if (seen == needs.end()) needs.emplace_back(line.spot, line.in_all());
        else seen->second = std::max(seen->second, line.in_all());
    }
    return needs;
}

methods::Plan with_people(const methods::Plan& plan, int people) {
    methods::Plan fewer = plan;
    fewer.tasters = people;
    for (auto& [spot, first] : fewer.first_ballots) first = std::min(first, people);
    return fewer;
}

/// The most people for whom the spot has enough; 0 where it has not even for two.
int people_for(const methods::Plan& plan, std::size_t spot, int gives) {
    int enough = 0, too_many = plan.tasters;   // fewer people never need more meat
    while (too_many - std::max(enough, 1) > 1) {
        const int people = (std::max(enough, 1) + too_many) / 2;
        const auto needs = needs_of(with_people(plan, people));
        (spot < needs.size() && needs[spot].second <= gives ? enough : too_many) = people;
    }
    return enough;
}

}   // namespace

std::vector<std::string> short_of_meat(const methods::Plan& plan, const std::vector<int>& gives, const core::Words& words) {
    const auto needs = needs_of(plan);
    std::vector<std::string> said;
    if (gives.empty() || (gives.size() != 1 && gives.size() != needs.size())) return said;
    for (std::size_t spot = 0; spot < needs.size(); ++spot) {
        const int given = gives[gives.size() == 1 ? 0 : spot];
        if (needs[spot].second <= given) continue;
        const int people = people_for(plan, spot, given);
        const std::string where = needs[spot].first.empty() ? words.text("plan.short.cut") : needs[spot].first;
        said.push_back(words.text(people > 0 ? "plan.short" : "plan.short.nobody",
                                  {{"spot", where}, {"gives", std::int64_t{given}}, {"needs", std::int64_t{needs[spot].second}}, {"people", std::int64_t{people}}}));
    }
    return said;
}

}   // namespace oddplate::report
