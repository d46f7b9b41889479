// Before the tasting: what this panel can show and what it can't, as chances, and the ways out with their cost.

#include <algorithm>
#include <cmath>
#include <vector>

#include "oddplate/stats/power.hpp"
#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

using Sentences = std::vector<core::Sentence>;

constexpr std::int64_t k_mouthful = 9;   // portions a head; more is too many for one mouth

/// The counts that the rule will look at: one, or one a spot.
struct Panel {
    std::vector<std::int64_t> counts;
    double looks{1};                ///< alpha is shared among so many
    bool each{false};               ///< all of them have to pass, for a difference too
};

Panel panel_of(const Round& round, const Plan& plan) {
    const std::int64_t spots = static_cast<std::int64_t>(round.spots.size());
    std::vector<std::int64_t> answers;
    for (const std::string& spot : round.spots) {
        std::int64_t people = static_cast<std::int64_t>(plan.tasters) * round.spots_each() / spots;
        if (const auto scarce = plan.first_ballots.find(spot); scarce != plan.first_ballots.end())
            people = std::min<std::int64_t>(people, scarce->second);
        answers.push_back(people * round.sets_per_taster);
    }
    Panel panel;
    if (round.decide_on == DecideOn::overall) {
        std::int64_t all = 0;
        for (const std::int64_t n : answers) all += n;
        panel.counts = {all};
        return panel;
    }
    panel.counts = answers;
    if (round.decide_on == DecideOn::any_spot) panel.looks = static_cast<double>(spots);
    panel.each = round.decide_on == DecideOn::each_spot;
    return panel;
}

/// Chance that D comes out by the rule. any-spot: the difference is at one spot only, the one with the fewest answers.
double chance_to_notice(const Panel& panel, double chance, double proportion, double alpha) {
    double all = 1, least = 1;
    for (const std::int64_t n : panel.counts) {
        const double power = n > 0 ? stats::power_difference(n, chance, proportion, alpha / panel.looks) : 0;
        all *= power;
        least = std::min(least, power);
    }
    return panel.each ? all : least;
}

/// Chance that S comes out, guards included, when this proportion is the truth everywhere.
double chance_to_call_few(const Panel& panel, const stats::SimilarityTest& test, double proportion) {
    double all = 1;
    for (const std::int64_t n : panel.counts) all *= n > 0 ? stats::power_similarity_verdict(test, n, proportion) : 0;
    return all;
}

/// More sets for the same people, where a mouth can still take them.
void offer_sets(Sentences& words, const Method& method, const Family& family, const Question& question, const Round& round,
                const Plan& plan) {
    for (int sets = round.sets_per_taster + 1; sets <= 3; ++sets) {
        const std::int64_t portions = static_cast<std::int64_t>(method.portions) * round.spots_each() * sets;
        if (portions > k_mouthful) return;
        const auto people = people_needed(method, family, question, round, sets);
        if (!people) return;
        if (*people <= plan.tasters) {
            words.push_back({"right.out.sets", {{"sets", std::int64_t{sets}}, {"people", *people}, {"portions", portions}}});
            return;
        }
    }
}

void offer_ways_out(Sentences& words, const Method& method, const Family& family, const Question& question, const Round& round,
                    const Plan& plan, std::int64_t needed) {
    const auto& wanted = question.similarity ? question.margin : question.detect;
    words.push_back({"right.out.people", {{"more", needed - plan.tasters}, {"needed", needed}}});
    offer_sets(words, method, family, question, round, plan);
    if (!question.similarity && !method.link->is_signed && wanted && wanted->d_prime) {
        const auto directed = people_for_directed(*wanted->d_prime, question.alpha, round.power);
        if (directed && *directed < needed) words.push_back({"right.out.directed", {{"m", *directed}}});
    }
    words.push_back({"right.out.line", {}});
}

void say_few(Sentences& words, const Question& question, const Panel& panel, const stats::SimilarityTest& test,
             const stats::Link& link) {
    const double nobody = chance_to_call_few(panel, test, link.chance);
    if (!(nobody > 0)) {
        words.push_back({"right.outlook.no_few", {{"line", question.margin->discriminators}}});
        return;
    }
    std::map<std::string, core::Argument> args{{"nobody", nobody}, {"line", question.margin->discriminators}};
    if (question.similarity && question.margin->d_prime) {
        const double d = *question.margin->d_prime;
        args.emplace("quarter", chance_to_call_few(panel, test, stats::proportion_correct(link, d / 4)));
        args.emplace("half", chance_to_call_few(panel, test, stats::proportion_correct(link, d / 2)));
        words.push_back({"right.outlook.few_by_truth", args});
    } else {
        words.push_back({"right.outlook.few", args});
    }
}

void say_visible(Sentences& words, const Panel& panel, double chance, const Round& round, std::int64_t people) {
    const std::int64_t n = *std::min_element(panel.counts.begin(), panel.counts.end());
    const auto share = visible_share(chance, n, round.alpha / panel.looks, round.power);
    if (share)
        words.push_back({"right.outlook.visible", {{"share", *share}, {"power", round.power}, {"n", people}}});
    else
        words.push_back({"right.outlook.nothing_visible", {{"n", people}}});
}

}   // namespace

Outlook outlook(const Method& method, const Family& family, const Round& round, const Plan& plan) {
    const stats::Link& link = *method.link;
    const Question question = question_of(method, round);
    const Panel panel = panel_of(round, plan);
    const std::int64_t people = plan.tasters;
    Outlook seen;
    seen.needed = people_needed(method, family, question, round, round.sets_per_taster);
    if (question.detect) {
        const double found = chance_to_notice(panel, link.chance, question.detect->proportion, question.alpha);
        if (!question.similarity) seen.chance = found;
        const char* const id = round.spots.size() == 1 ? "right.outlook.notice"
                               : panel.each            ? "right.outlook.notice_each"
                               : panel.looks > 1       ? "right.outlook.notice_any"
                                                       : "right.outlook.notice_overall";
        seen.words.push_back({id, {{"line", question.detect->discriminators}, {"found", found}}});
    }
    if (question.margin) {
        const stats::SimilarityTest test{link.chance, question.margin->proportion, question.alpha, family.similar};
        if (question.similarity) seen.chance = chance_to_call_few(panel, test, link.chance);
        say_few(seen.words, question, panel, test, link);
    }
    say_visible(seen.words, panel, link.chance, round, people);
    if (!seen.needed) {
        seen.words.push_back({question.margin ? "right.outlook.beyond" : "right.outlook.no_line", {}});
        return seen;
    }
    const bool enough = people >= *seen.needed;
    seen.words.push_back({enough ? "right.outlook.enough" : "right.outlook.too_few",
                          {{"needed", *seen.needed}, {"there", people}, {"power", round.power}}});
    if (!enough) offer_ways_out(seen.words, method, family, question, round, plan, *seen.needed);
    return seen;
}

}   // namespace oddplate::methods::right_answer
