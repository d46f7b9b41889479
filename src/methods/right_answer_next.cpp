// After a verdict: what to do next, and what it costs in people.

#include <limits>

#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

using Sentences = std::vector<core::Sentence>;

constexpr std::int64_t k_any = std::numeric_limits<std::int64_t>::max();

/// A directed question at the difference estimated here, and at half of it (estimates from one panel run high), where it takes
/// fewer than `fewer_than` people.
void offer_directed(Sentences& words, const char* id, const Method& method, const Question& question, const Weighing& weighing,
                    const Round& round, std::int64_t fewer_than) {
    if (method.link->is_signed || question.similarity) return;
    const Count& count = weighing.pooled.count;
    const auto d = stats::d_from_count(*method.link, count.correct, count.of);
    if (!d || !(*d > 0)) return;
    const auto whole = people_for_directed(*d, question.alpha, round.power);
    const auto half = people_for_directed(*d / 2, question.alpha, round.power);
    if (whole && half && *whole < fewer_than) words.push_back({id, {{"m", *whole}, {"half", *half}}});
}

/// Says how many people would settle it and returns that number.
std::int64_t offer_people(Sentences& words, const Method& method, const Family& family, const Question& question,
                          const Weighing& weighing, const Round& round, const Plan& plan) {
    const auto& wanted = question.similarity ? question.margin : question.detect;
    if (!wanted) {
        words.push_back({"right.next.say_line", {}});
        return k_any;
    }
    const auto needed = people_needed(method, family, question, round, plan, round.sets_per_taster);
    if (!needed) {
        words.push_back({"right.next.beyond", {}});
        return k_any;
    }
    const bool enough =
        10 * weighing.pooled.tasters >= 9 * *needed;   // the panel was about large enough, and the answers fell between
    const std::string aim = question.similarity ? "similarity" : "difference";
    words.push_back(
        {(enough ? "right.next.again_" : "right.next.people_") + aim,
         {{"m", *needed}, {"line", wanted->discriminators}, {"power", round.power}, {"there", weighing.pooled.tasters}}});
    return *needed;
}

/// The same recipe served against itself: what it says about the kitchen and the panel, never about a recipe.
core::Sentence same_recipe_step(Verdict verdict) {
    switch (verdict) {
        case Verdict::different:
        case Verdict::slight:
            return {"right.next.same_recipe_alarm", {}};
        case Verdict::close_enough:
            return {"right.next.same_recipe_calm", {}};
        case Verdict::unsettled:
            break;
    }
    return {"right.next.same_recipe_open", {}};
}

}   // namespace

std::vector<core::Sentence> next_steps(const Method& method, const Family& family, const Question& question,
                                       const Weighing& weighing, const Round& round, const Plan& plan) {
    Sentences words;
    const Verdict verdict = combine(weighing.different, weighing.similar);
    if (plan.same_recipe) return {same_recipe_step(verdict)};
    switch (verdict) {
        case Verdict::different:
            words.push_back({question.similarity ? "right.next.not_there_yet" : "right.next.noticed", {}});
            offer_directed(words, "right.next.which", method, question, weighing, round, k_any);
            break;
        case Verdict::slight:
            words.push_back({"right.next.slight", {}});
            break;
        case Verdict::close_enough:
            words.push_back({"right.next.close_enough", {}});
            break;
        case Verdict::unsettled:
            if (weighing.pooled.weighed.below_chance) break;   // the check of the codes comes first, and is said already
            if (round.decide_on == DecideOn::overall && weighing.pooled.weighed.withheld) {   // more people would not mend it
                words.push_back({difference::step_after(weighing.pooled.weighed.barred), {}});
                break;
            }
            offer_directed(words, "right.next.directed", method, question, weighing, round,
                           offer_people(words, method, family, question, weighing, round, plan));
            break;
    }
    return words;
}

}   // namespace oddplate::methods::right_answer
