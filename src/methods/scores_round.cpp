// A round of scores: each spot and all together, a taster's sets made one mean, and the plan's rule over the spots.

#include <algorithm>
#include <cstdlib>

#include "difference.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "oddplate/stats/score_flip.hpp"
#include "scores.hpp"

namespace oddplate::methods::scores {
namespace {

constexpr std::uint64_t k_seed = 6;   // of the permutations between spots

using right_answer::combine;
using right_answer::to_text;
using right_answer::Verdict;

struct Weighing {
    std::vector<Weighed> spots;
    std::vector<double> adjusted;
    Weighed pooled;
    std::optional<double> heterogeneity;
    bool nobody_at_two{false};   ///< though some gave several scores
    bool different{false}, similar{false};
};

/// At one spot (all spots: -1); the test product's score is `value` more than the blind control's.
Tasters tasters_at(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan,
                   int spot) {
    const std::vector<Order> orders = method.orders(round, static_cast<int>(plan.versions.size()));
    Tasters tasters;
    for (const Observation& seen : observations) {
        if (spot >= 0 && seen.spot != spot) continue;
        const auto order = static_cast<std::size_t>(seen.order);
        if (order >= orders.size() || seen.scored.values.size() != 2) std::abort();   // the joining has promised it
        const std::size_t test = orders[order].versions[0] == 0 ? 1 : 0;
        Taster& taster = tasters[std::to_string(seen.taster)];
        taster.test += seen.scored.values[test];
        taster.control += seen.scored.values[1 - test];
        ++taster.sets;
    }
    return tasters;
}

void decide(const Question& question, DecideOn rule, Weighing& weighing) {
    const auto at = [](const Weighed& spot, double p_adjusted) {
        return difference::AtSpot{!spot.differences.empty(), spot.different, spot.similar, p_adjusted};
    };
    std::vector<difference::AtSpot> spots;
    for (std::size_t j = 0; j < weighing.spots.size(); ++j) spots.push_back(at(weighing.spots[j], weighing.adjusted[j]));
    const auto [different, similar] = difference::decide(rule, question.alpha, spots, at(weighing.pooled, 1));
    weighing.different = different;
    weighing.similar = similar;
}

bool anybody_at_two(std::span<const Observation> observations) {
    std::map<std::int32_t, std::int32_t> spot_of;
    return std::any_of(observations.begin(), observations.end(),
                       [&](const Observation& seen) { return spot_of.try_emplace(seen.taster, seen.spot).first->second != seen.spot; });
}

/// Why nothing is said of all spots together, whatever their scores come to.
difference::Withheld why_withheld(const Question& question, const Weighing& weighing) {
    if (weighing.spots.size() == 1) return difference::Withheld::no;
    const auto silent = [](const Weighed& spot) { return spot.differences.empty(); };
    if (std::any_of(weighing.spots.begin(), weighing.spots.end(), silent)) return difference::Withheld::spot_unanswered;
    if (weighing.nobody_at_two) return difference::Withheld::nobody_at_two;
    if (weighing.heterogeneity && stats::significant(*weighing.heterogeneity, question.alpha)) return difference::Withheld::spots_differ;
    return difference::Withheld::no;
}

Weighing weigh_round(const Method& method, const Question& question, std::span<const Observation> observations,
                     const Round& round, const Plan& plan) {
    Weighing weighing;
    std::vector<double> p_values;
    for (std::size_t j = 0; j < round.spots.size(); ++j) {
        weighing.spots.push_back(weigh(question, tasters_at(method, observations, round, plan, static_cast<int>(j))));
        p_values.push_back(weighing.spots.back().p_different);
    }
    weighing.adjusted = stats::holm_adjusted(p_values);
    weighing.pooled = weigh(question, tasters_at(method, observations, round, plan, -1));
    std::vector<stats::SpotScore> scores;
    for (const Observation& seen : observations) scores.push_back({seen.taster, seen.spot, seen.scored.value});
    if (const auto p = stats::score_spots_p(scores, k_seed)) weighing.heterogeneity = p->p;
    Weighed& pooled = weighing.pooled;
    weighing.nobody_at_two = !anybody_at_two(observations) && std::ssize(observations) > std::ssize(pooled.differences);
    pooled.why_withheld = why_withheld(question, weighing);
    pooled.withheld = pooled.similar && pooled.why_withheld != difference::Withheld::no;
    pooled.similar = pooled.similar && !pooled.withheld;
    decide(question, round.decide_on, weighing);
    return weighing;
}

void say_spots(std::vector<core::Sentence>& words, const Question& question, const Weighing& weighing, const Round& round) {
    std::size_t passed = 0;
    for (std::size_t j = 0; j < weighing.spots.size(); ++j) {
        const Weighed& spot = weighing.spots[j];
        passed += spot.different;
        if (spot.differences.empty())
            words.push_back({"right.no_answers_from", {{"spot", round.spots[j]}}});
        else
            words.push_back(
                {"scores.at_spot",
                 {{"spot", round.spots[j]}, {"mean", spot.mean}, {"p", spot.p_different}, {"q", weighing.adjusted[j]}}});
    }
    if (!weighing.heterogeneity) {
        words.push_back({weighing.nobody_at_two ? "right.between.nobody_at_two" : "right.between.untested", {}});
        return;
    }
    words.push_back(difference::gap_between(*weighing.heterogeneity, question.alpha, passed > 0 && passed < weighing.spots.size()));
}

/// The first sentence under a rule over spots, with the lead at the spot that the rule turned on: where it was clearest, at every spot
/// where it was faintest; few enough, where that is least sure.
core::Sentence by_spot_sentence(const Question& question, const Weighing& weighing, const Round& round) {
    const bool any_rule = round.decide_on == DecideOn::any_spot;
    const Verdict verdict = combine(weighing.different, weighing.similar);
    const auto rank = [&](std::size_t j) {
        if (verdict == Verdict::close_enough) return weighing.spots[j].p_similar.value_or(0);
        return any_rule ? -weighing.adjusted[j] : weighing.spots[j].p_different;
    };
    std::size_t answered = 0, at = 0;
    for (std::size_t j = 0; j < weighing.spots.size(); ++j) {
        if (weighing.spots[j].differences.empty()) continue;
        if (answered++ == 0 || rank(j) > rank(at)) at = j;
    }
    if (answered == 0 || (!any_rule && answered < weighing.spots.size())) return {"right.every.unsettled", {}};
    const Weighed& spot = weighing.spots[at];
    return {(any_rule ? "scores.any." : "scores.each.") + std::string(to_text(verdict)),
            {{"spot", round.spots[at]}, {"mean", spot.mean}, {"p", spot.p_different}, {"q", weighing.adjusted[at]},
             {"r", spot.p_similar.value_or(1)}, {"spots", static_cast<std::int64_t>(weighing.spots.size())}, {"alpha", question.alpha}}};
}

std::vector<core::Sentence> round_words(const Question& question, const Weighing& weighing, const Round& round,
                                        const Plan& plan) {
    std::vector<core::Sentence> words;
    const Verdict verdict = combine(weighing.different, weighing.similar);
    const bool several = round.spots.size() > 1, any = !weighing.pooled.differences.empty();
    if (several && any && round.decide_on != DecideOn::overall)
        words.push_back(by_spot_sentence(question, weighing, round));
    else
        words = words_of(question, weighing.pooled);
    if (!any) return words;
    if (several) say_spots(words, question, weighing, round);
    if (plan.same_recipe) {
        words.push_back({right_answer::claims_difference(to_text(verdict)) ? "right.next.same_recipe_alarm"
                         : verdict == Verdict::close_enough                ? "right.next.same_recipe_calm"
                                                                           : "right.next.same_recipe_open",
                         {}});
    } else if (verdict == Verdict::unsettled && round.decide_on == DecideOn::overall && weighing.pooled.withheld) {
        words.push_back({difference::step_after(weighing.pooled.why_withheld), {}});   // more people would not mend it
    } else if (verdict == Verdict::unsettled) {
        words.push_back({"scores.next.unsettled", {}});
    } else {
        words.push_back({verdict == Verdict::different ? (question.similarity ? "right.next.not_there_yet" : "right.next.noticed")
                         : verdict == Verdict::slight  ? "signals.next.slight"
                                                       : "right.next.close_enough",
                         {}});
    }
    return words;
}

std::string why_untested(const Weighing& weighing) {
    if (weighing.spots.size() == 1) return "there is one spot";
    if (weighing.nobody_at_two) return "nobody answered at two spots";
    return "nobody scored two spots differently";
}

}   // namespace

RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    const Question question = question_of(round.settings, round.alpha);
    const Weighing weighing = weigh_round(method, question, observations, round, plan);
    RoundFindings found;
    for (std::size_t j = 0; j < round.spots.size(); ++j) {
        Findings findings = findings_of(method, question, weighing.spots[j]);
        if (round.spots.size() > 1)
            findings.add_optional("p_adjusted",
                                  weighing.spots[j].differences.empty() ? std::nullopt : std::optional(weighing.adjusted[j]),
                                  "no answers");
        found.spots.push_back({round.spots[j], std::move(findings)});
    }
    found.pooled = findings_of(method, question, weighing.pooled);
    found.heterogeneity = weighing.heterogeneity;
    if (!weighing.heterogeneity) found.heterogeneity_why = why_untested(weighing);
    found.verdict = to_text(combine(weighing.different, weighing.similar));
    found.words = round_words(question, weighing, round, plan);
    const bool below = round.decide_on == DecideOn::overall ? weighing.pooled.below_chance
                                                            : std::any_of(weighing.spots.begin(), weighing.spots.end(),
                                                                          [](const Weighed& spot) { return spot.below_chance; });
    if (below) found.warnings.emplace_back("below_chance");
    return found;
}

}   // namespace oddplate::methods::scores
