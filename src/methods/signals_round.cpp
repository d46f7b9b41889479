// A round of words: counted by spot and by taster, each count weighed, and the plan's own rule over the spots.

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "difference.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/cochran.hpp"
#include "oddplate/stats/holm.hpp"
#include "oddplate/stats/link.hpp"
#include "signals.hpp"

namespace oddplate::methods::signals {
namespace {

constexpr std::uint64_t k_seed = 4;   // of the permutations drawn where there are too many to count

using Sentences = std::vector<core::Sentence>;

struct Spot {
    std::string name;
    Answers answers;
    Weighed weighed;
    double p_adjusted{1};
};

struct Weighing {
    std::vector<Spot> spots;
    Spot pooled;
    std::optional<double> heterogeneity;
    std::string why_untested;
    bool incomparable{false};   ///< nobody answered at two spots, and some gave several answers
    bool different{false}, similar{false};

    [[nodiscard]] Verdict verdict() const { return combine(different, similar); }
};

void count_answers(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan,
                   Weighing& weighing) {
    const std::vector<Order> orders = method.orders(round, static_cast<int>(plan.versions.size()));
    for (const Observation& seen : observations) {
        const auto order = static_cast<std::size_t>(seen.order), spot = static_cast<std::size_t>(seen.spot);
        if (order >= orders.size() || spot >= weighing.spots.size() || seen.taster < 0)
            std::abort();   // the joining has promised it
        const bool is_signal = orders[order].trait == 1;
        const bool said_signal = (seen.scored.value > 0) == is_signal;
        const int sureness = seen.scored.values.empty() ? 0 : static_cast<int>(seen.scored.values.front());
        for (Answers* answers : {&weighing.spots[spot].answers, &weighing.pooled.answers})
            answers->add(static_cast<std::size_t>(seen.taster), is_signal, said_signal, sureness);
    }
}

/// Whether the rates of right answers differ between the spots, answers exchanged within tasters.
void compare_spots(std::span<const Observation> observations, Weighing& weighing) {
    const std::size_t spots = weighing.spots.size(), tasters = weighing.pooled.answers.tasters.size();
    std::vector<std::int64_t> sets(tasters * spots, 0), right(tasters * spots, 0);
    for (const Observation& seen : observations) {
        const auto cell = static_cast<std::size_t>(seen.taster) * spots + static_cast<std::size_t>(seen.spot);
        ++sets[cell];
        right[cell] += seen.scored.value > 0;
    }
    const stats::SpotTest test = stats::spots_differ({spots, sets, right}, k_seed);
    if (test.p_value) {
        weighing.heterogeneity = test.p_value->p;
        return;
    }
    const auto answered =
        std::count_if(weighing.spots.begin(), weighing.spots.end(), [](const Spot& spot) { return spot.answers.people() > 0; });
    const auto is_at_two = [&](std::size_t taster) {
        const auto first = sets.begin() + static_cast<std::ptrdiff_t>(taster * spots);
        return std::count_if(first, first + static_cast<std::ptrdiff_t>(spots), [](std::int64_t here) { return here > 0; }) > 1;
    };
    weighing.incomparable = answered > 1;
    for (std::size_t taster = 0; taster < tasters; ++taster) weighing.incomparable = weighing.incomparable && !is_at_two(taster);
    weighing.why_untested = spots == 1             ? "there is one spot"
                            : answered < 2         ? "fewer than two spots have answers"
                            : weighing.incomparable ? "nobody answered at two spots"
                                                   : "nobody was right at one spot and wrong at another";
}

void decide(const Question& question, DecideOn rule, Weighing& weighing) {
    const auto at = [](const Spot& spot) {
        return difference::AtSpot{spot.weighed.counts.both(), spot.weighed.different, spot.weighed.similar, spot.p_adjusted};
    };
    std::vector<difference::AtSpot> spots;
    for (const Spot& spot : weighing.spots) spots.push_back(at(spot));
    const auto [different, similar] = difference::decide(rule, question.alpha, spots, at(weighing.pooled));
    weighing.different = different;
    weighing.similar = similar;
}

/// Why nothing is said of all spots together, whatever their answers come to.
difference::Withheld why_withheld(const Question& question, const Weighing& weighing) {
    const auto answered = [](const Spot& spot) { return spot.weighed.counts.both(); };
    if (!std::all_of(weighing.spots.begin(), weighing.spots.end(), answered)) return difference::Withheld::spot_unanswered;
    if (weighing.incomparable) return difference::Withheld::nobody_at_two;
    if (weighing.heterogeneity && stats::significant(*weighing.heterogeneity, question.alpha)) return difference::Withheld::spots_differ;
    return difference::Withheld::no;
}

Weighing weigh_round(const Method& method, const Family& family, const Question& question,
                     std::span<const Observation> observations, const Round& round, const Plan& plan, right_answer::Asked asked) {
    Weighing weighing;
    for (const std::string& name : round.spots) weighing.spots.push_back({.name = name, .answers = {}, .weighed = {}});
    count_answers(method, observations, round, plan, weighing);
    std::vector<double> p_values;
    for (Spot& spot : weighing.spots) {
        spot.weighed = weigh(family, question, spot.answers, spot.answers.several());
        p_values.push_back(spot.weighed.p_different);
    }
    const std::vector<double> adjusted = stats::holm_adjusted(p_values);
    for (std::size_t j = 0; j < adjusted.size(); ++j) weighing.spots[j].p_adjusted = adjusted[j];
    const bool is_overall = round.decide_on == DecideOn::overall;
    if (asked == right_answer::Asked::all || is_overall)
        weighing.pooled.weighed = weigh(family, question, weighing.pooled.answers, weighing.pooled.answers.several());
    if (asked == right_answer::Asked::all || (is_overall && weighing.pooled.weighed.similar)) compare_spots(observations, weighing);
    Weighed& pooled = weighing.pooled.weighed;
    pooled.why_withheld = why_withheld(question, weighing);
    pooled.withheld = pooled.similar && pooled.why_withheld != difference::Withheld::no;
    pooled.similar = pooled.similar && !pooled.withheld;
    decide(question, round.decide_on, weighing);
    return weighing;
}

void say_spots(Sentences& words, const Family& family, const Question& question, const Weighing& weighing) {
    std::size_t passed = 0;
    for (const Spot& spot : weighing.spots) {
        const stats::SignalCounts& counts = spot.weighed.counts;
        passed += spot.weighed.different;
        if (!counts.both()) {
            words.push_back({"right.no_answers_from", {{"spot", spot.name}}});
            continue;
        }
        words.push_back({std::string(family.words) + ".at_spot",
                         {{"spot", spot.name},
                          {"h", counts.hits},
                          {"s", counts.signals},
                          {"f", counts.false_alarms},
                          {"n", counts.noises},
                          {"p", spot.weighed.p_different},
                          {"q", spot.p_adjusted}}});
    }
    if (!weighing.heterogeneity) {
        words.push_back({weighing.incomparable ? "right.between.nobody_at_two" : "right.between.untested", {}});
        return;
    }
    words.push_back(difference::gap_between(*weighing.heterogeneity, question.alpha, passed > 0 && passed < weighing.spots.size()));
}

void say_unseen(Sentences& words, const Method& method, const Family& family, const Weighing& weighing, const Round& round) {
    std::int64_t n = weighing.pooled.weighed.counts.signals + weighing.pooled.weighed.counts.noises;
    double alpha = round.alpha;
    if (round.decide_on != DecideOn::overall && weighing.spots.size() > 1) {
        for (const Spot& spot : weighing.spots)
            if (spot.weighed.counts.both()) n = std::min(n, spot.weighed.counts.signals + spot.weighed.counts.noises);
        if (round.decide_on == DecideOn::any_spot) alpha /= static_cast<double>(weighing.spots.size());
    }
    if (const auto d = visible_d(family, n, share_of(family, round.settings), alpha, round.power)) {
        words.push_back({"signals.unseen", {{"share", stats::proportion_correct(*method.link, *d)}, {"miss", 1 - round.power}}});
    } else {
        words.push_back({"signals.unseen_all", {{"n", n}}});
    }
}

void say_next(Sentences& words, const Method& method, const Family& family, const Question& question, const Weighing& weighing,
              const Round& round, const Plan& plan) {
    const Verdict verdict = weighing.verdict();
    if (plan.same_recipe) {
        words.push_back({verdict == Verdict::different || verdict == Verdict::slight ? "right.next.same_recipe_alarm"
                         : verdict == Verdict::close_enough                          ? "right.next.same_recipe_calm"
                                                                                     : "right.next.same_recipe_open",
                         {}});
        return;
    }
    if (verdict != Verdict::unsettled) {
        words.push_back({verdict == Verdict::different ? (question.similarity ? "right.next.not_there_yet" : "right.next.noticed")
                         : verdict == Verdict::slight  ? "signals.next.slight"
                                                       : "right.next.close_enough",
                         {}});
        return;
    }
    if (round.decide_on == DecideOn::overall && weighing.pooled.weighed.withheld) {   // more people would not mend it
        words.push_back({difference::step_after(weighing.pooled.weighed.why_withheld), {}});
        return;
    }
    if (!question.detect && !question.margin) {
        words.push_back({"signals.next.say_line", {}});
        return;
    }
    const Panel panel = panel_of(round, plan.tasters);
    const double line = question.similarity ? *question.margin : question.detect.value_or(*question.margin);
    const auto asked = asked_of(family, question, question.similarity ? 0 : line, question.similarity,
                                share_of(family, round.settings), panel.alpha);
    const auto size = stats::size_signals(asked, std::pow(round.power, 1.0 / panel.all_of));
    if (!size) {
        words.push_back({"right.next.beyond", {}});
        return;
    }
    words.push_back({question.similarity ? "signals.next.similarity" : "signals.next.difference",
                     {{"m", people_for(size->tasters_safe, round)},
                      {"line", stats::proportion_correct(*method.link, line)},
                      {"power", round.power},
                      {"there", weighing.pooled.answers.people()}}});
}

/// The first sentence under a rule over spots, with the counts of the spot that the rule turned on: where it was clearest, at every
/// spot where it was faintest; few enough, where that is least sure.
core::Sentence by_spot_sentence(const Question& question, const Weighing& weighing, DecideOn rule) {
    const bool any_rule = rule == DecideOn::any_spot, close = weighing.verdict() == Verdict::close_enough;
    const auto all_answered = std::all_of(weighing.spots.begin(), weighing.spots.end(), [](const Spot& spot) { return spot.weighed.counts.both(); });
    const Spot* turns_on = nullptr;
    const auto rank = [&](const Spot& spot) {
        if (close) return spot.weighed.p_similar.value_or(0);
        return any_rule ? -spot.p_adjusted : spot.weighed.p_different;
    };
    for (const Spot& spot : weighing.spots)
        if (spot.weighed.counts.both() && (turns_on == nullptr || rank(spot) > rank(*turns_on))) turns_on = &spot;
    if (turns_on == nullptr || (!any_rule && !all_answered)) return {"right.every.unsettled", {}};
    const stats::SignalCounts& counts = turns_on->weighed.counts;
    return {(any_rule ? "signals.any." : "signals.each.") + std::string(to_text(weighing.verdict())),
            {{"spot", turns_on->name}, {"h", counts.hits}, {"s", counts.signals}, {"f", counts.false_alarms}, {"n", counts.noises},
             {"p", turns_on->weighed.p_different}, {"q", turns_on->p_adjusted}, {"r", turns_on->weighed.p_similar.value_or(1)},
             {"spots", static_cast<std::int64_t>(weighing.spots.size())}, {"alpha", question.alpha}}};
}

Sentences round_words(const Method& method, const Family& family, const Question& question, const Weighing& weighing,
                      const Round& round, const Plan& plan) {
    Sentences words;
    const bool several = weighing.spots.size() > 1, by_spot = several && round.decide_on != DecideOn::overall;
    const Sentences together = words_of(method, family, question, weighing.pooled.weighed);
    if (by_spot && weighing.pooled.weighed.counts.both())
        words.push_back(by_spot_sentence(question, weighing, round.decide_on));
    else
        words = together;
    if (several && weighing.pooled.answers.people() > 0) say_spots(words, family, question, weighing);
    if (!weighing.pooled.weighed.counts.both()) return words;
    if (!by_spot && weighing.pooled.weighed.below_chance) return words;   // the codes are to be checked first
    say_unseen(words, method, family, weighing, round);
    say_next(words, method, family, question, weighing, round, plan);
    return words;
}

Findings findings_of_spot(const Method& method, const Family& family, const Question& question, const Spot& spot, bool several) {
    Findings findings = findings_of(method, family, question, spot.answers, spot.weighed);
    const bool both = spot.weighed.counts.both();
    if (several)
        findings.add_optional("p_adjusted", both ? std::optional(spot.p_adjusted) : std::nullopt,
                              "no answers to both kinds of set");
    findings.add("tasters", spot.answers.people());
    findings.add("answers", spot.weighed.counts.signals + spot.weighed.counts.noises);
    return findings;
}

}   // namespace

std::string_view verdict(const Method& method, const Family& family, std::span<const Observation> observations, const Round& round,
                         const Plan& plan) {
    Question question = question_of(round.settings, round.alpha);
    question.confidence.reset();   // no intervals
    return to_text(weigh_round(method, family, question, observations, round, plan, right_answer::Asked::verdict).verdict());
}

RoundFindings analyse(const Method& method, const Family& family, std::span<const Observation> observations, const Round& round,
                      const Plan& plan) {
    const Question question = question_of(round.settings, round.alpha);
    const Weighing weighing = weigh_round(method, family, question, observations, round, plan, right_answer::Asked::all);
    RoundFindings found;
    const bool several = weighing.spots.size() > 1;
    for (const Spot& spot : weighing.spots)
        found.spots.push_back({spot.name, findings_of_spot(method, family, question, spot, several)});
    found.pooled = findings_of_spot(method, family, question, weighing.pooled, false);
    found.heterogeneity = weighing.heterogeneity;
    found.heterogeneity_why = weighing.why_untested;
    found.verdict = to_text(weighing.verdict());
    found.words = round_words(method, family, question, weighing, round, plan);
    const bool below = round.decide_on == DecideOn::overall
                           ? weighing.pooled.weighed.below_chance
                           : std::any_of(weighing.spots.begin(), weighing.spots.end(),
                                         [](const Spot& spot) { return spot.weighed.below_chance; });
    if (below) found.warnings.emplace_back("below_chance");
    return found;
}

}   // namespace oddplate::methods::signals
