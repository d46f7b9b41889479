// Hits and false alarms weighed: D, S with its guards, the estimates, and the keys that tell them.

#include <algorithm>
#include <cmath>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "signals.hpp"

namespace oddplate::methods::signals {
namespace {

constexpr std::uint64_t k_seed = 3;   // of the permutations drawn where there are too many to count
constexpr std::string_view k_no_margin =
    "no margin: neither a difference to detect nor one that still counts as the same was given";
constexpr std::string_view k_one_kind = "one of the two kinds of set has no answers";
constexpr std::string_view k_open_end = "a cell is empty or full: every value on that side fits";

/// Whether counts without any gap, with as many of the signal's word, would pass S; else only luck could.
bool could_pass(const Family& family, const Question& question, const stats::SignalCounts& counts) {
    const std::int64_t said = counts.hits + counts.false_alarms, all = counts.signals + counts.noises;
    stats::SignalCounts level = counts;
    level.hits = std::min(counts.signals, (said * counts.signals + all - 1) / all);
    level.false_alarms = said - level.hits;
    if (level.false_alarms < 0 || level.false_alarms > counts.noises) return true;
    return stats::significant(stats::signal_p_similar(family.rule, level, *question.margin), question.alpha);
}

bool more_false_alarms(const Question& question, const Answers& answers, bool several, const stats::SignalCounts& counts) {
    const auto turned = [](const stats::SignalCounts& one) {
        return stats::SignalCounts{one.false_alarms, one.noises, one.hits, one.signals};
    };
    if (!several) return stats::significant(stats::signal_p(turned(counts)), question.alpha);
    std::vector<stats::SignalCounts> tasters;
    for (const stats::SignalCounts& one : answers.tasters) tasters.push_back(turned(one));
    return stats::significant(stats::signal_p(tasters), question.alpha);
}

/// The fewest hits at which D would hold, everything else the same.
std::optional<std::int64_t> least_hits(const Question& question, const stats::SignalCounts& counts) {
    const auto holds = [&](std::int64_t hits) {
        return stats::significant(stats::signal_p({hits, counts.signals, counts.false_alarms, counts.noises}), question.alpha);
    };
    if (!holds(counts.signals)) return std::nullopt;
    std::int64_t low = 0, high = counts.signals;
    while (low < high) {
        const std::int64_t middle = (low + high) / 2;
        if (holds(middle)) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low;
}

void add_estimate(Findings& findings, const std::string& key, const stats::SignalEstimate& estimate, const std::string& why) {
    findings.add_optional(key + ".estimate", estimate.estimate, why);
    findings.add_optional(key + ".lower", estimate.lower, why);
    findings.add_optional(key + ".upper", estimate.upper, why);
}

bool is_exact(const Weighed& weighed) {
    return weighed.counts.signals + weighed.counts.noises <= stats::k_most_exact_answers;
}

std::string interval_kind(const Weighed& weighed) {
    if (weighed.several) return "by tasters: profile likelihood, widened by the spread between them, and no narrower than the exact one (approximate)";
    return is_exact(weighed) ? "exact, by answers (unconditional, at every criterion)" : "profile likelihood, by answers (approximate)";
}

void add_fit(Findings& findings, const Question& question, const Weighed& weighed) {
    const bool both = weighed.counts.both();
    const std::string why(!both                  ? k_one_kind
                          : !question.confidence ? "alpha of a half or more leaves no confidence: give one"
                                                 : k_open_end);
    const stats::SignalFit fit = weighed.fit.value_or(stats::SignalFit{});
    add_estimate(findings, "d_prime", fit.d, why);
    findings.add_optional("d_prime.standard_error", fit.standard_error,
                          both ? "d' is 0 or a cell is empty or full: no such error there" : std::string(k_one_kind));
    findings.add_optional("d_prime.confidence", question.confidence, why);
    findings.add("d_prime.interval", interval_kind(weighed));
    if (weighed.several) findings.add("d_prime.widened", weighed.spread);
    add_estimate(findings, "criterion", fit.criterion, why);
}

void add_sureness(Findings& findings, const Family& family, const Question& question, const Answers& answers, bool several) {
    if (answers.sure.empty()) return;
    stats::SurenessCounts all = answers.sure.front();
    for (std::size_t t = 1; t < answers.sure.size(); ++t)
        for (std::size_t j = 0; j < all.signals.size(); ++j)
            all.signals[j] += answers.sure[t].signals[j], all.noises[j] += answers.sure[t].noises[j];
    const auto r = stats::r_index(all);
    const std::string why(k_one_kind);
    findings.add_optional("r_index.estimate", r, why);
    if (!r || !question.confidence) return;
    std::int64_t signals = 0, noises = 0;
    for (std::size_t j = 0; j < all.signals.size(); ++j) signals += all.signals[j], noises += all.noises[j];
    const double spread = several ? stats::r_index_spread(answers.sure) : 1;
    const stats::Interval interval = stats::r_index_interval(*r, signals, noises, *question.confidence, spread);
    findings.add("r_index.lower", interval.lower);
    findings.add("r_index.upper", interval.upper);
    findings.add("r_index.interval",
                 std::string("Newcombe 2006, method 5") + (several ? ", widened by the spread between tasters" : ""));
    const stats::PValue p = several ? stats::r_index_p(answers.sure, k_seed) : stats::r_index_p(std::span(&all, 1), k_seed);
    findings.add("r_index.p_value", p.p);
    findings.add("r_index.found", std::string(p.found == stats::Found::exact ? "exact" : "permutations drawn"));
    findings.add("r_index.answers", signals + noises);
    add_estimate(findings, "d_prime_sureness", stats::fit_sureness(family.rule, all, *question.confidence, spread),
                 std::string(k_open_end));
    findings.words.push_back({"signals.r_index", {{"r", *r}, {"lower", interval.lower}, {"upper", interval.upper}, {"p", p.p}}});
}

}   // namespace

stats::SignalCounts Answers::all() const {
    stats::SignalCounts sum;
    for (const stats::SignalCounts& one : tasters) sum += one;
    return sum;
}

std::int64_t Answers::people() const {
    return std::count_if(tasters.begin(), tasters.end(), [](const auto& one) { return one.signals + one.noises > 0; });
}

bool Answers::several() const {
    return std::any_of(tasters.begin(), tasters.end(), [](const auto& one) { return one.signals + one.noises > 1; });
}

void Answers::add(std::size_t taster, bool is_signal, bool said_signal, int sureness) {
    if (tasters.size() <= taster) tasters.resize(taster + 1);
    stats::SignalCounts& one = tasters[taster];
    (is_signal ? one.signals : one.noises) += 1;
    if (said_signal) (is_signal ? one.hits : one.false_alarms) += 1;
    if (sureness <= 0) return;
    const std::vector<std::int64_t> none(2 * k_steps, 0);
    if (sure.size() <= taster) sure.resize(taster + 1, {none, none});
    const int category = said_signal ? k_steps + sureness - 1 : k_steps - sureness;
    ++(is_signal ? sure[taster].signals : sure[taster].noises)[static_cast<std::size_t>(category)];
}

namespace {

/// The wider of two limits of the same side; one that does not exist is the widest.
template <class Wider>
stats::Limit wider(const stats::Limit& a, const stats::Limit& b, Wider pick) {
    return a && b ? stats::Limit(pick(*a, *b)) : std::nullopt;
}

stats::SignalFit fit(const Family& family, const Weighed& weighed, double confidence) {
    stats::SignalFit found = stats::fit_signals(family.rule, weighed.counts, confidence, weighed.spread);
    if (!is_exact(weighed)) return found;
    const stats::SignalEstimate exact = stats::signal_limits(family.rule, weighed.counts, confidence);
    found.d.lower = weighed.several ? wider(found.d.lower, exact.lower, [](double a, double b) { return std::min(a, b); }) : exact.lower;
    found.d.upper = weighed.several ? wider(found.d.upper, exact.upper, [](double a, double b) { return std::max(a, b); }) : exact.upper;
    return found;
}

}   // namespace

Weighed weigh(const Family& family, const Question& question, const Answers& answers, bool several) {
    Weighed weighed{.counts = answers.all(), .several = several, .p_similar = {}, .fit = {}};
    const stats::SignalCounts& counts = weighed.counts;
    if (!counts.both()) return weighed;
    weighed.p_different = several ? stats::signal_p(answers.tasters) : stats::signal_p(counts);
    weighed.different = stats::significant(weighed.p_different, question.alpha);
    weighed.below_chance = !weighed.different && more_false_alarms(question, answers, several, counts);
    if (several) weighed.spread = stats::taster_spread(family.rule, answers.tasters);
    if (question.confidence) weighed.fit = fit(family, weighed, *question.confidence);
    if (!question.margin) return weighed;
    weighed.p_similar = several ? stats::signal_p_similar(family.rule, answers.tasters, *question.margin)
                                : stats::signal_p_similar(family.rule, counts, *question.margin);
    const bool passes = stats::significant(*weighed.p_similar, question.alpha) && !weighed.below_chance;
    weighed.only_by_luck = passes && !could_pass(family, question, counts);
    weighed.similar = passes && !weighed.only_by_luck;
    return weighed;
}

Findings findings_of(const Method& method, const Family& family, const Question& question, const Answers& answers,
                     const Weighed& weighed) {
    const stats::SignalCounts& counts = weighed.counts;
    Findings findings;
    findings.verdict = to_text(weighed.verdict());
    findings.add("method", std::string(method.id));
    findings.add("hits", counts.hits);
    findings.add("signals", counts.signals);
    findings.add("false_alarms", counts.false_alarms);
    findings.add("noises", counts.noises);
    const std::optional<double> different = counts.both() ? std::optional(weighed.p_different) : std::nullopt;
    const std::string no_similar(counts.both() ? k_no_margin : k_one_kind);
    if (question.similarity) {
        findings.add_optional("p_value", weighed.p_similar, no_similar);
        findings.add_optional("p_value_different", different, std::string(k_one_kind));
    } else {
        findings.add_optional("p_value", different, std::string(k_one_kind));
    }
    findings.add_optional("p_value_similar", weighed.p_similar, no_similar);
    const auto rate = [](std::int64_t k, std::int64_t n) {
        return n > 0 ? std::optional(static_cast<double>(k) / static_cast<double>(n)) : std::nullopt;
    };
    findings.add_optional("hit_rate", rate(counts.hits, counts.signals), "no such sets were answered");
    findings.add_optional("false_alarm_rate", rate(counts.false_alarms, counts.noises), "no such sets were answered");
    add_fit(findings, question, weighed);
    findings.add("discriminators", Value{}, "one word about one impression has no share of people who can tell; see d_prime");
    const auto least = counts.both() && !weighed.several ? least_hits(question, counts) : std::nullopt;
    findings.add("least_hits", least ? Value{*least} : Value{},
                 least             ? std::string()
                 : !counts.both()  ? std::string(k_one_kind)
                 : weighed.several ? "where people gave several answers it depends on whose hit it is"
                                   : "with so many false alarms, or so few answers, not even all hits would do");
    if (!question.margin) {
        findings.add("same_below", Value{}, std::string(k_no_margin));
    } else {
        findings.add("same_below.d_prime", *question.margin);
        if (family.rule == stats::SignalRule::yes_no)
            findings.add("same_below.sides", std::string("one-sided: that the other recipe passes for A oftener than A itself is not tested"));
    }
    if (weighed.below_chance) findings.warnings.emplace_back("below_chance");
    findings.words = words_of(method, family, question, weighed);
    add_sureness(findings, family, question, answers, weighed.several);
    return findings;
}

core::Result<Findings> count(const Method& method, const Family& family, const Settings& settings) {
    core::Faults faults;
    for (const Setting& setting : k_count_settings)
        if (setting.required && !settings.contains(setting.key))
            faults.push_back(
                core::found(flag_name(setting.key), "nothing", expectation(setting), {}, "missing", core::ErrorKind::usage));
    if (!faults.empty()) return faults;
    const auto given = [&](std::string_view key) { return whole(settings, key).value_or(0); };
    const stats::SignalCounts counts{given("hits"), given("signals"), given("false_alarms"), given("noises")};
    const auto too_many = [&](std::string_view key, std::int64_t k, std::int64_t n) {
        if (k > n)
            faults.push_back(core::found(flag_name(key), std::to_string(k), "a whole number from 0 to " + std::to_string(n)));
    };
    too_many("hits", counts.hits, counts.signals);
    too_many("false_alarms", counts.false_alarms, counts.noises);
    if (!faults.empty()) return faults;
    const Question question = question_of(settings, number(settings, "alpha").value_or(0.05));
    const Answers answers{{counts}, {}};   // one answer a taster, whoever they were: one group
    return findings_of(method, family, question, answers, weigh(family, question, answers, false));
}

}   // namespace oddplate::methods::signals
