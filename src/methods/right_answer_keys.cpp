// A weighed count as named values: the keys of `count`, each null with its reason.

#include <algorithm>
#include <cstdlib>

#include "oddplate/stats/link.hpp"
#include "right_answer.hpp"

namespace oddplate::methods::right_answer {
namespace {

constexpr std::string_view k_no_answers = "no answers";
constexpr std::string_view k_all_right = "all answers right";
constexpr std::string_view k_no_margin =
    "no margin: neither a difference to detect nor one that still counts as the same was given";

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

void add_discriminators(Findings& findings, double chance, const Count& count, const Carried& proportion,
                        const std::string& why) {
    const auto carried = [&](const std::optional<double>& p) -> std::optional<double> {
        if (!p) return std::nullopt;
        return stats::discriminators_from_proportion(chance, *p);
    };
    findings.add_optional("discriminators.estimate", share_who_tell(chance, count), std::string(k_no_answers));
    findings.add_optional("discriminators.lower", carried(proportion.lower), why);
    findings.add_optional("discriminators.upper", carried(proportion.upper), why);
    findings.add("discriminators.comparable",
                 Value{std::string("within this method only")});   // at one taste gap methods give other shares
}

/// d' of a proportion; below chance it is 0, whichever way the curve goes on there.
std::optional<double> d_of(const stats::Link& link, double p) {
    if (p <= link.chance) return 0.0;
    return stats::d_from_proportion(link, p);
}

void add_d_prime(Findings& findings, const stats::Link& link, const Count& count, const Carried& proportion,
                 const std::string& why) {
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
        findings.add_optional("d_prime.standard_error", stats::d_standard_error(link, *estimate, count.of),
                              "the curve is flat there");
    add("d_prime.lower", proportion.lower, why);
    add("d_prime.upper", proportion.upper, why);
}

void add_limit(Findings& findings, const Question& question, const Limits& limits) {
    if (limits.of == 0)
        return findings.add(question.similarity ? "most_correct" : "least_correct", Value{}, std::string(k_no_answers));
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
    if (weighed.p_order || weighed.order_untested)
        findings.add_optional("p_value_order", weighed.p_order,
                              "orders were not served alike often, and no exact test given the orders is known for so many possible answers");
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

void add_margin(Findings& findings, const Method& method, const Question& question, const Limits& limits) {
    if (!question.margin) return findings.add("same_below", Value{}, std::string(k_no_margin));
    findings.add_optional("same_below.d_prime", question.margin->d_prime, "no finite difference gives it");
    findings.add("same_below.discriminators", Value{question.margin->discriminators});
    findings.add("same_below.proportion_correct", Value{question.margin->proportion});
    if (limits.both_ways)
        findings.add("same_below.sides", std::string("two-sided: the difference is small either way"));
    else if (is_one_way(method, limits))
        findings.add("same_below.sides", std::string("one-sided: that the version said to have more has less is not tested"));
}

std::string interval_kind(const Question& question, const Count& count) {
    if (count.by_tasters()) return "exact, by tasters: the wider of all alike and of two kinds of taster";
    switch (question.interval) {
        case stats::IntervalKind::clopper_pearson:
            return "exact, by answers (Clopper-Pearson)";
        case stats::IntervalKind::mid_p:
            return "mid-p, by answers (not guaranteed)";
        case stats::IntervalKind::wilson:
            return "score, by answers (Wilson; approximate)";
        case stats::IntervalKind::likelihood:
            return "profile likelihood of d', by answers (approximate; estimate and limits from guessing up)";
    }
    std::abort();
}

}   // namespace

Findings findings_of(const Method& method, const Family&, const Question& question, const Count& count, const Weighed& weighed) {
    const stats::Link& link = *method.link;
    Findings findings;
    findings.verdict = to_text(combine(weighed.different, weighed.similar));
    findings.add("method", Value{std::string(method.id)});
    findings.add("correct", Value{count.correct});
    findings.add("of", Value{count.of});
    findings.add("chance", Value{link.chance});
    findings.marks = Marks{
        .of = count.of, .ringed = count.correct, .luck = static_cast<double>(count.of) * link.chance, .caption = "right.marks"};
    add_tails(findings, question, count, weighed);

    Carried proportion;
    if (count.of > 0) proportion.estimate = static_cast<double>(count.correct) / static_cast<double>(count.of);
    // The likelihood of d' knows no proportion below guessing, neither for its limits nor for the estimate between them.
    if (proportion.estimate && !count.by_tasters() && question.interval == stats::IntervalKind::likelihood)
        proportion.estimate = std::max(*proportion.estimate, link.chance);
    if (weighed.interval) {
        proportion.lower = weighed.interval->lower;
        proportion.upper = weighed.interval->upper;
    }
    const std::string no_interval(count.of == 0 ? k_no_answers : "alpha of a half or more leaves no confidence: give one");
    findings.add_optional("proportion_correct.estimate", proportion.estimate, std::string(k_no_answers));
    findings.add_optional("proportion_correct.lower", proportion.lower, no_interval);
    findings.add_optional("proportion_correct.upper", proportion.upper, no_interval);
    findings.add_optional("proportion_correct.confidence", question.confidence, no_interval);
    findings.add("proportion_correct.interval", Value{interval_kind(question, count)});
    add_discriminators(findings, link.chance, count, proportion, no_interval);
    add_d_prime(findings, link, count, proportion, no_interval);
    add_limit(findings, question, weighed.limits);
    add_margin(findings, method, question, weighed.limits);

    if (weighed.below_chance) findings.warnings.emplace_back("below_chance");
    say_count(findings, method, question, count, weighed);
    return findings;
}

}   // namespace oddplate::methods::right_answer
