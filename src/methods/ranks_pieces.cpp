// Do ranks tell recipes apart, or only the pieces that were cut up? Tests: tests/unit/methods/ranks_pieces.test.cpp

#include <algorithm>
#include <cmath>
#include <map>

#include "oddplate/stats/max_t.hpp"
#include "oddplate/stats/test_laws.hpp"
#include "ranks.hpp"

namespace oddplate::methods::ranks {
namespace {

struct Mean {
    double sum{0}, n{0};
    void add(double value) { sum += value, n += 1; }
    [[nodiscard]] double of() const { return sum / n; }
};

}   // namespace

std::optional<ByPieces> by_pieces(const Ranked& ranked) {
    if (ranked.pieces.size() != ranked.trays.size() || ranked.trays.empty()) return std::nullopt;
    std::map<int, std::map<std::int32_t, Mean>> pieces;   // by sample
    for (std::size_t tray = 0; tray < ranked.trays.size(); ++tray) {
        const stats::RankedTray& one = ranked.trays[tray];
        const std::vector<double> ranks = stats::midranks(one.ranks);
        for (std::size_t i = 0; i < ranks.size(); ++i)
            if (ranked.pieces[tray][i] >= 0) pieces[one.samples[i]][ranked.pieces[tray][i]].add(ranks[i] - (static_cast<double>(ranks.size()) + 1) / 2);
    }
    // A piece that pulls its own rank up by e (t - 1)/t pushes the t - 1 others of the tray down by e/t each: two pieces of one recipe show only (t - 1)/t of what lies
    // between them, two recipes all of it.
    std::size_t least = ranked.trays.front().samples.size();
    for (const stats::RankedTray& tray : ranked.trays) least = std::min(least, tray.samples.size());
    const double shrunk = static_cast<double>(least - 1) / static_cast<double>(least);
    std::map<int, Mean> samples;   // unweighted means of their pieces' means
    double within = 0, df = 0, all = 0, reciprocals = 0;
    for (const auto& [sample, of] : pieces) {
        for (const auto& [piece, mean] : of) samples[sample].add(mean.of());
        for (const auto& [piece, mean] : of) within += (mean.of() - samples[sample].of()) * (mean.of() - samples[sample].of());
        df += static_cast<double>(of.size()) - 1;
        all += samples[sample].of();
        reciprocals += 1 / static_cast<double>(of.size());
    }
    const auto k = static_cast<double>(samples.size());
    if (k < 2 || df < 1) return std::nullopt;
    const double scatter = within / df / (shrunk * shrunk), each = k / reciprocals;   // the harmonic number of pieces
    ByPieces found;
    if (scatter <= 1e-20) return found.p = 0, found;   // pieces of one recipe are alike to the last digit
    double between = 0;
    for (const auto& [sample, mean] : samples) between += (mean.of() - all / k) * (mean.of() - all / k);
    found.p = stats::f_upper(each * between / (k - 1) / scatter, k - 1, df);
    for (auto a = samples.begin(); a != samples.end(); ++a)
        for (auto b = std::next(a); b != samples.end(); ++b) {
            const double error = std::sqrt(scatter * (1 / a->second.n + 1 / b->second.n)), t = std::fabs(a->second.of() - b->second.of()) / error;
            const double alone = stats::student_two_sided(t, df);
            found.pairs[{a->first, b->first}] = {alone, std::max(alone, stats::studentized_range_upper(t * std::sqrt(2.0), samples.size(), df))};
        }
    return found;
}

}   // namespace oddplate::methods::ranks
