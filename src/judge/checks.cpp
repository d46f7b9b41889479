// Checks of the people and of the sitting.

#include "checks.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "oddplate/stats/drift.hpp"
#include "oddplate/stats/two_groups.hpp"

namespace oddplate::judge {
namespace {

constexpr std::uint64_t k_seed = 3;   // of the permutations drawn where there are too many to count

std::int64_t people(const CheckedRound& checked) {
    std::vector<bool> came(checked.joined.dealt.size(), false);   // there are no more tasters than ballots
    for (const JoinedSet* set : checked.counted) came[static_cast<std::size_t>(set->seen.taster)] = true;
    return std::count(came.begin(), came.end(), true);
}

std::string why_no_drift(stats::NoDrift why) {
    switch (why) {
        case stats::NoDrift::one_position:
            return "judge.sitting.one_each";
        case stats::NoDrift::confounded:
            return "judge.sitting.confounded";
        case stats::NoDrift::nothing_varies:
            return "judge.sitting.nothing_varies";
        case stats::NoDrift::has_one:
            break;
    }
    return "judge.sitting.one_each";
}

}   // namespace

bool is_much_missing(const Tally& tally) {
    return 20 * (tally.missing + tally.blank + tally.void_) > tally.dealt;
}

methods::Check check_people(const CheckedRound& checked) {
    const auto round = static_cast<std::size_t>(checked.round);
    methods::Plan came = checked.subject.plan;
    const std::int64_t n = people(checked);
    came.tasters = static_cast<int>(n);
    methods::Check check{.id = "enough_tasters", .p_value = {}, .alarm = n == 0, .words = {"judge.people.came", {{"n", n}}}};
    if (n == 0) {
        check.words = {"judge.people.nobody", {}};
        return check;
    }
    const methods::Method& method = *checked.joined.methods[round];
    const methods::Outlook ahead = method.outlook(method, came.rounds[round], came);
    if (!ahead.needed && ahead.chance && *ahead.chance < came.rounds[round].power) {   // no number of people would do
        check.alarm = true;
        check.words = {"judge.people.short", {{"n", n}, {"chance", *ahead.chance}}};
    }
    if (!ahead.needed) return check;
    check.alarm = n < *ahead.needed;
    check.words = {check.alarm ? "judge.people.too_few" : "judge.people.enough", {{"n", n}, {"needed", *ahead.needed}}};
    return check;
}

methods::Check check_sitting(const CheckedRound& checked) {
    methods::Check check{.id = "falling_over_sitting", .p_value = {}, .alarm = false, .words = {}};
    if (checked.joined.methods[static_cast<std::size_t>(checked.round)]->link == nullptr) {
        check.words = {"judge.sitting.no_right_answer", {}};
        return check;
    }
    std::vector<stats::PlacedAnswer> answers;
    for (const JoinedSet* set : checked.counted)
        answers.push_back({set->seen.taster, set->seen.spot, set->seen.place, set->seen.scored.value > 0});
    if (answers.empty()) {
        check.words = {"judge.sitting.one_each", {}};
        return check;
    }
    const stats::DriftTest test = stats::drift(answers, k_seed);
    if (!test.falling) {
        check.words = {why_no_drift(test.why), {}};
        return check;
    }
    check.p_value = test.falling->p;
    check.alarm = test.falling->p <= k_alarm;
    check.words = {check.alarm ? "judge.sitting.falling" : test.falling->p > k_even ? "judge.sitting.none" : "judge.sitting.fine", {{"p", test.falling->p}}};
    return check;
}

methods::Check check_evenings(const CheckedRound& checked) {
    methods::Check check{.id = "evenings_agree", .p_value = {}, .alarm = false, .words = {"judge.evenings.one", {}}};
    std::map<std::pair<int, int>, std::pair<double, int>> people;   // by evening and taster: sum, answers
    for (const JoinedSet* set : checked.counted) {
        auto& [sum, answers] = people[{checked.subject.plan.evening_at(set->ballot), set->seen.taster}];
        sum += set->seen.scored.value;
        ++answers;
    }
    std::map<int, std::vector<double>> evenings;
    for (const auto& [who, what] : people) evenings[who.first].push_back(what.first / what.second);
    if (evenings.size() < 2) return check;
    double least = 1;
    int unlike = 0;
    for (const auto& [evening, mine] : evenings) {
        std::vector<double> others;
        for (const auto& [other, theirs] : evenings)
            if (other != evening) others.insert(others.end(), theirs.begin(), theirs.end());
        const double p = stats::two_groups_p(mine, others, k_seed).p;
        if (p < least) unlike = evening;
        least = std::min(least, p);
    }
    const double looks = evenings.size() == 2 ? 1 : static_cast<double>(evenings.size());   // of two, each is the other's others
    check.p_value = std::min(1.0, looks * least);
    check.alarm = *check.p_value <= k_alarm;
    check.words = {check.alarm ? "judge.evenings.unlike" : "judge.evenings.alike", {{"n", std::int64_t{unlike + 1}}, {"p", *check.p_value}}};
    return check;
}

std::vector<SittingRight> right_by_place(const CheckedRound& checked) {
    std::vector<SittingRight> places;
    if (checked.joined.methods[static_cast<std::size_t>(checked.round)]->link == nullptr) return places;
    for (const JoinedSet* set : checked.counted) {
        const auto place = static_cast<std::size_t>(set->seen.place);
        if (places.size() <= place) places.resize(place + 1);
        ++places[place].of;
        places[place].right += set->seen.scored.value > 0 ? 1 : 0;
    }
    return places;
}

methods::Check check_told(const CheckedRound& checked) {
    std::set<int> told;
    for (const JoinedSet* set : checked.counted)
        if (set->is_told) told.insert(set->ballot);
    const auto& boxes = checked.subject.told_beforehand;
    if (!checked.counted.empty() && std::none_of(boxes.begin(), boxes.end(), [](const auto& box) { return box.has_value(); }))
        return {.id = "told_beforehand", .p_value = {}, .alarm = false, .words = {"judge.told.not_typed", {}}};
    const auto n = static_cast<std::int64_t>(told.size());
    return {.id = "told_beforehand",
            .p_value = {},
            .alarm = n > 0,
            .words = {n > 0 ? "judge.told.some" : "judge.told.none", {{"n", n}}}};
}

methods::Check check_missing(const CheckedRound& checked) {
    const Tally& tally = checked.tally;
    const std::int64_t n = tally.missing + tally.blank + tally.void_;
    const bool much = is_much_missing(tally);
    return {.id = "missing_answers",
            .p_value = {},
            .alarm = much,
            .words = {n == 0 ? "judge.missing.none"
                      : much ? "judge.missing.much"
                             : "judge.missing.few",
                      {{"n", n}, {"of", static_cast<std::int64_t>(tally.dealt)}}}};
}

std::vector<methods::Check> checks_of(const CheckedRound& checked) {
    std::vector<methods::Check> checks{check_people(checked),     check_orders(checked), check_picks(checked),   check_sitting(checked),
                                       check_carry_over(checked), check_told(checked),   check_missing(checked)};
    const bool several = checked.joined.methods[static_cast<std::size_t>(checked.round)]->scale == methods::Scale::each;
    if (!checked.subject.plan.evenings.empty()) checks.push_back(several ? check_evenings_of_several(checked) : check_evenings(checked));
    if (several && !methods::flag(checked.subject.plan.rounds[static_cast<std::size_t>(checked.round)].settings, "usual_in_every_tray") &&
        methods::portions_of(*checked.joined.methods[static_cast<std::size_t>(checked.round)], checked.subject.plan.rounds[static_cast<std::size_t>(checked.round)],
                                        static_cast<int>(checked.subject.plan.versions.size())) < static_cast<int>(checked.subject.plan.versions.size()))
        checks.push_back(check_trays(checked));
    if (several && checked.subject.plan.pieces > 1) checks.push_back(check_pieces(checked));
    return checks;
}

}   // namespace oddplate::judge
