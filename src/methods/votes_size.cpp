// One-off questions and the view ahead: how many people a preference needs, and what a panel could find. Sizes count people who
// choose; those who like both alike come on top.

#include <algorithm>
#include <cmath>
#include <utility>

#include "oddplate/core/json.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/preference.hpp"
#include "oddplate/stats/repeats.hpp"
#include "votes.hpp"

namespace oddplate::methods::votes {
namespace {

constexpr std::string_view k_too_many = "more than 1,000,000,000 votes";

void add_size(Findings& findings, const std::optional<stats::PanelSize>& size, const std::string& least_key) {
    const auto whole = [&](std::int64_t stats::PanelSize::*member) { return size ? Value{(*size).*member} : Value{}; };
    const auto real = [&](double stats::PanelSize::*member) { return size ? Value{(*size).*member} : Value{}; };
    const std::string why = size ? "" : std::string(k_too_many);
    findings.add("tasters", whole(&stats::PanelSize::tasters), why);
    findings.add("tasters_safe", whole(&stats::PanelSize::tasters_safe), why);
    findings.add(least_key, whole(&stats::PanelSize::critical), why);
    findings.add("alpha_actual", real(&stats::PanelSize::alpha_actual), why);
    findings.add("power_actual", real(&stats::PanelSize::power_actual), why);
}

/// The round as one count: how many independent votes it has, at which alpha, and how many such counts must all come out.
struct OneCount {
    std::int64_t votes{0};
    double alpha{0.05};
    int all_of{1};
};

/// Overall: a person's several votes are taken as one, which is the cautious side. Any spot: one spot differs and is tested at
/// alpha over the number of spots. Every spot: all differ, taken as independent.
OneCount one_count(const Round& round, const Plan& plan) {
    const auto spots = static_cast<int>(round.spots.size());
    const std::int64_t each = static_cast<std::int64_t>(plan.tasters) * round.spots_each() / spots;
    if (round.decide_on == DecideOn::any_spot) return {each, round.alpha / spots, 1};
    if (round.decide_on == DecideOn::each_spot) return {each, round.alpha, spots};
    return {plan.tasters, round.alpha, 1};
}

/// People, where each is at some of the spots only.
std::int64_t people(std::int64_t votes, const Round& round) {
    if (round.decide_on == DecideOn::overall) return votes;
    const auto spots = static_cast<std::int64_t>(round.spots.size());
    return (votes * spots + round.spots_each() - 1) / round.spots_each();
}

double power_not_less(std::int64_t n, double share, double true_share, double alpha) {
    // The fewest votes that hold: the tail at `share` is significant from there up.
    std::int64_t low = 0, high = n + 1;
    while (low < high) {
        const std::int64_t middle = low + (high - low) / 2;
        if (stats::significant(stats::not_less_p(middle, n, share), alpha)) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low > n ? 0 : stats::binomial_upper(low, n, true_share);
}

void look_ahead_share(Outlook& ahead, double share, const Round& round, const OneCount& count) {
    ahead.chance = std::pow(stats::power_preference(count.votes, share, count.alpha), count.all_of);
    const auto size = stats::size_preference(share, count.alpha, std::pow(round.power, 1.0 / count.all_of));
    if (size) ahead.needed = people(size->tasters_safe, round);
    ahead.words.push_back({"votes.ahead.share", {{"share", share}, {"rest", 1 - share}, {"chance", *ahead.chance}}});
    if (ahead.needed) ahead.words.push_back({"votes.ahead.needed", {{"n", *ahead.needed}, {"power", round.power}}});
    if (*ahead.chance < round.power) ahead.words.push_back({"votes.ahead.ways_out", {}});
}

void look_ahead_not_less(Outlook& ahead, double share, const Round& round, const OneCount& count) {
    const double chance = power_not_less(count.votes, share, 0.5, round.alpha);
    std::optional<std::int64_t> needed;
    if (share < 0.5) {
        if (const auto size = stats::size_not_less(share, 0.5, round.alpha, round.power))
            needed = people(size->tasters_safe, round);
    }
    ahead.words.push_back({"votes.ahead.not_less", {{"share", share}, {"chance", chance}}});
    if (needed) ahead.words.push_back({"votes.ahead.not_less_needed", {{"n", *needed}, {"power", round.power}}});
    if (ahead.chance) return;   // the share was asked for: it is the plan's aim
    ahead.chance = chance;
    ahead.needed = needed;
}

core::Faults size_faults(const Settings& settings) {
    const auto share = number(settings, "share");
    const auto not_less = number(settings, "not_less");
    if (settings.contains("steadiness")) {
        if (share || not_less || settings.contains("tasters")) return {core::found("--steadiness", "another question as well", "one at a time")};
        return {};
    }
    if (settings.contains("tasters") && (share || not_less))
        return {core::found("--tasters", "a share to size for as well", "one of the two", "its curve tells the power at every share")};
    if (settings.contains("tasters")) return {};
    if (share && not_less) return {core::found("--not-less", "--share as well", "one of the two")};
    if (!share && !not_less)
        return {core::found("--share", "nothing", "a share for one recipe (0.65), or --not-less", {}, "missing",
                            core::ErrorKind::usage)};
    const auto truth = number(settings, "true_share");
    if (truth && !not_less) return {core::found("--true-share", "no --not-less", "the two together")};
    if (not_less && !(truth.value_or(0.5) > *not_less)) {
        return {core::found("--not-less", core::describe(*not_less),
                            "a share below the one assumed to be true (" + core::shortest(truth.value_or(0.5)) + ")")};
    }
    return {};
}

}   // namespace

std::optional<double> share_in_reach(std::int64_t n, double alpha, double power) {
    if (!stats::least_votes(n, alpha)) return std::nullopt;
    double low = 0.5, high = 1;   // power rises in the share and is 1 at 1, where everyone votes alike
    for (int step = 0; step < 50; ++step) {
        const double middle = low + (high - low) / 2;
        (stats::power_preference(n, middle, alpha) >= power ? high : low) = middle;
    }
    return high;
}

/// What so many votes find, and their power at shares from an even split to all alike.
static Findings reach(const Method& method, std::int64_t votes, double alpha, double power) {
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("alpha", alpha);
    findings.add("power", power);
    findings.add("tasters", votes);
    const auto least = stats::least_votes(votes, alpha);
    findings.add("least_votes", least ? Value{*least} : Value{}, least ? "" : "so few votes could fall alike by chance");
    const auto share = share_in_reach(votes, alpha, power);
    findings.add_optional("visible.share", share, "so few votes could fall alike by chance");
    if (share) findings.words.push_back({"votes.ahead.reach", {{"n", votes}, {"share", *share}, {"rest", 1 - *share}, {"power", power}}});
    else findings.words.push_back({"votes.ahead.too_few", {{"n", votes}}});
    List list{.key = "power_curve", .rows = {}};
    for (int i = 0; i <= 10; ++i) {
        const double at = 0.5 + i / 20.0;
        list.rows.push_back({{"share", at}, {"power", stats::power_preference(votes, at, alpha)}});
    }
    findings.lists.push_back(std::move(list));
    return findings;
}

core::Result<Findings> count(const Method& method, const Settings& settings) {
    const double alpha = number(settings, "alpha").value_or(0.05);
    const auto undecided = whole(settings, "no_preference");
    const Pile pile{*whole(settings, "for_new"), *whole(settings, "for_current"), undecided.value_or(0)};
    return weigh(pile, {.method = method.id,
                        .alpha = alpha,
                        .confidence = number(settings, "confidence").value_or(1 - alpha),
                        .not_less = number(settings, "not_less"),
                        .may_abstain = undecided.has_value()});
}

/// People for two fresh-coded votes each that show a house split in halves.
static Findings size_split(const Method& method, double steadiness, double alpha, double power) {
    const auto size = stats::size_steady(steadiness, alpha, power);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("alpha", alpha);
    findings.add("power", power);
    findings.add("steadiness", steadiness);
    const std::string why = size ? "" : "more than 500 people";
    findings.add("tasters", size ? Value{size->tasters} : Value{}, why);
    findings.add("tasters_safe", size ? Value{size->tasters_safe} : Value{}, why);
    findings.add("alpha_actual", size ? Value{size->alpha_actual} : Value{}, why);
    findings.add("power_actual", size ? Value{size->power_actual} : Value{}, why);
    if (size) findings.words.push_back({"votes.size.split", {{"n", size->tasters}, {"safe", size->tasters_safe}, {"steadiness", steadiness}, {"power", size->power_actual}}});
    else findings.words.push_back({"tried_out.beyond", {{"most", std::int64_t{500}}}});
    return findings;
}

core::Result<Findings> size(const Method& method, const Settings& settings) {
    if (core::Faults faults = size_faults(settings); !faults.empty()) return faults;
    const double alpha = number(settings, "alpha").value_or(0.05);
    const double power = number(settings, "power").value_or(0.8);
    if (const auto votes = whole(settings, "tasters")) return reach(method, *votes, alpha, power);
    if (const auto steadiness = number(settings, "steadiness")) return size_split(method, *steadiness, alpha, power);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("alpha", alpha);
    findings.add("power", power);
    std::optional<stats::PanelSize> size;
    if (const auto share = number(settings, "share")) {
        findings.add("share", *share);
        size = stats::size_preference(*share, alpha, power);
        add_size(findings, size, "least_votes");
        if (size)
            findings.words.push_back({"votes.size.share",
                                      {{"n", size->tasters},
                                       {"safe", size->tasters_safe},
                                       {"share", *share},
                                       {"rest", 1 - *share},
                                       {"power", power},
                                       {"least", size->critical}}});
    } else {
        const double not_less = *number(settings, "not_less");
        const double truth = number(settings, "true_share").value_or(0.5);
        findings.add("not_less", not_less);
        findings.add("true_share", truth);
        size = stats::size_not_less(not_less, truth, alpha, power);
        add_size(findings, size, "least_votes");
        if (size)
            findings.words.push_back({"votes.size.not_less",
                                      {{"n", size->tasters},
                                       {"safe", size->tasters_safe},
                                       {"share", not_less},
                                       {"truth", truth},
                                       {"power", power},
                                       {"least", size->critical}}});
    }
    findings.words.push_back({size ? "votes.size.choose" : "votes.size.too_many", {}});
    return findings;
}

Outlook outlook(const Method&, const Round& round, const Plan& plan) {
    const OneCount panel = one_count(round, plan);
    Outlook ahead;
    if (const auto share = number(round.settings, "share")) look_ahead_share(ahead, *share, round, panel);
    if (const auto share = number(round.settings, "not_less")) look_ahead_not_less(ahead, *share, round, panel);
    if (const auto reach = share_in_reach(panel.votes, panel.alpha, std::pow(round.power, 1.0 / panel.all_of))) {
        ahead.words.push_back(
            {"votes.ahead.reach", {{"n", panel.votes}, {"share", *reach}, {"rest", 1 - *reach}, {"power", round.power}}});
    } else {
        ahead.words.push_back({"votes.ahead.too_few", {{"n", panel.votes}}});
    }
    if (round.spots.size() > 1) ahead.words.push_back({"votes.ahead." + std::string(to_text(round.decide_on)), {}});
    if (plan.same_recipe) ahead.words.push_back({"votes.ahead.same_recipe", {{"alpha", round.alpha}}});
    return ahead;
}

}   // namespace oddplate::methods::votes
