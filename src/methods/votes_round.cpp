// A round of votes judged: each spot, all spots together by tasters, and the plan's rule over spots.
//   overall    the pooled votes at the tasters' p
//   any-spot   the direction of the smallest Holm p over spots
//   each-spot  the same direction at every spot
// Spots that are clear both ways withhold the verdict (spots_disagree). Test: unit.methods, votes_round.test.cpp.

#include <algorithm>
#include <cstdlib>
#include <string>
#include <utility>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/cochran.hpp"
#include "oddplate/stats/holm.hpp"
#include "votes.hpp"

namespace oddplate::methods::votes {
namespace {

constexpr std::uint64_t k_seed = 2;   // of the permutations drawn where there are too many to count

/// Picks by order, and whether one order was served more than once oftener than the other.
struct Served {
    stats::TwoOrders picks;
    bool uneven{false};
};

/// At one spot (all spots: -1).
Served served(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan, int spot) {
    const std::vector<Order> orders = method.orders(round, static_cast<int>(plan.versions.size()));
    std::vector<std::int64_t> times(orders.size(), 0);
    Served found;
    for (const Observation& seen : observations) {
        if (spot >= 0 && seen.spot != spot) continue;
        const auto order = static_cast<std::size_t>(seen.order);
        if (order >= orders.size()) std::abort();   // the joining of answers and key has promised an order of this method
        ++times[order];
        if (seen.scored.value == 0) continue;
        const bool new_first = orders[order].versions.front() != 0;
        const bool chose_first = (seen.scored.value > 0) == new_first;
        (new_first ? found.picks.new_first : found.picks.current_first) += 1;
        if (chose_first) (new_first ? found.picks.new_first_chose_first : found.picks.current_first_chose_first) += 1;
    }
    const auto [least, most] = std::minmax_element(times.begin(), times.end());
    found.uneven = least != times.end() && *most - *least > 1;
    return found;
}

std::string why_no_spot_test(const Counted& table) {
    const auto chose = [](const Pile& taster) { return taster.chose() > 0; };
    if (table.spots.size() == 1) return "only one spot was tasted";
    if (std::count_if(table.spots.begin(), table.spots.end(),
                      [&](const auto& spot) { return std::any_of(spot.begin(), spot.end(), chose); }) < 2)
        return "fewer than two spots have votes";
    for (std::size_t taster = 0; taster < table.tasters.size(); ++taster)
        if (std::count_if(table.spots.begin(), table.spots.end(), [&](const auto& spot) { return chose(spot[taster]); }) > 1)
            return "every taster voted the same way wherever he tasted";
    return "nobody chose at two spots";
}

void compare_spots(RoundFindings& judged, const Counted& table) {
    const std::size_t spots = table.spots.size();
    if (spots == 1) {
        judged.heterogeneity_why = why_no_spot_test(table);
        return;
    }
    std::vector<std::int64_t> sets, for_new;
    for (std::size_t taster = 0; taster < table.tasters.size(); ++taster) {
        for (std::size_t spot = 0; spot < spots; ++spot) {
            sets.push_back(table.spots[spot][taster].chose());
            for_new.push_back(table.spots[spot][taster].for_new);
        }
    }
    const stats::SpotTest test = stats::spots_differ({spots, sets, for_new}, k_seed);
    if (test.p_value) {
        judged.heterogeneity = test.p_value->p;
    } else {
        judged.heterogeneity_why = why_no_spot_test(table);
    }
}

/// What a spot's preference rests on: both tests where the orders came out unequal.
double p_needed(const Findings& findings) {
    return std::max(findings.number("p_value").value_or(1), findings.number("p_value_order").value_or(0));
}

struct Ruled {
    std::string_view verdict{k_neither};
    bool both_ways{false};
    std::string spot_new{}, spot_current{};   ///< where each side is clear, the clearest first
};

/// Which way the spots point at alpha, by their own p or by Holm's.
Ruled clear_spots(const std::vector<SpotFindings>& spots, const std::vector<double>& p_values, double alpha) {
    Ruled ruled;
    double best_new = 2, best_current = 2;
    for (std::size_t i = 0; i < spots.size(); ++i) {
        if (spots[i].findings.verdict == k_neither || !stats::significant(p_values[i], alpha)) continue;
        const bool is_new = spots[i].findings.verdict == k_new;
        double& best = is_new ? best_new : best_current;
        if (p_values[i] >= best) continue;
        best = p_values[i];
        (is_new ? ruled.spot_new : ruled.spot_current) = spots[i].spot;
    }
    ruled.both_ways = best_new < 2 && best_current < 2;
    if (!ruled.both_ways && best_new < 2) ruled.verdict = k_new;
    if (!ruled.both_ways && best_current < 2) ruled.verdict = k_current;
    return ruled;
}

Ruled rule_over_spots(const RoundFindings& judged, const Round& round, const std::vector<double>& raw,
                      const std::vector<double>& holm) {
    if (judged.spots.size() == 1)
        return {.verdict = judged.spots.front().findings.verdict == k_new       ? k_new
                           : judged.spots.front().findings.verdict == k_current ? k_current
                                                                                : k_neither};
    if (round.decide_on == DecideOn::each_spot) {
        Ruled ruled = clear_spots(judged.spots, raw, round.alpha);
        const bool all = std::all_of(judged.spots.begin(), judged.spots.end(),
                                     [&](const SpotFindings& spot) { return spot.findings.verdict == ruled.verdict; });
        if (!all) ruled.verdict = k_neither;
        return ruled;
    }
    Ruled ruled = clear_spots(judged.spots, holm, round.alpha);
    if (round.decide_on == DecideOn::overall && !ruled.both_ways) {
        const std::string& pooled = judged.pooled.verdict;
        ruled.verdict = pooled == k_new ? k_new : pooled == k_current ? k_current : k_neither;
    }
    return ruled;
}

/// The rule's own sentence where the pooled votes are not what decides.
void say_rule(RoundFindings& judged, const Ruled& ruled, DecideOn rule) {
    if (ruled.both_ways) {
        judged.warnings.push_back("spots_disagree");
        judged.words.push_back({"votes.spots_disagree", {{"a", ruled.spot_new}, {"b", ruled.spot_current}}});
    } else if (rule == DecideOn::any_spot) {
        const std::string& spot = ruled.verdict == k_new ? ruled.spot_new : ruled.spot_current;
        judged.words.push_back({"votes.any." + std::string(ruled.verdict), {{"spot", spot}}});
    } else if (rule == DecideOn::each_spot) {
        judged.words.push_back({"votes.each." + std::string(ruled.verdict), {}});
    }
}

void say_spots(RoundFindings& judged, double alpha) {
    for (const SpotFindings& spot : judged.spots) {
        const auto votes = [&](const char* key) { return static_cast<std::int64_t>(spot.findings.number(key).value_or(0)); };
        if (votes("for_new") + votes("for_current") == 0) {
            judged.words.push_back({"votes.spot_nobody", {{"spot", spot.spot}}});
            continue;
        }
        const bool several = spot.findings.number("answers").value_or(0) > spot.findings.number("tasters").value_or(0);
        judged.words.push_back({several ? "votes.spot.several" : "votes.spot",
                                {{"spot", spot.spot},
                                 {"k", votes("for_new")},
                                 {"m", votes("for_current")},
                                 {"p", p_needed(spot.findings)},
                                 {"q", spot.findings.number("p_adjusted").value_or(1)}}});
    }
    if (!judged.heterogeneity) return;
    const bool differ = stats::significant(*judged.heterogeneity, alpha);
    judged.words.push_back({differ ? "votes.spots_differ" : "votes.spots_alike", {{"p", *judged.heterogeneity}}});
}

/// What a lead would have had to be, with the people who chose as votes: overall all of them, under the other rules those at the
/// least visited spot.
void say_reach(RoundFindings& judged, const Counted& table, const Round& round) {
    const auto chose = [](const std::vector<Pile>& tasters) {
        return std::count_if(tasters.begin(), tasters.end(), [](const Pile& taster) { return taster.chose() > 0; });
    };
    std::int64_t n = chose(table.pooled);
    if (round.decide_on != DecideOn::overall)
        for (const auto& spot : table.spots)
            if (const auto here = chose(spot); here > 0) n = std::min<std::int64_t>(n, here);
    const double alpha =
        round.decide_on == DecideOn::any_spot ? round.alpha / static_cast<double>(table.spots.size()) : round.alpha;
    if (const auto in_reach = share_in_reach(n, alpha, round.power)) {
        judged.words.push_back({"votes.could_see", {{"n", n}, {"share", *in_reach}, {"power", round.power}}});
    } else if (n > 0) {
        judged.words.push_back({"votes.could_see_none", {{"n", n}}});
    }
}

void say(RoundFindings& judged, const Ruled& ruled, const Counted& table, const Round& round, const Plan& plan, const std::optional<leads::Split>& tastes) {
    const bool several = judged.spots.size() > 1;
    if (several) say_rule(judged, ruled, round.decide_on);
    const bool chose = judged.pooled.number("for_new").value_or(0) + judged.pooled.number("for_current").value_or(0) > 0;
    if (!several || (round.decide_on == DecideOn::overall && !ruled.both_ways) || !chose)   // spots that are clear both ways have no common answer
        judged.words.insert(judged.words.end(), judged.pooled.words.begin(), judged.pooled.words.end());
    if (several) say_spots(judged, round.alpha);
    if (tastes && chose && !plan.same_recipe) say_own_tastes(judged.words, round.alpha, *tastes, ruled.verdict);
    say_reach(judged, table, round);
    if (plan.same_recipe) {
        judged.words.push_back(
            {ruled.verdict == k_neither && !ruled.both_ways ? "votes.same_recipe" : "votes.same_recipe_alarm", {{"alpha", round.alpha}}});
    } else {
        judged.words.push_back({ruled.both_ways ? "leads.next.by_spot" : "votes.next." + std::string(ruled.verdict), {}});
    }
}

/// At each spot and over all of them.
leads::Split add_own_tastes(RoundFindings& judged, const Counted& table, const Plan& plan) {
    const auto asked = [&](std::span<const std::vector<Pile>> spots) { return own_tastes(spots, plan.versions[0].id, plan.versions[1].id); };
    leads::Split all = asked(table.spots);
    leads::add_split(judged.pooled, all);
    const std::span<const std::vector<Pile>> spots(table.spots);
    for (std::size_t spot = 0; spot < spots.size(); ++spot) leads::add_split(judged.spots[spot].findings, spots.size() == 1 ? all : asked(spots.subspan(spot, 1)));
    return all;
}

/// `quick`: only the verdict is wanted, thousands of times.
RoundFindings judged_of(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan, bool quick) {
    const Counted table = counted(observations, round.spots.size());
    RoundFindings judged;
    std::vector<double> raw;
    bool any_uneven = false;
    for (std::size_t spot = 0; spot < round.spots.size(); ++spot) {
        const Served orders = served(method, observations, round, plan, static_cast<int>(spot));
        any_uneven = any_uneven || orders.uneven;
        Ask ask = ask_of(method, round);
        if (orders.uneven) ask.orders = orders.picks;
        judged.spots.push_back({round.spots[spot], weigh_by_tasters(table.spots[spot], ask)});
        raw.push_back(p_needed(judged.spots.back().findings));
    }
    const std::vector<double> holm = stats::holm_adjusted(raw);
    if (round.spots.size() > 1) {
        for (std::size_t spot = 0; spot < holm.size(); ++spot) judged.spots[spot].findings.add("p_adjusted", holm[spot]);
    }
    Ask ask = ask_of(method, round);
    if (any_uneven) ask.orders = served(method, observations, round, plan, -1).picks;
    judged.pooled = weigh_by_tasters(table.pooled, ask);
    compare_spots(judged, table);
    const Ruled ruled = rule_over_spots(judged, round, raw, holm);
    judged.verdict = ruled.verdict;
    std::optional<leads::Split> tastes;
    if (!quick) tastes = add_own_tastes(judged, table, plan);
    say(judged, ruled, table, round, plan, tastes);
    return judged;
}

}   // namespace

Counted counted(std::span<const Observation> observations, std::size_t spots) {
    Counted table;
    for (const Observation& seen : observations) table.tasters.push_back(seen.taster);
    std::sort(table.tasters.begin(), table.tasters.end());
    table.tasters.erase(std::unique(table.tasters.begin(), table.tasters.end()), table.tasters.end());
    table.spots.assign(spots, std::vector<Pile>(table.tasters.size()));
    table.pooled.resize(table.tasters.size());
    for (const Observation& seen : observations) {
        const auto at = std::lower_bound(table.tasters.begin(), table.tasters.end(), seen.taster);
        const auto taster = static_cast<std::size_t>(at - table.tasters.begin());
        const Pile vote{seen.scored.value > 0, seen.scored.value < 0, seen.scored.value == 0};
        table.spots.at(static_cast<std::size_t>(seen.spot))[taster] += vote;
        table.pooled[taster] += vote;
    }
    return table;
}

Ask ask_of(const Method& method, const Round& round) {
    return {.method = method.id,
            .alpha = round.alpha,
            .confidence = 1 - round.alpha,
            .not_less = number(round.settings, "not_less"),
            .may_abstain = may_abstain(round)};
}

RoundFindings analyse(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan) { return judged_of(method, observations, round, plan, false); }

std::string_view verdict(const Method& method, std::span<const Observation> observations, const Round& round, const Plan& plan) {
    const std::string found = judged_of(method, observations, round, plan, true).verdict;
    return found == k_new ? k_new : found == k_current ? k_current : k_neither;
}

}   // namespace oddplate::methods::votes
