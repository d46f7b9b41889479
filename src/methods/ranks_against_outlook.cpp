// What a plan that holds each recipe against the usual one will find: the chance of the sign test, exact, from the votes that its trays give.
// Tests: tests/unit/methods/ranks_against.test.cpp

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>
#include <utility>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/preference.hpp"
#include "ranks.hpp"
#include "tried_out.hpp"

namespace oddplate::methods::ranks {
namespace {

/// Which others a person's trays put beside the usual one; his trays of the same two are one vote.
std::int64_t votes_of_one(const std::vector<Order>& orders, std::int64_t taster, int trays) {
    std::set<int> met;
    for (std::int64_t tray = taster * trays; tray < (taster + 1) * trays; ++tray) {
        const std::vector<int>& versions = orders[static_cast<std::size_t>(tray) % orders.size()].versions;
        if (std::find(versions.begin(), versions.end(), 0) != versions.end()) met.insert(versions.begin(), versions.end());
    }
    return std::max<std::int64_t>(0, std::ssize(met) - 1);
}

/// On each of the others, were they spread evenly; the trays are dealt in the order in which they are drawn.
double votes_each(const Method& method, const Round& round, const Plan& plan, std::int64_t people, int trays) {
    const auto versions = static_cast<int>(plan.versions.size());
    const std::vector<Order> orders = method.orders(round, versions);
    std::int64_t votes = 0;
    for (std::int64_t taster = 0; taster < people; ++taster) votes += votes_of_one(orders, taster, trays);
    return static_cast<double>(votes) / (versions - 1);
}

}   // namespace

Outlook outlook_against(const Method& method, const Round& round, const Plan& plan) {
    const auto others = static_cast<std::int64_t>(plan.versions.size()) - 1;
    const double share = number(round.settings, "share").value_or(0.7);
    const tried_out::AtRule rule = tried_out::at_rule(round);
    const std::int64_t people = rule.here(plan.tasters);
    const double a_vote = votes_each(method, round, plan, people, rule.trays) / static_cast<double>(people);   // of a person on one of the others
    const auto votes = static_cast<std::int64_t>(std::floor(a_vote * static_cast<double>(people) + 1e-9));
    const bool ladder = flag(round.settings, "ladder");
    // Two-sided, by Holm's first step; on a ladder the highest level is asked first, one-sided, at alpha whole.
    const double level = ladder ? rule.alpha : rule.alpha / (2 * static_cast<double>(others));
    Outlook ahead{.needed = {}, .chance = rule.chance(votes > 0 ? stats::power_difference(votes, 0.5, share, level) : 0), .words = {}};
    const bool by_pieces = plan.pieces > 1;
    if (by_pieces) ahead = outlook_beside_pieces(method, round, plan);
    else if (const auto size = a_vote > 0 ? stats::size_difference(0.5, share, level, rule.power) : std::nullopt)
        ahead.needed = rule.of_plan(static_cast<std::int64_t>(std::ceil(static_cast<double>(size->tasters_safe) / a_vote - 1e-9)));
    ahead.words.insert(ahead.words.begin(), {ladder ? "ladder.ahead" : rule.together ? "ranks.against.ahead" : rule.all_of > 1 ? "ranks.against.ahead.each" : "ranks.against.ahead.any",
                                             {{"n", votes}, {"others", others}, {"share", share}, {"found", *ahead.chance}}});
    if (const auto margin = number(round.settings, "not_less")) {
        std::int64_t least = 0;
        while (least <= votes && !stats::significant(stats::not_less_p(least, votes, *margin), round.alpha)) ++least;
        double held = least <= votes ? stats::binomial_upper(least, votes, 0.5) : 0.0, all = std::pow(held, static_cast<double>(others));   // they share the usual one, so all at once is no rarer than the product
        if (by_pieces) std::tie(held, all) = chances_to_hold(method, round, plan, *margin);
        const double spots = rule.together ? 1.0 : static_cast<double>(rule.spots);   // none is worse only where none is at any of them
        ahead.words.push_back({rule.together ? "ranks.against.ahead_margin" : "ranks.against.ahead_margin.spots",
                               {{"margin", *margin}, {"found", std::pow(held, spots)}, {"others", others}, {"all", std::pow(all, spots)}}});
    }
    if (Round better = round; !flag(round.settings, "usual_in_every_tray") && a_vote > 0) {
        better.settings["usual_in_every_tray"] = true;
        const double then = votes_each(method, better, plan, people, rule.trays);
        if (then > 1.2 * static_cast<double>(votes)) ahead.words.push_back({"ranks.against.not_on_all", {{"n", votes}, {"then", static_cast<std::int64_t>(std::floor(then + 1e-9))}}});
    }
    return ahead;
}

}   // namespace oddplate::methods::ranks
