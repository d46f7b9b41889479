// Ticks weighed, word by word. Tests: tests/unit/methods/ticks.test.cpp

#include <algorithm>
#include <map>
#include <set>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/holm.hpp"
#include "pieces.hpp"
#include "shares.hpp"
#include "ticks.hpp"

namespace oddplate::methods::ticks {
namespace {

constexpr std::uint64_t k_seed = 21;      // of shuffles drawn where there are too many orders to count
constexpr double k_budget = 1e6;          // a dozen words at four spots are a few seconds at most
constexpr double k_quick_budget = 2e5;
constexpr std::int64_t k_quick_draws = 999;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// The trays as ranks of one word: what was ticked before what was not.
std::vector<stats::RankedTray> ranked_by(const Ticked& ticked, int word) {
    std::vector<stats::RankedTray> trays;
    for (const Tray& tray : ticked.trays) {
        stats::RankedTray ranked{.taster = tray.taster, .samples = tray.samples, .ranks = {}};
        for (const std::vector<bool>& portion : tray.ticked) ranked.ranks.push_back(portion[at(word)] ? 1 : 2);
        trays.push_back(std::move(ranked));
    }
    return trays;
}

/// In simulations the asymptotic tail decides where it is clear of alpha over all words; near it the test's own.
stats::PValue p_of(const Question& question, const Ticked& ticked, std::span<const stats::RankedTray> trays, const stats::RankStatistic& found) {
    const int samples = static_cast<int>(ticked.samples.size());
    const double p = found.p_chi_square;
    if (question.quick && (p > 1.4 * question.alpha || p < 0.4 * question.alpha / static_cast<double>(ticked.words.size()))) return {p, stats::Found::normal, 0, 0};
    if (question.quick) return stats::rank_p(trays, samples, k_seed, k_quick_budget, k_quick_draws);
    return stats::rank_p(trays, samples, k_seed, k_budget);
}

/// The word's ticks by the pieces that they were given to.
std::optional<pieces::Between> by_pieces(const Ticked& ticked, int word) {
    std::vector<pieces::Tray> trays;
    for (const Tray& tray : ticked.trays) {
        if (tray.pieces.size() != tray.samples.size()) return std::nullopt;
        pieces::Tray one{tray.samples, {}, tray.pieces};
        for (const std::vector<bool>& portion : tray.ticked) one.values.push_back(portion[at(word)] ? 1 : 0);
        trays.push_back(std::move(one));
    }
    return pieces::between(trays, 0.0);   // the test of all, and each pair by itself
}

using Rates = std::map<std::int32_t, std::pair<double, double>>;   // taster: ticks, trays

Share share_of(const Question& question, const Ticked& ticked, int word, int sample) {
    Share share{.word = word, .sample = sample};
    Rates by_taster;
    for (const Tray& tray : ticked.trays)
        for (std::size_t i = 0; i < tray.samples.size(); ++i) {
            if (tray.samples[i] != sample) continue;
            auto& [ticks, trays] = by_taster[tray.taster];
            ticks += tray.ticked[i][at(word)] ? 1 : 0;
            trays += 1;
        }
    std::vector<double> rates;
    for (const auto& [taster, counted] : by_taster) {
        rates.push_back(counted.first / counted.second);
        share.ticks += static_cast<std::int64_t>(counted.first);
        share.trays += static_cast<std::int64_t>(counted.second);
        share.share += rates.back();
    }
    share.people = static_cast<std::int64_t>(rates.size());
    if (rates.empty()) return share;
    share.share /= static_cast<double>(rates.size());
    share.interval = shares::limits(rates, share.trays == share.people, question.confidence);
    return share;
}

/// Each person's ticks for b less those for a, over the trays that held both, as a share of those trays.
std::vector<double> leans_of(const Ticked& ticked, int word, int a, int b) {
    Rates by_taster;
    for (const Tray& tray : ticked.trays) {
        const auto first = std::find(tray.samples.begin(), tray.samples.end(), a), second = std::find(tray.samples.begin(), tray.samples.end(), b);
        if (first == tray.samples.end() || second == tray.samples.end()) continue;
        const auto is = [&](auto where) { return tray.ticked[static_cast<std::size_t>(where - tray.samples.begin())][at(word)] ? 1.0 : 0.0; };
        auto& [lean, trays] = by_taster[tray.taster];
        lean += is(second) - is(first);
        trays += 1;
    }
    std::vector<double> leans;
    for (const auto& [taster, counted] : by_taster) leans.push_back(counted.first / counted.second);
    return leans;
}

void add_gaps(Weighed& weighed, const Question& question, const Ticked& ticked, std::span<const stats::RankedTray> trays, int word, const std::optional<pieces::Between>& pieces) {
    for (const stats::RankPair& pair : stats::rank_pairs(trays, static_cast<int>(ticked.samples.size()), k_seed)) {
        Gap gap{.word = word, .a = pair.a, .b = pair.b, .people = pair.tasters, .a_only = pair.a_first, .b_only = pair.b_first, .difference = 0, .p = pair.p.p};
        const std::vector<double> leans = leans_of(ticked, word, pair.a, pair.b);
        for (const double lean : leans) gap.difference += lean;
        if (!leans.empty()) gap.difference /= static_cast<double>(leans.size()), gap.interval = shares::gap_limits(leans, question.confidence);
        // What the exact test doesn't show, limits don't either: the z-limits are a little narrower than it.
        if (gap.people > 0 && gap.p > 1 - question.confidence) gap.interval = {std::min(0.0, gap.interval.lower), std::max(0.0, gap.interval.upper)};
        if (pieces)
            if (const auto found = pieces->pairs.find({std::min(pair.a, pair.b), std::max(pair.a, pair.b)}); found != pieces->pairs.end()) gap.pieces_p = found->second.first;
        weighed.gaps.push_back(gap);
    }
}

void adjust(Weighed& weighed) {
    std::vector<double> of_words, of_gaps, of_people;
    for (const WordTest& test : weighed.tests) of_words.push_back(test.p_claimed()), of_people.push_back(test.p.p);
    for (const Gap& gap : weighed.gaps) of_gaps.push_back(std::max(gap.p, gap.pieces_p));
    const std::vector<double> words = stats::holm_adjusted(of_words), gaps = stats::holm_adjusted(of_gaps), people = stats::holm_adjusted(of_people);
    for (std::size_t i = 0; i < words.size(); ++i) weighed.tests[i].p_adjusted = words[i], weighed.tests[i].people_adjusted = people[i];
    for (std::size_t i = 0; i < gaps.size(); ++i) weighed.gaps[i].p_adjusted = gaps[i];
}

}   // namespace

std::int64_t Ticked::tasters() const {
    std::set<std::int32_t> seen;
    for (const Tray& tray : trays) seen.insert(tray.taster);
    return static_cast<std::int64_t>(seen.size());
}

Weighed weigh(const Question& question, const Ticked& ticked) {
    Weighed weighed;
    for (int word = 0; word < static_cast<int>(ticked.words.size()); ++word) {
        const std::vector<stats::RankedTray> trays = ranked_by(ticked, word);
        const stats::RankStatistic found = stats::rank_statistic(trays, static_cast<int>(ticked.samples.size()));
        weighed.tests.push_back({.word = word, .statistic = found.statistic, .df = found.df, .p = p_of(question, ticked, trays, found)});
        const auto pieces = by_pieces(ticked, word);
        if (pieces) weighed.tests.back().pieces_p = pieces->p;
        if (question.quick) continue;
        for (int sample = 0; sample < static_cast<int>(ticked.samples.size()); ++sample) weighed.shares.push_back(share_of(question, ticked, word, sample));
        add_gaps(weighed, question, ticked, trays, word, pieces);
    }
    adjust(weighed);
    return weighed;
}

std::vector<const WordTest*> shown(const Question& question, const Weighed& weighed) {
    std::vector<const WordTest*> some;
    for (const WordTest& test : weighed.tests)
        if (test.df > 0 && stats::significant(test.p_adjusted, question.alpha)) some.push_back(&test);
    std::stable_sort(some.begin(), some.end(), [](const WordTest* a, const WordTest* b) { return a->p.p < b->p.p; });
    return some;
}

}   // namespace oddplate::methods::ticks
