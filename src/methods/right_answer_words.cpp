// What a count says in plain words. Sentences carry numbers only; their texts stand in the catalogue under "right.".

#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

using Arguments = std::map<std::string, core::Argument>;

bool is_directed(const Method& method) {
    return method.link->is_signed;
}

Arguments arguments(const Method& method, const Question& question, const Count& count, const Weighed& weighed) {
    const double chance = method.link->chance;
    Arguments args{{"k", count.correct},
                   {"n", count.of},
                   {"luck", static_cast<std::int64_t>(std::llround(static_cast<double>(count.of) * chance))},
                   {"p", weighed.p_different}};
    if (question.margin) args.emplace("line", question.margin->discriminators);
    if (weighed.p_similar) args.emplace("q", *weighed.p_similar);
    if (weighed.below_chance) args.emplace("b", stats::binomial_lower(count.correct, count.of, chance));
    if (weighed.p_order) args.emplace("order", *weighed.p_order);
    return args;
}

void say_nearby(Findings& findings, const Count& count, const Weighed& weighed) {
    const Verdict now = verdict_at(weighed.limits, count.correct);
    if (findings.verdict != to_text(now)) return;   // the order's p decided; one answer more says nothing about that
    const auto say = [&](std::string id, std::int64_t correct) {
        const Verdict then = verdict_at(weighed.limits, correct);
        if (then != now) findings.words.push_back({std::move(id) + std::string(to_text(then)), {}});
    };
    if (count.correct < count.of) say("right.one_more.", count.correct + 1);
    if (count.correct > 0) say("right.one_fewer.", count.correct - 1);
}

}   // namespace

bool is_one_way(const Method& method, const Limits& limits) {
    return is_directed(method) && !limits.both_ways;
}

std::string why_not_similar(const Question& question, const Count& count, const Weighed& weighed) {
    const Limits& limits = weighed.limits;
    if (weighed.withheld) return difference::phrase_of(weighed.barred);
    if (!question.margin) return "right.no_line";
    if (!limits.most || limits.only_by_luck) return "right.too_few_for_few";
    if (limits.both_ways && count.correct < limits.of - *limits.most) return "right.maybe_other_way";
    return "right.maybe_many";
}

void say_count(Findings& findings, const Method& method, const Question& question, const Count& count, const Weighed& weighed) {
    if (count.of == 0) {
        findings.words.push_back({"right.no_answers", {}});
        return;
    }
    const Arguments args = arguments(method, question, count, weighed);
    const auto say = [&](std::string id) { findings.words.push_back({std::move(id), args}); };
    switch (combine(weighed.different, weighed.similar)) {
        case Verdict::different:
            say("right.different");
            if (question.margin) say(weighed.withheld ? why_not_similar(question, count, weighed) : "right.few_not_shown");
            break;
        case Verdict::slight:
            say("right.slight");
            if (is_one_way(method, weighed.limits)) say("right.one_way");
            break;
        case Verdict::close_enough:
            say(weighed.limits.both_ways ? "right.close_enough_both_ways" : "right.close_enough");
            if (is_one_way(method, weighed.limits)) say("right.one_way");
            if (weighed.p_order && is_different(weighed.limits, count.correct)) say("right.order_unsettles_similar");
            break;
        case Verdict::unsettled:
            if (weighed.below_chance) {
                say(is_directed(method) ? "right.below_chance_directed" : "right.below_chance");
                break;
            }
            say("right.unsettled");
            if (weighed.p_order && is_different(weighed.limits, count.correct)) say("right.order_unsettles");
            say(why_not_similar(question, count, weighed));
            break;
    }
    say_nearby(findings, count, weighed);
}

}   // namespace oddplate::methods::right_answer
