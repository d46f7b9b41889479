// Before the tasting: what this panel can show and what it can't, as chances, and the ways out with their cost.

#include <algorithm>
#include <cmath>
#include <vector>

#include "oddplate/methods/mouthful.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/power.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

using Sentences = std::vector<core::Sentence>;

constexpr std::int64_t k_few = 12;       // people: only a big difference shows

/// More sets for the same people, where a mouth can still take them.
void offer_sets(Sentences& words, const Method& method, const Family& family, const Question& question, const Round& round,
                const Plan& plan) {
    for (int sets = round.sets_per_taster + 1; sets <= 3; ++sets) {
        const std::int64_t portions = static_cast<std::int64_t>(method.portions) * round.spots_each() * sets;
        if (portions > k_many_portions) return;
        const auto people = people_needed(method, family, question, round, plan, sets);
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

void say_few(Sentences& words, const Question& question, const Panel& panel, const stats::SimilarityTest& test, int ways,
             const stats::Link& link) {
    const double nobody = chance_to_call_few(panel, test, ways, link.chance);
    if (!(nobody > 0)) {
        words.push_back({"right.outlook.no_few", {{"line", question.margin->discriminators}}});
        return;
    }
    std::map<std::string, core::Argument> args{{"nobody", nobody}, {"line", question.margin->discriminators}};
    if (question.similarity && question.margin->d_prime) {
        const double d = *question.margin->d_prime;
        args.emplace("quarter", chance_to_call_few(panel, test, ways, stats::proportion_correct(link, d / 4)));
        args.emplace("half", chance_to_call_few(panel, test, ways, stats::proportion_correct(link, d / 2)));
        words.push_back({"right.outlook.few_by_truth", args});
        const auto chance_at = [&](const char* key) { return std::get<double>(args.at(key)); };
        if (std::max(chance_at("quarter"), chance_at("half")) > nobody) words.push_back({"right.outlook.few_guard", {}});
    } else {
        words.push_back({"right.outlook.few", args});
    }
}

void say_visible(Sentences& words, const Panel& panel, double chance, const Round& round, std::int64_t people) {
    const auto share = visible_share(chance, panel.smallest(), round.alpha / panel.looks, round.power);
    if (!share) {
        words.push_back({"right.outlook.nothing_visible", {{"n", people}}});
        return;
    }
    const bool several = round.spots.size() > 1;
    const char* const id = people <= k_few                        ? "right.outlook.visible_few"
                           : !several                             ? "right.outlook.visible"
                           : round.decide_on == DecideOn::overall ? "right.outlook.visible_overall"
                                                                  : "right.outlook.visible_at_a_spot";
    words.push_back({id, {{"share", *share}, {"power", round.power}, {"n", people}}});
}

/// How many would notice the plan's line in a triangle: the one curve by which "how many in ten" is meant everywhere.
void say_gap(Sentences& words, const stats::Link& link, const Question& question) {
    const auto& wanted = question.similarity ? question.margin : question.detect;
    if (&link == &stats::triangle_link() || !wanted || !wanted->d_prime) return;
    words.push_back({"right.outlook.gap",
                     {{"share", stats::discriminators_from_d(stats::triangle_link(), *wanted->d_prime)}}});
}

void say_notice(Sentences& words, const Question& question, const Panel& panel, const Round& round, double found) {
    const char* const id = round.spots.size() == 1 ? "right.outlook.notice"
                           : panel.each            ? "right.outlook.notice_each"
                           : panel.looks > 1       ? "right.outlook.notice_any"
                                                   : "right.outlook.notice_overall";
    words.push_back({id, {{"line", question.detect->discriminators}, {"found", found}}});
}

}   // namespace

Outlook outlook(const Method& method, const Family& family, const Round& round, const Plan& plan) {
    const stats::Link& link = *method.link;
    const Question question = question_of(method, round);
    const Panel panel = panel_of(round, plan, plan.tasters, round.sets_per_taster);
    const std::int64_t people = plan.tasters;
    Outlook seen;
    seen.chance = chance_of_aim(method, family, question, panel);
    seen.needed = people_needed(method, family, question, round, plan, round.sets_per_taster);
    if (question.detect)
        say_notice(seen.words, question, panel, round,
                   chance_to_notice(panel, link.chance, question.detect->proportion, question.alpha));
    if (question.margin)
        say_few(seen.words, question, panel, {link.chance, question.margin->proportion, question.alpha, family.similar}, family.ways, link);
    say_gap(seen.words, link, question);
    say_visible(seen.words, panel, link.chance, round, people);
    if (!seen.chance) {
        seen.words.push_back({"right.outlook.no_line", {}});
        return seen;
    }
    const bool enough = *seen.chance >= round.power;
    if (!seen.needed) {
        if (!enough) seen.words.push_back({"right.outlook.beyond", {}});
        return seen;
    }
    seen.words.push_back({enough ? "right.outlook.enough" : "right.outlook.too_few",
                          {{"needed", *seen.needed}, {"there", people}, {"power", round.power}}});
    if (!enough) offer_ways_out(seen.words, method, family, question, round, plan, *seen.needed);
    return seen;
}

}   // namespace oddplate::methods::right_answer
