// A round in words: the plan's own rule first, then the gap between the spots, then what this panel could not have seen.

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

using Arguments = std::map<std::string, core::Argument>;
using Sentences = std::vector<core::Sentence>;

constexpr std::int64_t k_few = 12;   // so few answers that only a big difference shows; said in tens of people, not in hundreds

Arguments arguments(const Method& method, const Question& question, const Spot& spot, std::size_t spots) {
    Arguments args{{"k", spot.count.correct},
                   {"n", spot.count.of},
                   {"luck", static_cast<std::int64_t>(std::llround(static_cast<double>(spot.count.of) * method.link->chance))},
                   {"p", spot.weighed.p_different},
                   {"adjusted", spot.p_adjusted},
                   {"alpha", question.alpha},
                   {"spots", static_cast<std::int64_t>(spots)},
                   {"spot", spot.name},
                   {"tasters", spot.tasters}};
    if (question.margin) args.emplace("line", question.margin->discriminators);
    if (spot.weighed.p_similar) args.emplace("q", *spot.weighed.p_similar);
    if (spot.weighed.p_order) args.emplace("order", *spot.weighed.p_order);
    if (spot.weighed.below_chance)
        args.emplace("b", stats::binomial_lower(spot.count.correct, spot.count.of, method.link->chance));
    return args;
}

std::size_t answered(const Weighing& weighing) {
    return static_cast<std::size_t>(
        std::count_if(weighing.spots.begin(), weighing.spots.end(), [](const Spot& spot) { return spot.count.of > 0; }));
}

std::string below_chance_id(const Method& method) {
    return method.link->is_signed ? "right.below_chance_directed" : "right.below_chance";
}

/// One count decides: one spot, or all spots together.
void say_one_count(Sentences& words, const Method& method, const Question& question, const Weighing& weighing) {
    const Spot& spot = weighing.pooled;
    const Arguments args = arguments(method, question, spot, answered(weighing));
    const auto say = [&](std::string id) { words.push_back({std::move(id), args}); };
    const Verdict verdict = combine(weighing.different, weighing.similar);
    if (spot.weighed.below_chance && verdict == Verdict::unsettled) return say(below_chance_id(method));
    const bool hint =
        verdict == Verdict::unsettled && spot.count.of <= k_few && stats::significant(spot.p_for_rule, 2 * question.alpha);
    switch (verdict) {
        case Verdict::different:
            say("right.round.different");
            break;
        case Verdict::slight:
            say("right.round.slight");
            break;
        case Verdict::close_enough:
            say(spot.weighed.limits.both_ways ? "right.round.close_enough_both_ways" : "right.round.close_enough");
            break;
        case Verdict::unsettled:
            say(hint ? "right.round.hint" : spot.count.of <= k_few ? "right.round.unsettled_few" : "right.round.unsettled");
            break;
    }
    if ((verdict == Verdict::unsettled || verdict == Verdict::close_enough) &&
        is_different(spot.weighed.limits, spot.count.correct))
        say(verdict == Verdict::close_enough ? "right.order_unsettles_similar" : "right.order_unsettles");
    if (spot.weighed.withheld || (verdict == Verdict::unsettled && question.margin))
        say(why_not_similar(question, spot.count, spot.weighed));
}

const Spot& spot_with(const Weighing& weighing, double (*rank)(const Spot&)) {
    return *std::max_element(weighing.spots.begin(), weighing.spots.end(),
                             [&](const Spot& a, const Spot& b) { return rank(a) < rank(b); });
}

}   // namespace

void say_by_spot(Sentences& words, const Method& method, const Question& question, const Weighing& weighing, DecideOn rule) {
    const Spot& strongest = spot_with(weighing, [](const Spot& spot) { return -spot.p_for_rule; });
    const Spot& faintest = spot_with(weighing, [](const Spot& spot) { return spot.count.of == 0 ? 2.0 : spot.p_for_rule; });
    const Spot& least_few = spot_with(weighing, [](const Spot& spot) {
        return spot.weighed.similar ? spot.weighed.p_similar.value_or(0) : 2 + spot.weighed.p_similar.value_or(1);
    });
    const bool any = rule == DecideOn::any_spot;
    const Spot& telling = any ? strongest : faintest;
    const auto say = [&](std::string id, const Spot& spot) {
        words.push_back({std::move(id), arguments(method, question, spot, weighing.spots.size())});
    };
    const std::string prefix = any ? "right.any." : "right.each.";
    switch (combine(weighing.different, weighing.similar)) {
        case Verdict::different:
            say(prefix + "different", telling);
            if (least_few.weighed.withheld) say(why_not_similar(question, least_few.count, least_few.weighed), least_few);
            break;
        case Verdict::slight:
            say(prefix + "slight", telling);
            break;
        case Verdict::close_enough:
            say("right.every.close_enough", least_few);
            break;
        case Verdict::unsettled:
            if (question.similarity && question.margin && least_few.count.of > 0 && !least_few.weighed.below_chance) {
                say("right.every.unsettled_few", least_few);   // the question was whether few enough notice
                say(why_not_similar(question, least_few.count, least_few.weighed), least_few);
                if (strongest.count.of > 0) say("right.every.not_noticed", strongest);
                break;
            }
            if (telling.count.of == 0)
                say("right.every.unsettled", telling);   // which spot it is comes next
            else
                say(prefix + "unsettled", telling);
            if (question.margin && least_few.count.of > 0 && !least_few.weighed.below_chance) {
                say("right.every.not_few", least_few);
                say(why_not_similar(question, least_few.count, least_few.weighed), least_few);
            }
            break;
    }
    const char* const below = method.link->is_signed ? "right.every.below_chance_directed" : "right.every.below_chance";
    for (const Spot& spot : weighing.spots)
        if (spot.weighed.below_chance) say(below, spot);
}

namespace {

/// Spots of the plan that brought nothing, so that no sentence reads as if it spoke of them.
void say_unanswered(Sentences& words, const Weighing& weighing) {
    for (const Spot& spot : weighing.spots)
        if (spot.count.of == 0) words.push_back({"right.no_answers_from", {{"spot", spot.name}}});
}

bool has_order_p(const Weighing& weighing) {
    return weighing.pooled.weighed.p_order || std::any_of(weighing.spots.begin(), weighing.spots.end(),
                                                          [](const Spot& spot) { return spot.weighed.p_order.has_value(); });
}

/// Whether one answer otherwise would have changed the verdict, and at which spot.
void say_nearby(Sentences& words, const Method& method, const Question& question, const Weighing& weighing, DecideOn rule) {
    if (has_order_p(weighing)) return;   // two p-values decide together then, and one of them depends on who it was
    const Verdict now = combine(weighing.different, weighing.similar);
    for (std::size_t j = 0; j < weighing.spots.size(); ++j) {
        const Spot& spot = weighing.spots[j];
        for (const int change : {+1, -1}) {
            if (spot.count.correct + change < 0 || spot.count.correct + change > spot.count.of) continue;
            const Verdict then = verdict_if(method, question, weighing, rule, j, change);
            if (then == now) continue;
            const std::string id = change > 0 ? "right.one_more." : "right.one_fewer.";
            if (weighing.spots.size() == 1 || rule == DecideOn::overall) {
                words.push_back({id + std::string(to_text(then)), {}});
            } else {
                words.push_back({change > 0 ? "right.one_more_at" : "right.one_fewer_at", {{"spot", spot.name}}});
            }
        }
        if (rule == DecideOn::overall) return;   // one more is one more, wherever it came from
    }
}

/// Where a spot alone would read otherwise than the rule: said, so that nobody picks the rule afterwards.
void say_rule_counts(Sentences& words, const Weighing& weighing) {
    const Verdict now = combine(weighing.different, weighing.similar);
    for (const Spot& spot : weighing.spots)
        if (combine(spot.weighed.different, spot.weighed.similar) != now) {
            words.push_back({"right.rule_counts", {}});
            return;
        }
}

/// The one thing that two numbers side by side make everybody conclude, and whether it was shown.
void say_between(Sentences& words, const Question& question, const Weighing& weighing) {
    if (weighing.spots.size() < 2) return;
    if (!weighing.heterogeneity) {
        words.push_back({weighing.untested == Untested::one_answered    ? "right.between.one_answered"
                         : weighing.untested == Untested::nobody_at_two ? "right.between.nobody_at_two"
                                                                        : "right.between.untested",
                         {}});
        return;
    }
    std::size_t passed = 0;
    for (const Spot& spot : weighing.spots) passed += spot.weighed.different ? 1 : 0;
    const bool mixed = passed > 0 && passed < weighing.spots.size();
    words.push_back(difference::gap_between(*weighing.heterogeneity, question.alpha, mixed));
}

/// The share who can tell, between two limits. Where S looks both ways, whichever way round they take it: as far from an even split as the
/// farther end of the interval, and no nearer than the nearer one.
struct Share {
    double lower{0}, upper{0};
};

Share share_who_tell(const Method& method, const Weighed& weighed) {
    const double low = weighed.interval->lower, high = weighed.interval->upper;
    if (!weighed.limits.both_ways)
        return {stats::discriminators_from_proportion(method.link->chance, low), stats::discriminators_from_proportion(method.link->chance, high)};
    return {std::max({0.0, 2 * low - 1, 1 - 2 * high}), std::max(std::fabs(2 * low - 1), std::fabs(2 * high - 1))};
}

/// One spot may be clearer than the average over the cut; the sentence says which of the two it means.
void say_people(Sentences& words, const Method& method, const Spot& pooled, std::size_t spots) {
    if (!pooled.weighed.interval || pooled.weighed.below_chance) return;
    const Share share = share_who_tell(method, pooled.weighed);
    const std::string id = pooled.count.of <= k_few ? "right.people.few" : spots > 1 ? "right.people.average" : "right.people";
    words.push_back({id + (pooled.weighed.limits.both_ways && share.lower == 0 ? "_either_way" : ""),
                     {{"lo", share.lower}, {"hi", share.upper}, {"n", pooled.tasters}}});
}

/// What was too small for this panel, at the count that the rule looks at; of a spot without answers it is said that it has
/// none.
void say_unseen(Sentences& words, const Method& method, const Question& question, const Weighing& weighing, const Round& round) {
    const bool pooled = round.decide_on == DecideOn::overall;
    std::int64_t n = weighing.pooled.count.of;
    if (!pooled)
        for (const Spot& spot : weighing.spots)
            if (spot.count.of > 0) n = std::min(n, spot.count.of);
    const double looks = round.decide_on == DecideOn::any_spot ? static_cast<double>(weighing.spots.size()) : 1;
    if (const auto share = visible_share(method.link->chance, n, question.alpha / looks, round.power))
        words.push_back({weighing.spots.size() == 1 ? "right.unseen"
                         : pooled                   ? "right.unseen_on_average"
                                                    : "right.unseen_at_a_spot",
                         {{"share", *share}, {"miss", 1 - round.power}}});
    else
        words.push_back({"right.unseen_all", {{"n", n}}});
}

}   // namespace

std::vector<core::Sentence> round_words(const Method& method, const Family& family, const Question& question,
                                        const Weighing& weighing, const Round& round, const Plan& plan) {
    Sentences words;
    if (weighing.pooled.count.of == 0) {
        words.push_back({"right.no_answers", {}});
        return words;
    }
    if (weighing.spots.size() == 1 || round.decide_on == DecideOn::overall)
        say_one_count(words, method, question, weighing);
    else
        say_by_spot(words, method, question, weighing, round.decide_on);
    if (weighing.similar && is_one_way(method, weighing.pooled.weighed.limits)) 
        words.push_back({"right.round.one_way", {{"attribute", methods::words(round.settings, "attribute").value_or("")}}});
    say_unanswered(words, weighing);
    say_between(words, question, weighing);
    if (weighing.spots.size() > 1) say_rule_counts(words, weighing);
    say_nearby(words, method, question, weighing, round.decide_on);
    if (weighing.spots.size() == 1 && weighing.pooled.weighed.below_chance) return words;   // the codes are to be checked first
    say_people(words, method, weighing.pooled, weighing.spots.size());
    say_unseen(words, method, question, weighing, round);
    const Sentences next = next_steps(method, family, question, weighing, round, plan);
    words.insert(words.end(), next.begin(), next.end());
    return words;
}

}   // namespace oddplate::methods::right_answer
