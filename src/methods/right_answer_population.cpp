// The people behind the tasters, where these gave several answers: how far they differ, and what that makes of d'.

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "oddplate/stats/beta_binomial.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/overdispersion.hpp"
#include "oddplate/stats/population.hpp"
#include "oddplate/stats/two_kinds.hpp"
#include "right_answer_table.hpp"

namespace oddplate::methods::right_answer {
namespace {

constexpr std::uint64_t k_seed = 0x7461737465727321;   // fixed: the same answers give the same p
constexpr double k_usual_confidence = 0.9;
constexpr std::int64_t k_enough = 3;   // answers that say something about one person

std::string why_text(stats::NoSpread why) {
    switch (why) {
        case stats::NoSpread::has_one:
            return {};
        case stats::NoSpread::one_taster:
            return "there is one taster";
        case stats::NoSpread::one_answer_each:
            return "everybody gave one answer: people who differ can't be told from luck";
        case stats::NoSpread::all_right:
            return "all answers right";
        case stats::NoSpread::all_wrong:
            return "all answers wrong";
        case stats::NoSpread::not_above_chance:
            return "no more right than guessing gives: nobody is there to differ";
        case stats::NoSpread::flat:
            return "so few answers a taster don't say how far people differ";
    }
    std::abort();
}

void add_limits(Findings& findings, const std::string& key, const stats::Interval& limits) {
    const auto add = [&](const char* end, double limit) {
        findings.add_optional(key + end, std::isfinite(limit) ? std::optional(limit) : std::nullopt, "nothing in the answers bounds it");
    };
    add(".lower", limits.lower);
    add(".upper", limits.upper);
}

void add_overdispersion(const Method& method, std::span<const stats::AlikeCounts> counts, const stats::BetaBinomialFit& fit,
                        Findings& findings) {
    const std::string why = why_text(fit.why);
    findings.add_optional("overdispersion.gamma", fit.gamma ? std::optional(fit.at.gamma) : std::nullopt, why);
    findings.add_optional("overdispersion.gamma_lower", fit.gamma ? std::optional(fit.gamma->lower) : std::nullopt, why);
    findings.add_optional("overdispersion.gamma_upper", fit.gamma ? std::optional(fit.gamma->upper) : std::nullopt, why);
    const stats::Overdispersion differ = stats::tasters_differ(method.link->chance, counts, k_seed);
    if (!differ.p_value) return findings.add("overdispersion.p_value", {}, why_text(differ.why));
    findings.add("overdispersion.p_value", differ.p_value->p);
    findings.add("overdispersion.p_value_error", differ.p_value->error);   // of the simulation; 0 where every outcome was counted
}

void add_d_prime(const Method& method, std::span<const stats::AlikeCounts> counts, double confidence, Findings& findings) {
    const stats::Population population(*method.link, stats::law_for(*method.link), counts);
    const stats::PopulationFit fit = stats::fit_population(population, confidence);
    const std::string why = why_text(fit.why);
    findings.add_optional("population.d_prime.estimate", fit.d_prime, why);
    add_limits(findings, "population.d_prime", fit.d_prime_limits);
    findings.add_optional("population.typical_taster", fit.typical, why);
    if (fit.typical) add_limits(findings, "population.typical_interval", fit.typical_limits);
    findings.add_optional("population.spread", fit.spread, why);
    if (fit.spread) add_limits(findings, "population.spread_interval", fit.spread_limits);
    findings.add("population.law", std::string(stats::to_text(fit.law)));
    findings.add("population.confidence", confidence);
    const bool at_edge = fit.why == stats::NoSpread::all_right || fit.why == stats::NoSpread::all_wrong;
    findings.add("population.interval", std::string(at_edge ? "exact (all answers alike)" : "profile likelihood (approximate)"));
}

/// Where all answers are alike a likelihood has no top to fall from: the count's own interval, carried through to those who can tell.
stats::Interval exact_share(const Method& method, const Count& count, double confidence) {
    const double chance = method.link->chance;
    const stats::Interval limits = count.by_tasters() ? stats::interval_by_tasters(count.correct, count.groups, chance, confidence)
                                                      : stats::clopper_pearson(count.correct, count.of, confidence);
    return {stats::discriminators_from_proportion(chance, limits.lower), stats::discriminators_from_proportion(chance, limits.upper)};
}

}   // namespace

void add_population(const Method& method, const Question& question, const Table& table, Findings& findings) {
    const std::vector<stats::AlikeCounts> counts = stats::alike_counts(by_taster(table));
    const double confidence = question.confidence.value_or(k_usual_confidence);
    const stats::BetaBinomialFit fit = stats::fit_beta_binomial(method.link->chance, counts, confidence);
    add_overdispersion(method, counts, fit, findings);
    findings.add("population.discriminators.estimate", fit.at.pd);
    const bool at_edge = fit.why == stats::NoSpread::all_right || fit.why == stats::NoSpread::all_wrong;
    add_limits(findings, "population.discriminators", at_edge ? exact_share(method, counted(table, 0, table.spots).count, confidence) : fit.pd);
    add_d_prime(method, counts, confidence, findings);
    const auto p = findings.number("overdispersion.p_value");
    if (p) findings.words.push_back({stats::significant(*p, question.alpha) ? "right.tasters.differ" : "right.tasters.quiet", {{"p", *p}}});
}

void add_each_taster(const Method& method, const Question& question, const Table& table, std::span<const std::string> names,
                     Findings& findings) {
    const std::vector<stats::TasterCount> tasters = by_taster(table);
    const std::vector<stats::AlikeCounts> counts = stats::alike_counts(tasters);
    const double chance = method.link->chance;
    const stats::BetaBinomialFit fit = stats::fit_beta_binomial(chance, counts, question.confidence.value_or(k_usual_confidence));
    std::map<std::pair<std::int64_t, std::int64_t>, stats::Telling> known;   // alike tasters are told once
    for (const stats::AlikeCounts& count : counts)
        known.emplace(std::pair{count.of, count.correct}, stats::telling(chance, fit.at, count.correct, count.of));
    List list{.key = "each_taster", .rows = {}};
    const stats::TasterCount* best = nullptr;   // whose answers are the hardest to guess
    double best_p = 2;
    for (std::size_t i = 0; i < tasters.size(); ++i) {
        const stats::TasterCount& taster = tasters[i];
        if (taster.of < k_enough) continue;
        const stats::Telling& telling = known.at({taster.of, taster.correct});
        list.rows.push_back({{"taster", names[i]}, {"correct", taster.correct}, {"of", taster.of},
                             {"tells", telling.mean}, {"tells_mostly", telling.mostly}});
        const double p = stats::binomial_upper(taster.correct, taster.of, chance);
        if (p < best_p) {
            best_p = p;
            best = &taster;
        }
    }
    if (list.rows.empty()) return;
    findings.lists.push_back(std::move(list));
    const auto like_best = std::count_if(tasters.begin(), tasters.end(), [&](const auto& taster) { return taster.of == best->of; });
    if (like_best < 2 || static_cast<double>(best->correct) <= chance * static_cast<double>(best->of)) return;   // nobody to be picked
    findings.words.push_back({"right.tasters.caution",
                              {{"k", best->correct}, {"n", best->of}, {"people", static_cast<std::int64_t>(like_best)},
                               {"luck", static_cast<double>(like_best) * best_p}}});
}

}   // namespace oddplate::methods::right_answer
