// How many people a ranking takes, tried out on made-up panels: no formula holds for the leading one of several over Holm's pairs.
// Tests: tests/unit/methods/ranks.test.cpp

#include <algorithm>
#include <cmath>

#include "oddplate/core/json.hpp"
#include "oddplate/stats/normal.hpp"
#include "ranks.hpp"
#include "tried_out.hpp"
#include "trays.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr double k_share = 0.7;                  // who put the one before any other, where nobody names a share
constexpr std::int64_t k_panels_of_plan = 200, k_panels_of_size = 1000;
constexpr std::int64_t k_most_people = 2000;

/// What a panel is to find: the one that is liked more in front, the second one behind the usual one, (of a ladder's highest level) behind it by
/// itself, one-sided, or that more than the margin put the second one, or all others, before the usual one.
enum class Finds { the_first_in_front, one_behind_the_usual, the_highest_rejected, one_held_to_margin, all_held_to_margin };

/// Pieces of a tray, at random.
std::vector<std::int32_t> dealt(const std::vector<int>& versions, int pieces, core::PhiloxStream& stream) {
    std::vector<std::int32_t> numbers;
    for (const int version : versions) numbers.push_back(version * pieces::k_most + static_cast<std::int32_t>(stream.below(static_cast<std::uint32_t>(pieces))));
    return numbers;
}

/// Panels of tasters whose liking of each recipe is normal with a standard deviation of 1 (Thurstone 1927, Psychological Review 34:273, case V), half of its
/// variance the taster's own and the same on all his trays, half the serving's; one recipe is put before any other by `share` of answers. Found where
/// that one leads, alone or with others that can't be told from it.
/// `pieces` of each recipe, dealt at random and alike in truth: from two on the verdict takes them as a sample of many, which costs chances.
tried_out::Panel panel_of(std::vector<Order> orders, std::size_t versions, int trays, double alpha, double share, int pieces, Finds finds, double margin = 0) {
    const double ahead = std::sqrt(2.0) * stats::normal_quantile(share);
    std::vector<std::string> names(versions);
    return [=, orders = std::move(orders)](std::int64_t people, core::PhiloxStream& stream) {
        const Question question{.alpha = alpha, .expected = {}, .quick = true};
        Ranked ranked{.names = names, .trays = {}, .spots = {}};
        std::vector<double> own(versions);
        for (std::int64_t taster = 0; taster < people; ++taster) {
            for (double& liking : own) liking = stream.normal();
            for (int tray = 0; tray < trays; ++tray) {
                const Order& order = orders[static_cast<std::size_t>(taster * trays + tray) % orders.size()];
                std::vector<double> behind;   // the less, the earlier it is put
                for (const int version : order.versions)
                    behind.push_back(-std::sqrt(0.5) * (own[static_cast<std::size_t>(version)] + stream.normal()) - (version == 0 ? ahead : 0));
                ranked.trays.push_back({static_cast<std::int32_t>(taster), order.versions, behind});
                if (pieces > 1) ranked.pieces.push_back(dealt(order.versions, pieces, stream));
            }
        }
        if (finds == Finds::one_held_to_margin || finds == Finds::all_held_to_margin) {
            const auto all = besides(ranked, margin);
            return std::all_of(all.begin(), all.end(), [&](const Besides& one) { return (finds == Finds::one_held_to_margin && one.pair.b != 1) || (one.not_less && *one.not_less <= alpha); });
        }
        if (finds != Finds::the_first_in_front) {
            const auto all = besides(ranked, std::nullopt);
            const auto shown = [&](const Besides& one) { return finds == Finds::one_behind_the_usual ? one.q <= alpha : one.p_claimed() <= 2 * alpha; };
            return std::any_of(all.begin(), all.end(), [&](const Besides& one) { return one.pair.b == 1 && one.pair.tasters > 0 && shown(one) && one.pair.difference > 0; });
        }
        const Weighed weighed = weigh(question, ranked);
        return weighed.verdict != leads::k_none && weighed.leading.front() == 0;
    };
}

constexpr Setting k_size[] = {
    {.key = "samples", .kind = Kind::whole, .lo = 3, .hi = trays::k_most_versions, .required = true, .help = "how many recipes are put in order"},
    trays::k_tray_size,
    {.key = "sets_per_taster", .kind = Kind::whole, .lo = 1, .hi = 12, .help = "trays of each person (default 1)"},
    {.key = "share", .lo = 0.5, .hi = 1, .open = true, .help = "the share of people who would put one recipe before any other that must not be missed (default 0.7)"},
    k_alpha,
    {.key = "power", .lo = 0, .hi = 1, .open = true, .help = "how surely it is found (default 0.8)"}};

}   // namespace

constinit const std::span<const Setting> k_size_settings{k_size};

core::Result<Findings> size(const Method& method, const Settings& settings) {
    const std::int64_t samples = *whole(settings, "samples"), tray = whole(settings, "tray_size").value_or(samples), sets = whole(settings, "sets_per_taster").value_or(1);
    if (tray > samples) return core::found("--tray-size", std::to_string(tray), "at most " + std::to_string(samples) + ", the number of recipes", {}, "bad-value", core::ErrorKind::usage);
    const double share = number(settings, "share").value_or(k_share), alpha = number(settings, "alpha").value_or(0.05), power = number(settings, "power").value_or(0.8);
    Round round;
    round.settings["tray_size"] = tray;
    const auto panel = panel_of(method.orders(round, static_cast<int>(samples)), static_cast<std::size_t>(samples), static_cast<int>(sets), alpha, share, 1, Finds::the_first_in_front);
    const auto found = tried_out::people_for(panel, power, k_panels_of_size, 2, k_most_people);
    Findings findings;
    findings.add("method", std::string(method.id));
    findings.add("recipes", samples);
    findings.add("tray_size", tray);
    findings.add("alpha", alpha);
    findings.add("power", power);
    findings.add("detect.share", share);
    tried_out::add_people(findings, found, k_panels_of_size, k_most_people);
    if (found)
        findings.words.push_back({"ranks.size", {{"n", found->people}, {"samples", samples}, {"tray", tray}, {"share", share}, {"found", found->chance.estimate}, {"panels", k_panels_of_size}}});
    return findings;
}

namespace {

/// People for the plan's power; where three times as many would not do, pieces are what is missing.
void add_needed(Outlook& ahead, const tried_out::Panel& panel, const tried_out::AtRule& rule, const Round& round, const Plan& plan) {
    const std::int64_t people = std::min<std::int64_t>(rule.here(plan.tasters), k_most_people);
    if (plan.pieces > 1) ahead.words.push_back({"ranks.ahead.pieces", {{"n", std::int64_t{plan.pieces}}}});
    if (*ahead.chance >= round.power) {
        ahead.needed = std::min<std::int64_t>(plan.tasters, k_most_people);   // or fewer; how few is not asked
        return;
    }
    const bool more_help = plan.pieces < 2 || tried_out::try_out(panel, 3 * people, k_panels_of_plan).estimate >= rule.power;
    if (!more_help) {
        ahead.words.push_back({"ranks.ahead.more_pieces", {{"power", round.power}, {"n", rule.of_plan(3 * people)}}});
        return;
    }
    if (const auto found = tried_out::people_for(panel, rule.power, k_panels_of_plan, people, k_most_people)) ahead.needed = rule.of_plan(found->people);
    if (ahead.needed) ahead.words.push_back({"ranks.ahead.needed", {{"power", round.power}, {"needed", *ahead.needed}}});
}

}   // namespace

Outlook outlook(const Method& method, const Round& round, const Plan& plan) {
    if (flag(round.settings, "against_usual")) return outlook_against(method, round, plan);
    const double share = number(round.settings, "share").value_or(k_share);
    const std::size_t versions = plan.versions.size();
    const tried_out::AtRule rule = tried_out::at_rule(round);
    const auto panel = panel_of(method.orders(round, static_cast<int>(versions)), versions, rule.trays, rule.alpha, share, plan.pieces, Finds::the_first_in_front);
    const std::int64_t people = std::min<std::int64_t>(rule.here(plan.tasters), k_most_people);
    Outlook ahead{.needed = {}, .chance = rule.chance(tried_out::try_out(panel, people, k_panels_of_plan).estimate), .words = {}};
    ahead.words.push_back({rule.together ? "ranks.ahead" : rule.all_of > 1 ? "ranks.ahead.each" : "ranks.ahead.any", {{"n", std::int64_t{plan.tasters}}, {"share", share}, {"found", *ahead.chance}}});
    add_needed(ahead, panel, rule, round, plan);
    return ahead;
}

Outlook outlook_beside_pieces(const Method& method, const Round& round, const Plan& plan) {
    const double share = number(round.settings, "share").value_or(k_share);
    const std::size_t versions = plan.versions.size();
    const tried_out::AtRule rule = tried_out::at_rule(round);
    const auto panel = panel_of(method.orders(round, static_cast<int>(versions)), versions, rule.trays, rule.alpha, share, plan.pieces,
                                flag(round.settings, "ladder") ? Finds::the_highest_rejected : Finds::one_behind_the_usual);
    const std::int64_t people = std::min<std::int64_t>(rule.here(plan.tasters), k_most_people);
    Outlook ahead{.needed = {}, .chance = rule.chance(tried_out::try_out(panel, people, k_panels_of_plan).estimate), .words = {}};
    add_needed(ahead, panel, rule, round, plan);
    return ahead;
}

std::pair<double, double> chances_to_hold(const Method& method, const Round& round, const Plan& plan, double margin) {
    const std::size_t versions = plan.versions.size();
    const tried_out::AtRule rule = tried_out::at_rule(round);
    const auto chance = [&](Finds finds) {
        const auto panel = panel_of(method.orders(round, static_cast<int>(versions)), versions, rule.trays, round.alpha, 0.5, plan.pieces, finds, margin);
        return tried_out::try_out(panel, std::min<std::int64_t>(rule.here(plan.tasters), k_most_people), k_panels_of_plan).estimate;
    };
    return {chance(Finds::one_held_to_margin), chance(Finds::all_held_to_margin)};
}

}   // namespace oddplate::methods::ranks
