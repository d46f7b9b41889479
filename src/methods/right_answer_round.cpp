// A round: the answers counted by spot and by taster, each count weighed, and the plan's own rule over the spots.

#include <algorithm>
#include <cstdlib>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/cochran.hpp"
#include "oddplate/stats/holm.hpp"
#include "difference.hpp"
#include "right_answer.hpp"
#include "right_answer_places.hpp"
#include "right_answer_table.hpp"

namespace oddplate::methods::right_answer {
namespace {

using difference::Withheld;

constexpr std::uint64_t k_seed =
    0x6f6464706c617465;   // fixed: the same answers give the same verdict, simulated p-values included

void weigh_spot(const Method& method, const Family& family, const Question& question, const Places& places, bool uneven,
                Spot& spot) {
    spot.weighed = weigh(method, family, question, spot.count);
    if (spot.count.of == 0) return;
    if (uneven) spot.weighed.p_order = order_p(places, family.ways);
    spot.weighed.order_untested = uneven && !spot.weighed.p_order;
    spot.p_for_rule = std::max(spot.weighed.p_different, spot.weighed.p_order.value_or(0));
    const bool told_given_orders = spot.weighed.p_order && stats::significant(*spot.weighed.p_order, question.alpha);
    if (told_given_orders && !spot.weighed.different) spot.weighed.bar(Withheld::orders);
    spot.weighed.different = spot.weighed.different && stats::significant(spot.p_for_rule, question.alpha);
}

bool anybody_at_two(const Table& table) {
    for (std::size_t taster = 0; taster < table.tasters; ++taster) {
        const auto first = table.sets.begin() + static_cast<std::ptrdiff_t>(taster * table.spots);
        if (std::count_if(first, first + static_cast<std::ptrdiff_t>(table.spots), [](auto sets) { return sets > 0; }) > 1)
            return true;
    }
    return false;
}

void compare_spots(const Table& table, Weighing& weighing) {
    const stats::SpotTest test = stats::spots_differ({table.spots, table.sets, table.correct}, k_seed);
    if (test.p_value) weighing.heterogeneity = test.p_value->p;
    if (test.why == stats::NoSpotTest::has_one) return;
    const auto answered =
        std::count_if(weighing.spots.begin(), weighing.spots.end(), [](const Spot& spot) { return spot.count.of > 0; });
    weighing.untested = table.spots == 1         ? Untested::one_spot
                        : answered < 2           ? Untested::one_answered
                        : !anybody_at_two(table) ? Untested::nobody_at_two
                                                 : Untested::nothing_varies;
}

/// One answer otherwise: the counts' limits say the rest. A p given the orders served is left out of it, since it does not say
/// which.
void change_one(const Method& method, Spot& spot, int change) {
    spot.count.correct += change;
    spot.weighed.different = is_different(spot.weighed.limits, spot.count.correct);
    spot.weighed.similar = is_similar(spot.weighed.limits, spot.count.correct) && spot.weighed.barred == Withheld::no;
    spot.p_for_rule = stats::binomial_upper(spot.count.correct, spot.count.of, method.link->chance);
}

void adjust(std::vector<Spot>& spots) {
    std::vector<double> p_values;
    for (const Spot& spot : spots) p_values.push_back(spot.p_for_rule);
    const std::vector<double> adjusted = stats::holm_adjusted(p_values);
    for (std::size_t j = 0; j < spots.size(); ++j) spots[j].p_adjusted = adjusted[j];
}

void decide(const Question& question, DecideOn rule, Weighing& weighing) {
    const auto at = [](const Spot& spot) {
        return difference::AtSpot{spot.count.of > 0, spot.weighed.different, spot.weighed.similar, spot.p_adjusted};
    };
    std::vector<difference::AtSpot> spots;
    for (const Spot& spot : weighing.spots) spots.push_back(at(spot));
    const auto [different, similar] = difference::decide(rule, question.alpha, spots, at(weighing.pooled));
    weighing.different = different;
    weighing.similar = similar;
}

Findings findings_of_spot(const Method& method, const Family& family, const Question& question, const Spot& spot, bool several) {
    Findings findings = findings_of(method, family, question, spot.count, spot.weighed);
    if (several)
        findings.add_optional("p_adjusted", spot.count.of > 0 ? std::optional(spot.p_adjusted) : std::nullopt, "no answers");
    findings.add("tasters", Value{spot.tasters});
    findings.add("answers", Value{spot.count.of});
    return findings;
}

/// Few enough would be said, had people not picked by place.
bool is_kept_by_habit(const Weighing& weighing, DecideOn rule) {
    const auto kept = [](const Spot& spot) { return spot.weighed.withheld && spot.weighed.barred == Withheld::habit; };
    if (rule == DecideOn::overall) return kept(weighing.pooled);
    return std::any_of(weighing.spots.begin(), weighing.spots.end(), kept);
}

void gather_warnings(const Weighing& weighing, DecideOn rule, RoundFindings& found) {
    const auto is_below = [](const Spot& spot) { return spot.weighed.below_chance; };
    const bool below = rule == DecideOn::overall ? is_below(weighing.pooled)
                                                 : std::any_of(weighing.spots.begin(), weighing.spots.end(), is_below);
    if (below) found.warnings.emplace_back("below_chance");
    if (is_kept_by_habit(weighing, rule)) found.warnings.emplace_back("habit_hides");
}

}   // namespace

void compare_and_decide(const Question& question, const Table& table, DecideOn rule, Asked asked, Weighing& weighing) {
    adjust(weighing.spots);
    const bool turns_on_it = rule == DecideOn::overall && weighing.pooled.weighed.similar;
    if (asked == Asked::all || turns_on_it) compare_spots(table, weighing);
    Weighed& pooled = weighing.pooled.weighed;
    const auto unanswered = [](const Spot& spot) { return spot.count.of == 0; };
    if (std::any_of(weighing.spots.begin(), weighing.spots.end(), unanswered)) pooled.bar(Withheld::spot_unanswered);
    if (weighing.untested == Untested::nobody_at_two) pooled.bar(Withheld::nobody_at_two);
    if (weighing.heterogeneity && stats::significant(*weighing.heterogeneity, question.alpha)) pooled.bar(Withheld::spots_differ);
    decide(question, rule, weighing);
}

std::string_view to_text(Untested why) {
    switch (why) {
        case Untested::no:
            return {};
        case Untested::one_spot:
            return "there is one spot";
        case Untested::one_answered:
            return "fewer than two spots have answers";
        case Untested::nobody_at_two:
            return "nobody answered at two spots";
        case Untested::nothing_varies:
            return "nobody was right at one spot and wrong at another";
    }
    std::abort();
}

Weighing weigh_round(const Method& method, const Family& family, const Question& question,
                     std::span<const Observation> observations, const Round& round, const Plan& plan, Asked asked) {
    const Table table = table_of(observations, round.spots.size());
    const std::vector<Places> places = places_of(method, family, observations, round, plan);
    Weighing weighing;
    bool any_uneven = false;
    for (std::size_t j = 0; j < round.spots.size(); ++j) {
        Spot spot = counted(table, j, j + 1);
        spot.name = round.spots[j];
        const bool uneven = places[j].is_uneven();
        any_uneven = any_uneven || uneven;
        weigh_spot(method, family, question, places[j], uneven, spot);
        weighing.spots.push_back(std::move(spot));
    }
    if (weighing.spots.size() == 1) {
        weighing.pooled = weighing.spots.front();
    } else {
        weighing.pooled = counted(table, 0, table.spots);
        if (asked == Asked::all || round.decide_on == DecideOn::overall)
            weigh_spot(method, family, question, places.back(), any_uneven, weighing.pooled);
    }
    weighing.pooled.name.clear();
    if (const auto habit = habit_p(places.back(), family.ways); habit && *habit <= k_alarm) {
        for (Spot& spot : weighing.spots) spot.weighed.bar(Withheld::habit);
        weighing.pooled.weighed.bar(Withheld::habit);
    }
    compare_and_decide(question, table, round.decide_on, asked, weighing);
    return weighing;
}

Verdict verdict_if(const Method& method, const Question& question, const Weighing& weighing, DecideOn rule, std::size_t spot,
                   int change) {
    Weighing then = weighing;
    change_one(method, then.spots[spot], change);
    change_one(method, then.pooled, change);
    adjust(then.spots);
    decide(question, rule, then);
    return combine(then.different, then.similar);
}

std::string_view verdict(const Method& method, const Family& family, std::span<const Observation> observations, const Round& round,
                         const Plan& plan) {
    Question question = question_of(method, round);
    question.confidence.reset();   // no intervals
    const Weighing weighing = weigh_round(method, family, question, observations, round, plan, Asked::verdict);
    return to_text(combine(weighing.different, weighing.similar));
}

RoundFindings analyse(const Method& method, const Family& family, std::span<const Observation> observations, const Round& round,
                      const Plan& plan) {
    const Question question = question_of(method, round);
    const Weighing weighing = weigh_round(method, family, question, observations, round, plan, Asked::all);
    RoundFindings found;
    const bool several = weighing.spots.size() > 1;
    for (const Spot& spot : weighing.spots)
        found.spots.push_back({spot.name, findings_of_spot(method, family, question, spot, several)});
    found.pooled = findings_of_spot(method, family, question, weighing.pooled, false);
    found.heterogeneity = weighing.heterogeneity;
    found.heterogeneity_why = to_text(weighing.untested);
    found.verdict = to_text(combine(weighing.different, weighing.similar));
    found.words = round_words(method, family, question, weighing, round, plan);
    gather_warnings(weighing, round.decide_on, found);
    return found;
}

}   // namespace oddplate::methods::right_answer
