// A ladder as a round: recipes with more and more salt, each beside the usual one. Tests: tests/unit/methods/ranks_ladder.test.cpp

#include <algorithm>
#include <cmath>
#include <set>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "ranks.hpp"

namespace oddplate::methods::ranks {

ladders::Told ladder_at(std::span<const Observation> observations, const Round& round, const Plan& plan, int spot) {
    ladders::Votes votes;
    std::set<std::int32_t> tasters;
    for (const Observation& seen : observations) {
        if (spot >= 0 && seen.spot != spot) continue;
        const auto& samples = seen.scored.samples;
        const auto usual = std::find(samples.begin(), samples.end(), 0);
        if (usual == samples.end()) continue;
        const double rank = seen.scored.values[static_cast<std::size_t>(usual - samples.begin())];
        for (std::size_t i = 0; i < samples.size(); ++i) {
            if (samples[i] == 0) continue;
            const double other = seen.scored.values[i];
            votes.votes.push_back({seen.taster, plan.salt_percent.at(plan.versions[static_cast<std::size_t>(samples[i])].id), rank < other, rank == other});
            votes.undecided += rank == other ? 1 : 0;
            tasters.insert(seen.taster);
        }
    }
    votes.tasters = tasters.size();
    return ladders::told(votes, number(round.settings, "reject_at").value_or(ladders::k_reject_at), round.alpha, 1 - round.alpha);
}

void settle_ladder(Round& round, const Plan& plan, const std::string& place, core::Faults& faults) {
    if (!flag(round.settings, "ladder")) {
        if (round.settings.contains("reject_at")) faults.push_back(core::found(place + "/reject_at", "no ladder", "reject_at and \"ladder\": true together"));
        return;
    }
    const auto refuse = [&](const std::string& at, std::string got, std::string expected) { faults.push_back(core::found(at, std::move(got), std::move(expected))); };
    std::set<double> levels;
    for (std::size_t version = 1; version < plan.versions.size(); ++version) {
        const auto found = plan.salt_percent.find(plan.versions[version].id);
        if (found == plan.salt_percent.end()) refuse("/salt_percent", "no number for " + core::quoted(plan.versions[version].id), "the salt of every recipe on the ladder, in percent");
        else if (!levels.insert(found->second).second) refuse("/salt_percent", core::shortest(found->second) + " twice", "another level for every recipe on the ladder");
    }
    if (round.settings.contains("attribute")) refuse(place + "/attribute", core::quoted(*words(round.settings, "attribute")), "no attribute: a ladder goes by liking");
    if (round.spots.size() > 1 && round.decide_on != DecideOn::overall) refuse("/decide_on", "a rule by spot", "\"overall\", or one spot, for a ladder");
    round.settings["against_usual"] = round.settings["usual_in_every_tray"] = true;
}

}   // namespace oddplate::methods::ranks
