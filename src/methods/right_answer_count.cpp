// K right of n: the limits at which the verdict changes, the two tails and the interval.

#include <algorithm>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

std::optional<std::int64_t> most_passing(const Question& question, const Count& count, double chance) {
    if (!question.margin || count.of == 0) return std::nullopt;
    if (!count.by_tasters()) return stats::most_correct(count.of, question.margin->proportion, question.alpha);
    const std::int64_t most = stats::pooled_most_correct(count.groups, chance, question.margin->discriminators, question.alpha);
    return most < 0 ? std::nullopt : std::optional(most);
}

double similar_tail(const Question& question, const Count& count, double chance, std::int64_t correct) {
    const Difference& margin = *question.margin;
    if (!count.by_tasters()) return stats::binomial_lower(correct, count.of, margin.proportion);
    return stats::pooled_lower_tail(correct, count.groups, chance, margin.discriminators);
}

std::optional<double> p_similar(const Family& family, const Question& question, const Count& count, double chance) {
    if (!question.margin) return std::nullopt;
    const double tail = similar_tail(question, count, chance, count.correct);
    if (family.similar == stats::Sided::one) return tail;
    // The other way round the wrong answers are the right ones: the same tail of n - K.
    return std::max(tail, similar_tail(question, count, chance, count.of - count.correct));
}

stats::Interval interval_of(const Question& question, const Count& count, double chance) {
    if (question.interval == stats::IntervalKind::likelihood)
        return stats::likelihood_interval(count.correct, count.of, *question.confidence, chance);
    return stats::proportion_interval(question.interval, count.correct, count.of, *question.confidence);
}

}   // namespace

std::string_view to_text(Verdict verdict) {
    switch (verdict) {
        case Verdict::different:
            return "different";
        case Verdict::slight:
            return "slight";
        case Verdict::close_enough:
            return "close-enough";
        case Verdict::unsettled:
            return "unsettled";
    }
    return {};
}

bool claims_difference(std::string_view verdict) {
    return verdict == to_text(Verdict::different) || verdict == to_text(Verdict::slight);
}

Verdict combine(bool different, bool similar) {
    if (different) return similar ? Verdict::slight : Verdict::different;
    return similar ? Verdict::close_enough : Verdict::unsettled;
}

void Weighed::bar(difference::Withheld why) {
    if (barred == difference::Withheld::no) barred = why;
    withheld = withheld || similar;
    similar = false;
}

Limits limits_of(const Method& method, const Family& family, const Question& question, const Count& count) {
    const double chance = method.link->chance;
    Limits limits;
    limits.of = count.of;
    limits.both_ways = family.similar == stats::Sided::two;
    if (count.of == 0) return limits;
    limits.least = stats::least_correct(count.of, chance, question.alpha);
    limits.most = most_passing(question, count, chance);
    limits.below = stats::most_correct(count.of, chance, question.alpha).value_or(-1);
    // In whole numbers where the chance is one over a whole number: n/3 itself must pass, whatever 1.0/3 was rounded to.
    const double by_guessing = static_cast<double>(count.of) * chance;
    limits.only_by_luck = limits.most && static_cast<double>(*limits.most) < by_guessing * (1 - 1e-12);
    return limits;
}

bool is_different(const Limits& limits, std::int64_t correct) {
    return limits.least && correct >= *limits.least;
}

bool is_below_chance(const Limits& limits, std::int64_t correct) {
    return correct <= limits.below && !is_different(limits, correct);
}

bool is_similar(const Limits& limits, std::int64_t correct) {
    return limits.most && !limits.only_by_luck && correct <= *limits.most && !is_below_chance(limits, correct) &&
           (!limits.both_ways || correct >= limits.of - *limits.most);
}

Weighed weigh(const Method& method, const Family& family, const Question& question, const Count& count) {
    const double chance = method.link->chance;
    Weighed weighed;
    weighed.limits = limits_of(method, family, question, count);
    if (count.of == 0) return weighed;
    weighed.p_different = stats::binomial_upper(count.correct, count.of, chance);
    weighed.p_similar = p_similar(family, question, count, chance);
    if (question.confidence)
        weighed.interval = count.by_tasters()
                               ? stats::interval_by_tasters(count.correct, count.groups, chance, *question.confidence)
                               : interval_of(question, count, chance);
    weighed.different = is_different(weighed.limits, count.correct);
    weighed.similar = is_similar(weighed.limits, count.correct);
    weighed.below_chance = is_below_chance(weighed.limits, count.correct);
    return weighed;
}

core::Result<Findings> count(const Method& method, const Family& family, const Settings& settings) {
    core::Faults faults = both_given(settings);
    for (const Setting& setting : k_count_settings)
        if (setting.required && !settings.contains(setting.key))
            faults.push_back(
                core::found(flag_name(setting.key), "nothing", expectation(setting), {}, "missing", core::ErrorKind::usage));
    if (!faults.empty()) return faults;
    Count given;
    given.correct = whole(settings, "correct").value_or(0);
    given.of = whole(settings, "of").value_or(0);
    if (given.correct > given.of)
        return core::found("--correct", std::to_string(given.correct), "a whole number from 0 to " + std::to_string(given.of),
                           "of " + std::to_string(given.of) + " answers");
    const Question question = question_of(method, settings, number(settings, "alpha").value_or(0.05));
    return findings_of(method, family, question, given, weigh(method, family, question, given));
}

}   // namespace oddplate::methods::right_answer
