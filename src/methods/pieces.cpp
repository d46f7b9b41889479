// Tests: tests/unit/methods/ranks_pieces.test.cpp, said_pieces.test.cpp

#include "pieces.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "oddplate/stats/max_t.hpp"
#include "oddplate/stats/test_laws.hpp"

namespace oddplate::methods::pieces {
namespace {

struct Mean {
    double sum{0}, squares{0}, n{0};
    void add(double value) { sum += value, squares += value * value, n += 1; }
    [[nodiscard]] double of() const { return sum / n; }
    [[nodiscard]] double scatter() const { return std::max(0.0, squares - sum * sum / n); }   ///< sum of squares about the mean
};

/// Pieces' means, and what scatters within recipes.
struct Nested {
    std::map<int, Mean> samples;   ///< unweighted means of their pieces' means
    double within{0}, df{0}, reciprocals{0};
    double answers{0}, answers_df{0}, one_over{0}, pieces{0};   ///< what answers scatter within pieces, its degrees of freedom, sum of 1/answers over pieces, pieces

    [[nodiscard]] double noise() const { return answers_df > 0 ? answers / answers_df * one_over / pieces : 0; }   ///< its part in the variance of a piece's mean
};

Nested nested(std::span<const Tray> trays, bool from_middle) {
    std::map<int, std::map<std::int32_t, Mean>> pieces;   // by sample
    for (const Tray& tray : trays) {
        const double middle = from_middle ? std::accumulate(tray.values.begin(), tray.values.end(), 0.0) / static_cast<double>(tray.values.size()) : 0;
        for (std::size_t i = 0; i < tray.values.size(); ++i)
            if (tray.pieces[i] >= 0) pieces[tray.samples[i]][tray.pieces[i]].add(tray.values[i] - middle);
    }
    Nested found;
    for (const auto& [sample, of] : pieces) {
        for (const auto& [piece, mean] : of) {
            found.samples[sample].add(mean.of());
            found.answers += mean.scatter();
            found.answers_df += mean.n - 1;
            found.one_over += 1 / mean.n;
            ++found.pieces;
        }
        for (const auto& [piece, mean] : of) found.within += (mean.of() - found.samples[sample].of()) * (mean.of() - found.samples[sample].of());
        found.df += static_cast<double>(of.size()) - 1;
        found.reciprocals += 1 / static_cast<double>(of.size());
    }
    return found;
}

/// The variance of a piece's mean as it goes into differences of recipes, set right for the others on the tray; none where it can't be known.
std::optional<double> scatter_of(std::span<const Tray> trays, const Nested& of) {
    const auto k = static_cast<double>(of.samples.size());
    if (trays.empty() || k < 2 || of.df < 1) return std::nullopt;
    std::size_t least = trays.front().samples.size();
    for (const Tray& tray : trays) least = std::min(least, tray.samples.size());
    if (least < 2) return std::nullopt;
    const double on_tray = static_cast<double>(least - 1) / static_cast<double>(least), shown = k / (k - 1) * on_tray;   // of a piece's difference, and of a recipe's
    return std::max(0.0, of.within / of.df - of.noise()) * (shown / on_tray) * (shown / on_tray) + of.noise() * shown / on_tray;
}

}   // namespace

std::vector<std::int32_t> numbers_of(std::span<const int> samples, std::span<const std::int32_t> seen) {
    std::vector<std::int32_t> numbers;
    for (const int sample : samples) {
        const auto version = static_cast<std::size_t>(sample);
        numbers.push_back(version < seen.size() && seen[version] >= 0 ? sample * k_most + seen[version] : -1);
    }
    return numbers;
}

std::optional<Between> between(std::span<const Tray> trays, std::optional<double> only_at) {
    const Nested of = nested(trays, true);
    const auto scattered = scatter_of(trays, of);
    if (!scattered) return std::nullopt;
    const auto k = static_cast<double>(of.samples.size());
    const double scatter = *scattered, each = k / of.reciprocals;   // the harmonic number of pieces
    Between found;
    if (scatter <= 1e-20) return found.p = 0, found;   // pieces of one recipe are alike to the last digit
    double all = 0, squares = 0;
    for (const auto& [sample, mean] : of.samples) all += mean.of();
    for (const auto& [sample, mean] : of.samples) squares += (mean.of() - all / k) * (mean.of() - all / k);
    found.p = stats::f_upper(each * squares / (k - 1) / scatter, k - 1, of.df);
    for (auto a = of.samples.begin(); a != of.samples.end(); ++a)
        for (auto b = std::next(a); b != of.samples.end(); ++b) {
            const double error = std::sqrt(scatter * (1 / a->second.n + 1 / b->second.n)), t = std::fabs(a->second.of() - b->second.of()) / error;
            const double alone = stats::student_two_sided(t, of.df);
            const double bonferroni = std::min(1.0, alone * k * (k - 1) / 2);
            const double adjusted = only_at && alone > *only_at        ? alone
                                    : only_at && bonferroni <= *only_at ? bonferroni
                                                                        : std::max(alone, stats::studentized_range_upper(t * std::sqrt(2.0), of.samples.size(), of.df));
            found.pairs[{a->first, b->first}] = {alone, adjusted};
        }
    return found;
}

std::optional<double> share_above(std::span<const Tray> trays, int a, int b, double margin) {
    std::vector<Tray> both;
    for (const Tray& tray : trays) {
        const auto at_a = std::find(tray.samples.begin(), tray.samples.end(), a), at_b = std::find(tray.samples.begin(), tray.samples.end(), b);
        if (at_a == tray.samples.end() || at_b == tray.samples.end()) continue;
        const auto i = static_cast<std::size_t>(at_a - tray.samples.begin()), j = static_cast<std::size_t>(at_b - tray.samples.begin());
        const double before = tray.values[j] < tray.values[i] ? 1 : tray.values[j] > tray.values[i] ? 0 : 0.5;
        both.push_back({{a, b}, {1 - before, before}, {tray.pieces[i], tray.pieces[j]}});
    }
    const Nested of = nested(both, true);
    if (of.samples.size() < 2 || of.df < 1) return std::nullopt;
    const double scatter = std::max(0.0, of.within / of.df - of.noise()) * 4 + of.noise() * 2;   // as in between(), two of two on a tray
    const Mean &first = of.samples.at(a), &second = of.samples.at(b);
    const double more = second.of() - first.of() - (2 * margin - 1), error = std::sqrt(scatter * (1 / first.n + 1 / second.n));
    return error > 1e-10 ? stats::student_upper(more / error, of.df) : more > 0 ? 0.0 : 1.0;
}

std::optional<double> contrast_above(std::span<const Tray> trays, std::span<const double> weights) {
    const Nested of = nested(trays, true);
    const auto scatter = scatter_of(trays, of);
    if (!scatter || of.samples.size() != weights.size()) return std::nullopt;
    double sum = 0, variance = 0;
    for (const auto& [sample, mean] : of.samples) {
        const double weight = weights[static_cast<std::size_t>(sample)];
        sum += weight * mean.of();
        variance += weight * weight / mean.n * *scatter;
    }
    return variance > 1e-20 ? stats::student_upper(sum / std::sqrt(variance), of.df) : sum > 0 ? 0.0 : 1.0;
}

std::map<int, double> from_nought(std::span<const Tray> trays) {
    const Nested of = nested(trays, false);
    std::map<int, double> found;
    if (of.df < 1) return found;
    const double scatter = of.within / of.df;
    for (const auto& [sample, mean] : of.samples) found[sample] = scatter <= 1e-20 ? 0 : stats::student_two_sided(std::fabs(mean.of()) / std::sqrt(scatter / mean.n), of.df);
    return found;
}

}   // namespace oddplate::methods::pieces
