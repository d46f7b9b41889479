// Tests: tests/unit/methods/ranks_pairs.test.cpp

#include "ranks_pairs.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/served_first.hpp"

namespace oddplate::methods::ranks {
namespace {

constexpr std::uint64_t k_seed = 16;   // of the permutations
constexpr std::int64_t k_draws = 9'999, k_quick_draws = 999;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

std::string why_none(stats::NoWorths why) {
    switch (why) {
        case stats::NoWorths::nothing: return "nobody compared two of them";
        case stats::NoWorths::ties: return "there are ties";
        case stats::NoWorths::apart: return "some were never compared with the others, not even through a third";
        case stats::NoWorths::one_sided: return "some won or lost every comparison with the others, so their worth has no bound";
        case stats::NoWorths::has_some: break;
    }
    return {};
}

std::vector<stats::PairCount> pairs_of(const Ranked& ranked) {
    std::map<std::tuple<int, int, std::int32_t>, stats::PairCount> all;
    for (const stats::RankedTray& tray : ranked.trays) {
        const int a = tray.samples[0], b = tray.samples[1];
        stats::PairCount& count = all.try_emplace({a, b, tray.taster}, stats::PairCount{.a = a, .b = b, .taster = tray.taster}).first->second;
        (tray.ranks[0] < tray.ranks[1] ? count.for_a : tray.ranks[0] > tray.ranks[1] ? count.for_b : count.ties) += 1;
    }
    std::vector<stats::PairCount> pairs;
    for (const auto& [key, count] : all) pairs.push_back(count);
    return pairs;
}

bool served_both_ways(const std::vector<stats::PairCount>& pairs) {
    return std::any_of(pairs.begin(), pairs.end(), [&](const stats::PairCount& one) {
        return std::any_of(pairs.begin(), pairs.end(), [&](const stats::PairCount& other) { return one.a == other.b && one.b == other.a; });
    });
}

/// The one served first least evenly; none where luck may have done it.
std::optional<ServedFirst> uneven_of(const Ranked& ranked) {
    std::vector<ServedFirst> served;
    for (int sample = 0; sample < ranked.samples(); ++sample) served.push_back({sample, 0, 0});
    for (const stats::RankedTray& tray : ranked.trays) {
        ++served[at(tray.samples[0])].first;
        for (const int sample : tray.samples) ++served[at(sample)].of;
    }
    std::optional<ServedFirst> worst;
    double least = k_alarm / static_cast<double>(served.size());   // Bonferroni over the samples
    for (const ServedFirst& one : served) {
        if (one.of == 0) continue;
        const double p = std::min(1.0, 2 * stats::binomial_lower(std::min(one.first, one.of - one.first), one.of, 0.5));
        if (p <= least) least = p, worst = one;
    }
    return worst;
}

}   // namespace

bool are_pairs(const Ranked& ranked) {
    return ranked.as_served && ranked.compared() > 2 && std::all_of(ranked.trays.begin(), ranked.trays.end(), [](const stats::RankedTray& tray) { return tray.samples.size() == 2; });
}

bool FirstGate::holds_back(double alpha) const { return p && !stats::significant(*p, alpha); }

FirstGate first_gate(const Ranked& ranked, double alpha, bool quick) {
    FirstGate gate{.uneven = uneven_of(ranked), .p = {}, .pairs = {}};
    if (!gate.uneven && !stats::significant(stats::first_habit_p(ranked.trays), alpha)) return gate;
    gate.p = stats::alike_but_for_order(ranked.trays, ranked.samples(), k_seed, quick ? k_quick_draws : k_draws).p;
    gate.pairs = stats::pairs_but_for_order(ranked.trays);
    return gate;
}

Paired paired(const Ranked& ranked, FirstGate gate, double confidence) {
    Paired found{.pairs = pairs_of(ranked), .worths = {}, .scale = {}, .first_p = {}, .gate = std::move(gate)};
    found.both_ways = served_both_ways(found.pairs);
    stats::PairSettings settings{.served_order = found.both_ways, .confidence = confidence};
    found.worths = stats::bradley_terry(found.pairs, ranked.samples(), settings);
    if (found.worths.why == stats::NoWorths::one_sided && settings.served_order) {   // the habit may be what has no bound
        settings.served_order = false;
        found.worths = stats::bradley_terry(found.pairs, ranked.samples(), settings);
    }
    found.scale = stats::thurstone_v(found.pairs, ranked.samples(), settings);
    if (found.worths.served_first && *found.worths.served_first_error > 0)
        found.first_p = 2 * stats::normal_upper(std::fabs(*found.worths.served_first) / *found.worths.served_first_error);
    return found;
}

void add_worths(Findings& findings, const Ranked& ranked, const stats::Worths& worths) {
    if (worths.why != stats::NoWorths::has_some) {
        findings.add("worths", {}, why_none(worths.why));
        return;
    }
    List list{"worths", {}};
    for (std::size_t j = 0; j < worths.samples.size(); ++j) {
        const stats::Worth& worth = worths.samples[j];
        list.rows.push_back({{"name", ranked.names[j]}, {"share_first", worth.share_first}, {"lower", worth.lower}, {"upper", worth.upper}, {"log_worth", worth.log_worth}, {"standard_error", worth.standard_error}});
    }
    findings.lists.push_back(std::move(list));
}

void add_paired(Findings& findings, const Ranked& ranked, const Paired& found) {
    std::erase_if(findings.lists, [](const List& list) { return list.key == "worths" || list.key == "places"; });
    const stats::Worths& worths = found.worths;
    const bool any = worths.why == stats::NoWorths::has_some;
    const std::string why = why_none(worths.why), no_order = any ? found.both_ways ? "these votes set no bound to what that adds" : "no pair was served in both orders" : why;
    const auto where_any = [&](double value) { return any ? std::optional(value) : std::nullopt; };
    findings.add_optional("fit.deviance", where_any(worths.deviance), why);
    findings.add_optional("fit.df", where_any(worths.deviance_df), why);
    findings.add_optional("fit.p_value", where_any(worths.deviance_p), why);
    findings.add_optional("served_first.log_odds", worths.served_first, no_order);
    findings.add_optional("served_first.standard_error", worths.served_first_error, no_order);
    findings.add_optional("served_first.p_value", found.first_p, no_order);
    if (found.gate.p) findings.add("served_first.p_given", *found.gate.p);
    findings.add_optional("tie", worths.tie, any ? "there are no ties" : why);
    if (found.gate.uneven) findings.warnings.emplace_back("orders_uneven");
    add_worths(findings, ranked, worths);
    if (found.scale.why != stats::NoWorths::has_some) {
        findings.add("scale_values", {}, why_none(found.scale.why));
        return;
    }
    List values{"scale_values", {}};
    for (std::size_t j = 0; j < found.scale.samples.size(); ++j)
        values.rows.push_back({{"name", ranked.names[j]}, {"value", found.scale.samples[j].log_worth}, {"standard_error", found.scale.samples[j].standard_error}});
    findings.lists.push_back(std::move(values));
}

void say_paired(std::vector<core::Sentence>& words, const Ranked& ranked, const Paired& found, double alpha, bool differ) {
    if (const auto& uneven = found.gate.uneven; uneven && (differ || found.gate.holds_back(alpha)))
        words.push_back({found.gate.holds_back(alpha) ? "pairs.uneven.open" : "pairs.uneven.holds", {{"name", ranked.names[at(uneven->sample)]}, {"k", uneven->first}, {"n", uneven->of}, {"p", *found.gate.p}}});
    if (found.first_p && stats::significant(*found.first_p, alpha)) words.push_back({*found.worths.served_first > 0 ? "pairs.first_helps" : "pairs.first_hurts", {{"p", *found.first_p}}});
    if (found.worths.why != stats::NoWorths::has_some) return;
    if (found.worths.deviance_df > 0 && stats::significant(found.worths.deviance_p, alpha)) words.push_back({"pairs.misfit", {{"p", found.worths.deviance_p}}});
    words.push_back({"pairs.through_others", {}});
}

}   // namespace oddplate::methods::ranks
