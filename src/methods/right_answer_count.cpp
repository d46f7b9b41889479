// K right of n: the limits at which the verdict changes, the two tails, the interval, and all of it as named values.

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

constexpr std::string_view k_no_answers = "no answers";
constexpr std::string_view k_all_right = "all answers right";
constexpr std::string_view k_no_margin = "no margin: neither a difference to detect nor one that still counts as the same was given";

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

/// A proportion's estimate and limits, carried through the curve.
struct Carried {
    std::optional<double> estimate, lower, upper;
};

/// (K - n c) / (n (1 - c)), formed from the counts: 5/16 for 13 of 24 in a triangle, to the last digit.
std::optional<double> share_who_tell(double chance, const Count& count) {
    if (count.of == 0) return std::nullopt;
    const double n = static_cast<double>(count.of);
    return std::max(0.0, (static_cast<double>(count.correct) - n * chance) / (n - n * chance));
}

void add_discriminators(Findings& findings, double chance, const Count& count, const Carried& proportion, const std::string& why) {
    const auto carried = [&](const std::optional<double>& p) -> std::optional<double> {
        if (!p) return std::nullopt;
        return stats::discriminators_from_proportion(chance, *p);
    };
    findings.add_optional("discriminators.estimate", share_who_tell(chance, count), std::string(k_no_answers));
    findings.add_optional("discriminators.lower", carried(proportion.lower), why);
    findings.add_optional("discriminators.upper", carried(proportion.upper), why);
    findings.add("discriminators.comparable", Value{std::string("within this method only")});   // at one taste gap methods give other shares
}

/// d' of a proportion; below chance it is 0, whichever way the curve goes on there.
std::optional<double> d_of(const stats::Link& link, double p) {
    if (p <= link.chance) return 0.0;
    return stats::d_from_proportion(link, p);
}

void add_d_prime(Findings& findings, const stats::Link& link, const Count& count, const Carried& proportion, const std::string& why) {
    const auto add = [&](const char* key, const std::optional<double>& p, const std::string& absent) {
        if (!p) return findings.add(key, Value{}, absent);
        findings.add_optional(key, d_of(link, *p), std::string(k_all_right));
    };
    std::optional<double> estimate;
    if (proportion.estimate)
        estimate = *proportion.estimate <= link.chance ? std::optional(0.0) : stats::d_from_count(link, count.correct, count.of);
    const std::string no_estimate(count.of == 0 ? k_no_answers : k_all_right);
    findings.add_optional("d_prime.estimate", estimate, no_estimate);

    const bool at_or_below = proportion.estimate && *proportion.estimate <= link.chance;
    if (!estimate)
        findings.add("d_prime.standard_error", Value{}, no_estimate);
    else if (at_or_below)
        findings.add("d_prime.standard_error", Value{}, "no more right than guessing gives: the curve is cut off at 0 there");
    else
        findings.add_optional("d_prime.standard_error", stats::d_standard_error(link, *estimate, count.of), "the curve is flat there");
    add("d_prime.lower", proportion.lower, why);
    add("d_prime.upper", proportion.upper, why);
}

void add_limit(Findings& findings, const Question& question, const Limits& limits) {
    const auto value = [](const std::optional<std::int64_t>& k) { return k ? Value{*k} : Value{}; };
    if (!question.similarity)
        findings.add("least_correct", value(limits.least),
                     limits.least ? "" : "so few answers could come by guessing alone even if all were right");
    else
        findings.add("most_correct", value(limits.most),
                     limits.most ? std::string{}
                                 : std::string(question.margin ? "so few answers pass not even with none right" : k_no_margin));
}

void add_tails(Findings& findings, const Question& question, const Count& count, const Weighed& weighed) {
    if (weighed.p_order) findings.add("p_value_order", Value{*weighed.p_order});
    const std::string no_similar(count.of == 0 ? k_no_answers : k_no_margin);
    const std::optional<double> different = count.of == 0 ? std::nullopt : std::optional(weighed.p_different);
    if (question.similarity) {
        findings.add_optional("p_value", weighed.p_similar, no_similar);
        findings.add_optional("p_value_different", different, std::string(k_no_answers));
    } else {
        findings.add_optional("p_value", different, std::string(k_no_answers));
    }
    findings.add_optional("p_value_similar", weighed.p_similar, no_similar);
}

void add_margin(Findings& findings, const Question& question) {
    if (!question.margin) return findings.add("same_below", Value{}, std::string(k_no_margin));
    findings.add_optional("same_below.d_prime", question.margin->d_prime, "no finite difference gives it");
    findings.add("same_below.discriminators", Value{question.margin->discriminators});
    findings.add("same_below.proportion_correct", Value{question.margin->proportion});
}

std::string interval_kind(const Count& count) {
    return count.by_tasters() ? "exact, by tasters: the wider of all alike and of two kinds of taster"
                              : "exact, by answers (Clopper-Pearson)";
}

}   // namespace

std::string_view to_text(Verdict verdict) {
    switch (verdict) {
        case Verdict::different: return "different";
        case Verdict::slight: return "slight";
        case Verdict::close_enough: return "close-enough";
        case Verdict::unsettled: return "unsettled";
    }
    return {};
}

Verdict combine(bool different, bool similar) {
    if (different) return similar ? Verdict::slight : Verdict::different;
    return similar ? Verdict::close_enough : Verdict::unsettled;
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

bool is_different(const Limits& limits, std::int64_t correct) { return limits.least && correct >= *limits.least; }

bool is_below_chance(const Limits& limits, std::int64_t correct) { return correct <= limits.below && !is_different(limits, correct); }

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
        weighed.interval = count.by_tasters() ? stats::interval_by_tasters(count.correct, count.groups, chance, *question.confidence)
                                              : stats::clopper_pearson(count.correct, count.of, *question.confidence);
    weighed.different = is_different(weighed.limits, count.correct);
    weighed.similar = is_similar(weighed.limits, count.correct);
    weighed.below_chance = is_below_chance(weighed.limits, count.correct);
    return weighed;
}

Findings findings_of(const Method& method, const Family&, const Question& question, const Count& count, const Weighed& weighed) {
    const stats::Link& link = *method.link;
    Findings findings;
    findings.verdict = to_text(combine(weighed.different, weighed.similar));
    findings.add("method", Value{std::string(method.id)});
    findings.add("correct", Value{count.correct});
    findings.add("of", Value{count.of});
    findings.add("chance", Value{link.chance});
    add_tails(findings, question, count, weighed);

    Carried proportion;
    if (count.of > 0) proportion.estimate = static_cast<double>(count.correct) / static_cast<double>(count.of);
    if (weighed.interval) {
        proportion.lower = weighed.interval->lower;
        proportion.upper = weighed.interval->upper;
    }
    const std::string no_interval(count.of == 0 ? k_no_answers : "alpha of a half or more leaves no confidence: give one");
    findings.add_optional("proportion_correct.estimate", proportion.estimate, std::string(k_no_answers));
    findings.add_optional("proportion_correct.lower", proportion.lower, no_interval);
    findings.add_optional("proportion_correct.upper", proportion.upper, no_interval);
    findings.add_optional("proportion_correct.confidence", question.confidence, no_interval);
    findings.add("proportion_correct.interval", Value{interval_kind(count)});
    add_discriminators(findings, link.chance, count, proportion, no_interval);
    add_d_prime(findings, link, count, proportion, no_interval);
    add_limit(findings, question, weighed.limits);
    add_margin(findings, question);

    if (weighed.below_chance) findings.warnings.emplace_back("below_chance");
    say_count(findings, method, question, count, weighed);
    return findings;
}

core::Result<Findings> count(const Method& method, const Family& family, const Settings& settings) {
    core::Faults faults = both_given(settings);
    for (const Setting& setting : k_count_settings)
        if (setting.required && !settings.contains(setting.key))
            faults.push_back(core::found(flag_name(setting.key), "nothing", expectation(setting), {}, "missing", core::ErrorKind::usage));
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
