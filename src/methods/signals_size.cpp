// How many answers the question needs, and what a panel can see. Sizes count answers; one a person where nothing else is said.

#include <algorithm>
#include <cmath>

#include "oddplate/core/json.hpp"
#include "difference.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/link.hpp"
#include "signals.hpp"

namespace oddplate::methods::signals {
namespace {

constexpr std::string_view k_too_many = "more than 4,000 answers";

double right_at(const Method& method, double d) {
    return stats::proportion_correct(*method.link, d);
}

core::Faults size_faults(const Family& family, const Settings& settings) {
    const auto detect = number(settings, "detect_d");
    if (!detect && !settings.contains("tasters"))
        return {core::fault(core::ErrorKind::usage, "missing",
                            "say which difference matters: --detect-d D, the gap that `oddplate advise` names; or how many answers there are: --tasters N")};
    const bool similarity = words(settings, "aim") == "similarity";
    const double truth = number(settings, "true_d").value_or(0);
    if (settings.contains("true_d") && !similarity)
        return {core::fault(core::ErrorKind::usage, "usage",
                            "--true-d goes with --aim similarity: the power to find a difference is reckoned at --detect-d")};
    if (similarity && detect && !(truth < *detect))
        return {core::found("--true-d", core::shortest(truth), "a number below the margin (" + core::shortest(*detect) + ")")};
    if (family.rule == stats::SignalRule::same_different) {
        if (auto sound = check_criterion(family, settings); !sound) return sound.faults();
        if (settings.contains("a_sets") || settings.contains("not_a_sets"))
            return {core::found("--a-sets", "a method of pairs", "no such flag: its orders are served equally often")};
    }
    return {};
}

void look_at(Outlook& ahead, const Method& method, const Family& family, const Question& question, const Round& round,
             const Plan& plan) {
    const Panel panel = panel_of(round, plan.tasters);
    const stats::SignalShare share = share_of(family, round.settings);
    const auto chance = [&](bool similarity) {
        const double d = similarity ? 0.0 : *question.detect;
        return std::pow(stats::signal_power(asked_of(family, question, d, similarity, share, panel.alpha), panel.answers),
                        panel.all_of);
    };
    const auto needed = [&](bool similarity) -> std::optional<std::int64_t> {
        const double d = similarity ? 0.0 : *question.detect;
        const auto size = stats::size_signals(asked_of(family, question, d, similarity, share, panel.alpha),
                                              std::pow(round.power, 1.0 / panel.all_of));
        if (!size) return std::nullopt;
        return people_for(size->tasters_safe, round);
    };
    if (question.detect) {
        const double found = chance(false);
        ahead.words.push_back({"signals.ahead.notice", {{"line", right_at(method, *question.detect)}, {"found", found}}});
        if (!question.similarity) ahead.chance = found, ahead.needed = needed(false);
    }
    if (question.margin) {
        const double nobody = chance(true);
        ahead.words.push_back({nobody > 0 ? "signals.ahead.few" : "signals.ahead.no_few",
                               {{"line", right_at(method, *question.margin)}, {"nobody", nobody}}});
        if (question.similarity) ahead.chance = nobody, ahead.needed = needed(true);
    }
}

}   // namespace

core::Status check_criterion(const Family& family, const Settings& settings) {
    if (const auto tau = number(settings, "criterion"); family.rule == stats::SignalRule::same_different && tau && !(*tau > 0))
        return core::found("--criterion", core::shortest(*tau), "a number above 0 for pairs", "", "out-of-range", core::ErrorKind::usage);
    return core::Done{};
}

core::Result<double> add_rates(const Family& family, const Settings& settings, double d, Findings& findings) {
    if (auto sound = check_criterion(family, settings); !sound) return sound.faults();
    const auto given = number(settings, "criterion");
    const double criterion = given.value_or(stats::best_criterion(family.rule, d));
    const stats::SignalRates rates = stats::signal_rates(family.rule, d, criterion);
    findings.add("criterion", Value{criterion});
    findings.add("hit_rate", Value{rates.hit});
    findings.add("false_alarm_rate", Value{rates.false_alarm});
    const bool is_pairs = family.rule == stats::SignalRule::same_different;
    if (!given) return stats::proportion_correct(is_pairs ? stats::same_different_link() : stats::yes_no_link(), d);   // the curve itself, to its last digit
    return (rates.hit + rates.rejection) / 2;
}

Panel panel_of(const Round& round, std::int64_t tasters) {
    const auto spots = static_cast<std::int64_t>(round.spots.size());
    const std::int64_t all = tasters * round.spots_each() * round.sets_per_taster;
    if (round.decide_on == DecideOn::overall)
        return {all, std::int64_t{round.spots_each()} * round.sets_per_taster, round.alpha, 1};
    Panel panel{all / spots, round.sets_per_taster, round.alpha, 1};
    if (round.decide_on == DecideOn::any_spot) panel.alpha /= static_cast<double>(spots);
    if (round.decide_on == DecideOn::each_spot) panel.all_of = static_cast<int>(spots);
    return panel;
}

std::int64_t people_for(std::int64_t answers, const Round& round) {
    const std::int64_t sets = std::int64_t{round.sets_per_taster} * round.spots_each();
    const auto spots = static_cast<std::int64_t>(round.decide_on == DecideOn::overall ? 1 : round.spots.size());
    return (answers * spots + sets - 1) / sets;
}

stats::SignalShare share_of(const Family& family, const Settings& settings) {
    if (family.rule == stats::SignalRule::same_different) return {};
    return {static_cast<int>(whole(settings, "a_sets").value_or(1)), static_cast<int>(whole(settings, "not_a_sets").value_or(1))};
}

stats::SignalQuestion asked_of(const Family& family, const Question& question, double d, bool similarity,
                               const stats::SignalShare& share, double alpha) {
    const double line = similarity ? *question.margin : d;
    return {.rule = family.rule,
            .d = d,
            .criterion = question.criterion_at(family, similarity ? line : d),
            .alpha = alpha,
            .margin = similarity ? question.margin : std::nullopt,
            .share = share};
}

std::optional<double> visible_d(const Family& family, std::int64_t n, const stats::SignalShare& share, double alpha,
                                double power) {
    const auto seen = [&](double d) {
        return stats::signal_power({.rule = family.rule,
                                    .d = d,
                                    .criterion = stats::best_criterion(family.rule, d),
                                    .alpha = alpha,
                                    .share = share},
                                   n) >= power;
    };
    double low = 0, high = 8;
    if (n < 2 || !seen(high)) return std::nullopt;
    for (int step = 0; step < 20; ++step) {
        const double middle = (low + high) / 2;
        (seen(middle) ? high : low) = middle;
    }
    return high;
}

core::Result<Findings> size(const Method& method, const Family& family, const Settings& settings) {
    if (core::Faults faults = size_faults(family, settings); !faults.empty()) return faults;
    if (settings.contains("tasters")) return reach(method, family, settings);
    Question question = question_of(settings, number(settings, "alpha").value_or(0.05));
    const double power = number(settings, "power").value_or(0.8), truth = number(settings, "true_d").value_or(0);
    const double d = question.similarity ? truth : *question.detect;
    const stats::SignalShare share = share_of(family, settings);
    const stats::SignalQuestion asked = asked_of(family, question, d, question.similarity, share, question.alpha);
    const auto size = stats::size_signals(asked, power);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("aim", std::string(question.similarity ? "similarity" : "difference"));
    findings.add("alpha", question.alpha);
    findings.add("power", power);
    findings.add("detect.d_prime", *question.detect);
    findings.add("detect.proportion_correct", right_at(method, *question.detect));
    findings.add("detect.discriminators", Value{}, "one word about one impression has no share of people who can tell");
    findings.add("criterion", asked.criterion);
    const std::string why = size ? "" : std::string(k_too_many);
    const auto count = [&](std::int64_t n) { return size ? Value{n} : Value{}; };
    const stats::PanelSize found = size.value_or(stats::PanelSize{});
    findings.add("tasters", count(found.tasters), why);
    findings.add("tasters_safe", count(found.tasters_safe), why);
    findings.add("signals", count(share.of_signals(found.tasters)), why);
    findings.add("noises", count(found.tasters - share.of_signals(found.tasters)), why);
    findings.add("alpha_actual", size ? Value{found.alpha_actual} : Value{}, why);
    findings.add("power_actual", size ? Value{found.power_actual} : Value{}, why);
    if (question.similarity) findings.add("true_d", truth);
    if (!size) {
        findings.words.push_back({"signals.size.too_many", {}});
        return findings;
    }
    findings.words.push_back({!question.similarity ? "signals.size.difference"
                              : truth > 0          ? "signals.size.similarity_some"
                                                   : "signals.size.similarity",
                              {{"n", found.tasters},
                               {"line", right_at(method, *question.detect)},
                               {"power", found.power_actual},
                               {"true", right_at(method, truth)},
                               {"false", found.alpha_actual}}});
    if (found.tasters_safe > found.tasters) findings.words.push_back({"signals.size.safe", {{"safe", found.tasters_safe}}});
    return findings;
}

Outlook outlook(const Method& method, const Family& family, const Round& round, const Plan& plan) {
    const Question question = question_of(round.settings, round.alpha);
    Outlook ahead;
    look_at(ahead, method, family, question, round, plan);
    const Panel panel = panel_of(round, plan.tasters);
    const auto d = visible_d(family, panel.answers, share_of(family, round.settings), panel.alpha,
                             std::pow(round.power, 1.0 / panel.all_of));
    if (const auto line = question.similarity ? question.margin : question.detect)
        ahead.words.push_back({"right.outlook.gap", {{"share", stats::discriminators_from_d(stats::triangle_link(), *line)}}});
    if (d) {
        ahead.words.push_back(
            {"signals.ahead.visible", {{"n", panel.answers}, {"share", right_at(method, *d)}, {"power", round.power}}});
    } else {
        ahead.words.push_back({"signals.ahead.nothing_visible", {{"n", panel.answers}}});
    }
    if (!ahead.chance) {
        ahead.words.push_back({"signals.ahead.no_line", {}});
    } else if (ahead.needed) {
        ahead.words.push_back({*ahead.chance >= round.power ? "signals.ahead.enough" : "signals.ahead.too_few",
                               {{"needed", *ahead.needed}, {"there", std::int64_t{plan.tasters}}, {"power", round.power}}});
        if (*ahead.chance < round.power) difference::offer_people(ahead.words, *ahead.needed, plan.tasters);
    } else {
        ahead.words.push_back({"signals.size.too_many", {}});
    }
    if (round.spots.size() > 1) ahead.words.push_back({"signals.ahead." + std::string(methods::to_text(round.decide_on)), {}});
    return ahead;
}

}   // namespace oddplate::methods::signals
