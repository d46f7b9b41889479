// After a verdict: what to do next, and what it costs in people.

#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

using Sentences = std::vector<core::Sentence>;

/// A directed question at the difference estimated here, and at half of it: estimates from one panel run high.
void offer_directed(Sentences& words, const Method& method, const Question& question, const Weighing& weighing, const Round& round) {
    if (method.link->is_signed) return;
    const Count& count = weighing.pooled.count;
    const auto d = stats::d_from_count(*method.link, count.correct, count.of);
    if (!d || !(*d > 0)) return;
    const auto whole = people_for_directed(*d, question.alpha, round.power);
    const auto half = people_for_directed(*d / 2, question.alpha, round.power);
    if (whole && half) words.push_back({"right.next.directed", {{"m", *whole}, {"half", *half}}});
}

void offer_people(Sentences& words, const Method& method, const Family& family, const Question& question, const Weighing& weighing,
                  const Round& round) {
    const auto needed = people_needed(method, family, question, round, round.sets_per_taster);
    if (!needed) {
        words.push_back({"right.next.say_line", {}});
        return;
    }
    const auto& wanted = question.similarity ? question.margin : question.detect;
    words.push_back({question.similarity ? "right.next.people_similarity" : "right.next.people_difference",
                     {{"m", *needed}, {"line", wanted->discriminators}, {"power", round.power}, {"there", weighing.pooled.tasters}}});
}

}   // namespace

std::vector<core::Sentence> next_steps(const Method& method, const Family& family, const Question& question, const Weighing& weighing,
                                       const Round& round) {
    Sentences words;
    switch (combine(weighing.different, weighing.similar)) {
        case Verdict::different:
            words.push_back({question.similarity ? "right.next.not_there_yet" : "right.next.noticed", {}});
            offer_directed(words, method, question, weighing, round);
            break;
        case Verdict::slight: words.push_back({"right.next.slight", {}}); break;
        case Verdict::close_enough: words.push_back({"right.next.close_enough", {}}); break;
        case Verdict::unsettled:
            if (weighing.pooled.weighed.below_chance) break;   // the check of the codes comes first, and is said already
            offer_people(words, method, family, question, weighing, round);
            offer_directed(words, method, question, weighing, round);
            break;
    }
    return words;
}

}   // namespace oddplate::methods::right_answer
