// Carry-over: a strong portion numbs the tongue for the next one. The same permutation within tasters that looks for tiredness, with "after the stronger
// recipe" in the place of "later". Test: unit.judge, carry_over.test.cpp

#include "carry_over.hpp"

#include <map>
#include <utility>

#include "oddplate/stats/drift.hpp"

namespace oddplate::judge {
namespace {

constexpr std::uint64_t k_seed = 4;   // of the permutations drawn where there are too many to count

bool is_eaten(Fate fate) {
    return fate != Fate::not_served && fate != Fate::missing;
}

}   // namespace

std::optional<int> stronger_version(const methods::Plan& plan, const methods::Round& round) {
    const auto& salt = plan.salt_percent;
    int saltiest = -1;
    bool known = salt.size() == plan.versions.size(), tie = false;
    double most = 0;
    for (std::size_t version = 0; known && version < plan.versions.size(); ++version) {
        const auto found = salt.find(plan.versions[version].id);
        known = found != salt.end();
        if (!known) break;
        tie = saltiest >= 0 && found->second == most;
        if (saltiest >= 0 && found->second <= most) continue;
        most = found->second;
        saltiest = static_cast<int>(version);
    }
    if (known && !tie) return saltiest;
    return round.settings.contains("stronger") ? std::optional(round.stronger) : std::nullopt;
}

std::vector<int> before_each(const CheckedRound& checked) {
    std::map<std::pair<int, int>, const JoinedSet*> sets;   // by ballot and set
    for (const JoinedSet& set : checked.joined.sets) sets.emplace(std::pair{set.ballot, set.set}, &set);
    std::vector<int> before;
    before.reserve(checked.counted.size());
    for (const JoinedSet* set : checked.counted) {
        const auto last = sets.find({set->ballot, set->set - 1});
        if (last == sets.end() || !is_eaten(last->second->fate)) {
            before.push_back(-1);
            continue;
        }
        before.push_back(checked.joined.key_of(*last->second).portions.back().version);
    }
    return before;
}

methods::Check check_carry_over(const CheckedRound& checked) {
    methods::Check check{.id = "carry_over", .p_value = {}, .alarm = false, .words = {"judge.carry_over.one_each", {}}};
    if (checked.joined.methods[static_cast<std::size_t>(checked.round)]->scale != methods::Scale::right) {
        check.words = {"judge.carry_over.no_right_answer", {}};
        return check;
    }
    const methods::Plan& plan = checked.subject.plan;
    const auto stronger = stronger_version(plan, plan.rounds[static_cast<std::size_t>(checked.round)]);
    if (!stronger) {
        check.words.id = "judge.carry_over.no_stronger";
        return check;
    }
    const std::vector<int> before = before_each(checked);
    std::vector<stats::PlacedAnswer> answers;
    for (std::size_t i = 0; i < before.size(); ++i) {
        const methods::Observation& seen = checked.counted[i]->seen;
        if (before[i] >= 0) answers.push_back({seen.taster, seen.spot, before[i] == *stronger, seen.scored.value > 0});
    }
    if (answers.empty()) return check;
    const stats::DriftTest test = stats::drift(answers, k_seed);
    if (!test.falling) {
        if (test.why == stats::NoDrift::nothing_varies) check.words.id = "judge.carry_over.nothing_varies";
        if (test.why == stats::NoDrift::confounded) check.words.id = "judge.carry_over.confounded";
        return check;
    }
    check.p_value = test.falling->p;
    check.alarm = test.falling->p <= k_alarm;
    check.words = {check.alarm ? "judge.carry_over.numbed" : test.falling->p > k_even ? "judge.carry_over.none" : "judge.carry_over.fine", {{"p", test.falling->p}}};
    return check;
}

}   // namespace oddplate::judge
