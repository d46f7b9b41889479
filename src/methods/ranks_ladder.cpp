// A ladder as a round: recipes with more and more salt, each beside the usual one. Tests: tests/unit/methods/ranks_ladder.test.cpp

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "oddplate/core/json.hpp"
#include "oddplate/core/text.hpp"
#include "leads.hpp"
#include "ranks.hpp"

namespace oddplate::methods::ranks {
namespace {

double level_of(const Plan& plan, std::size_t version) { return plan.salt_percent.at(plan.versions[version].id); }

}   // namespace

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
            votes.votes.push_back({seen.taster, level_of(plan, static_cast<std::size_t>(samples[i])), rank < other, rank == other});
            votes.undecided += rank == other ? 1 : 0;
            tasters.insert(seen.taster);
        }
    }
    votes.tasters = tasters.size();
    ladders::Told told = ladders::told(votes, number(round.settings, "reject_at").value_or(ladders::k_reject_at), round.alpha, 1 - round.alpha);
    for (std::size_t version = 1; version < plan.versions.size(); ++version) told.names.emplace(level_of(plan, version), plan.versions[version].id);
    for (const int gone : plan.withdrawn)   // the votes are about a level of salt, not about which recipe to choose
        if (gone > 0) told.ran_out.insert(level_of(plan, static_cast<std::size_t>(gone)));
    if (const auto pieces = by_pieces(ranked_at(observations, plan, spot), 0.0)) {   // each pair by itself
        std::map<double, double> by_level;
        for (const stats::LadderStep& step : told.found.steps)
            for (std::size_t version = 1; version < plan.versions.size(); ++version) {
                const auto found = pieces->pairs.find({0, static_cast<int>(version)});
                if (level_of(plan, version) == step.level && found != pieces->pairs.end()) by_level.emplace(step.level, step.for_control > step.for_sample ? found->second.first / 2 : 1);
            }
        ladders::hold_to_pieces(told, std::move(by_level));
    }
    return told;
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

void say_levels_that_ran_out(std::vector<core::Sentence>& words, const Plan& plan, const ladders::Told& told) {
    if (words.empty()) return;
    std::vector<std::string> judged, never;
    std::vector<core::Sentence> said;
    for (const int gone : plan.withdrawn) {
        const std::string& name = plan.versions[static_cast<std::size_t>(gone)].id;
        if (gone == 0) {
            said.push_back({std::string(k_level_ran_out) + ".usual", {{"name", name}}});
            continue;
        }
        const bool tasted = std::any_of(told.found.steps.begin(), told.found.steps.end(), [&](const stats::LadderStep& step) {
            const auto named = told.names.find(step.level);
            return named != told.names.end() && named->second == name && step.for_control + step.for_sample > 0;
        });
        (tasted ? judged : never).push_back(name);
    }
    if (!judged.empty()) said.push_back({std::string(k_level_ran_out), {{"names", leads::names_of(judged)}, {"n", std::ssize(judged)}}});
    if (!never.empty()) said.push_back({std::string(k_level_ran_out) + ".never", {{"names", leads::names_of(never)}, {"n", std::ssize(never)}}});
    words.insert(words.begin() + 1, said.begin(), said.end());
}

}   // namespace oddplate::methods::ranks
