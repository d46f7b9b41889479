// D and S of hits and false alarms, and their power: both tests are borders (signal_borders.hpp). Tests: tests/unit/stats/signal_tests.test.cpp

#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

#include "lattice.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/hypergeometric.hpp"
#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/signal.hpp"
#include "policy.hpp"
#include "signal_borders.hpp"
#include "size_search.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_most_answers = 4000;

/// [h] = the most false alarms at which Fisher's test is significant, -1 for none.
Border different_border(std::int64_t signals, std::int64_t noises, double alpha) {
    Border border(static_cast<std::size_t>(signals + 1), -1);
    std::int64_t most = -1;
    for (std::int64_t hits = 0; hits <= signals; ++hits) {
        while (most + 1 <= noises && significant(signal_p({hits, signals, most + 1, noises}), alpha)) ++most;
        border[static_cast<std::size_t>(hits)] = most;
    }
    return border;
}

double largest_similar(SignalRule rule, const Border& border, std::int64_t noises, double margin, double enough = 2) {
    return largest_over_criteria(
        rule, margin, [&](double c) { return chance_of(border, noises, signal_rates(rule, margin, c), false); }, enough);
}

/// The critical root, the highest of a grid of 16,384 steps from -12 to 0 at which S still has size alpha, and its border.
struct Critical {
    int step{0};
    Border border;
};

/// Found from `near` outwards and then by halving: neighbouring panels have neighbouring roots, and borders that hardly differ share
/// most of the roots they are made of.
Critical similar_border_at(SignalRule rule, std::int64_t signals, std::int64_t noises, double margin, double alpha, int near) {
    constexpr int k_steps = 1 << 14;
    const double most = alpha * (1 + 1e-12);
    Roots roots(rule, signals, noises, margin, true);
    const auto border_at = [&](int step) { return roots.border(-12 + 12.0 * step / k_steps); };
    const auto passes = [&](int step) { return largest_similar(rule, border_at(step), noises, margin, most) <= most; };
    int low = 0, high = k_steps;   // -infinity always passes; a root of 0 never does
    int at = std::clamp(near, 1, k_steps - 1), stride = 16;
    if (passes(at)) {
        for (low = at; low + stride < high && passes(low + stride); stride *= 2) low += stride;
        high = std::min(high, low + stride);
    } else {
        for (high = at; high - stride > low && !passes(high - stride); stride *= 2) high -= stride;
        low = std::max(low, high - stride);
    }
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        (passes(middle) ? low : high) = middle;
    }
    if (low == 0) return {near, Border(static_cast<std::size_t>(signals + 1), noises + 1)};
    return {low, border_at(low)};
}

/// Where the root would lie were it normal.
int usual_step(double alpha) {
    return static_cast<int>((12 - normal_upper_quantile(std::min(alpha, 0.5))) / 12 * (1 << 14));
}

}   // namespace

double signal_p(const SignalCounts& counts) {
    return hypergeometric_upper(counts.hits, counts.signals + counts.noises, counts.hits + counts.false_alarms, counts.signals);
}

double signal_p(std::span<const SignalCounts> tasters) {
    Lattice law;
    std::int64_t hits = 0;
    for (const SignalCounts& one : tasters) {
        hits += one.hits;
        const std::int64_t total = one.signals + one.noises, marked = one.hits + one.false_alarms;
        Lattice own{std::max<std::int64_t>(0, one.signals - (total - marked)), {}};
        for (std::int64_t k = own.first; k <= std::min(marked, one.signals); ++k)
            own.weights.push_back(hypergeometric_pmf(k, total, marked, one.signals));
        law = add_lattices(law, own);
        trim(law, 1e-60);
    }
    double tail = 0;
    for (std::int64_t k = law.last(); k >= std::max(hits, law.first); --k) tail += law.at(k);
    return std::min(1.0, tail);
}

double signal_p_similar(SignalRule rule, const SignalCounts& counts, double margin) {
    promise(counts.both() && margin > 0);
    const double root = signal_root(rule, counts, margin);
    if (root >= 0) return 1;
    if (counts.signals + counts.noises > k_most_answers) return normal_cdf(root);
    const Border border = Roots(rule, counts.signals, counts.noises, margin, false).border(root * (1 - 1e-10));
    return std::min(1.0, largest_similar(rule, border, counts.noises, margin));
}

double signal_p_similar(SignalRule rule, std::span<const SignalCounts> tasters, double margin) {
    SignalCounts all;
    double people = 0;
    for (const SignalCounts& one : tasters) {
        all += one;
        people += one.signals + one.noises > 0;
    }
    if (people < 2) return 1;
    const boost::math::students_t_distribution<double, Quiet> law(people - 1);
    const double root = signal_root(rule, all, margin) / taster_spread(rule, tasters);
    return std::max(signal_p_similar(rule, all, margin), boost::math::cdf(law, root));
}

double signal_power(SignalRule rule, std::int64_t signals, std::int64_t noises, double d, double criterion, double alpha) {
    return chance_of(different_border(signals, noises, alpha), noises, signal_rates(rule, d, criterion), true);
}

double signal_power_similar(SignalRule rule, std::int64_t signals, std::int64_t noises, double margin, double d, double criterion,
                            double alpha) {
    return chance_of(similar_border_at(rule, signals, noises, margin, alpha, usual_step(alpha)).border, noises,
                     signal_rates(rule, d, criterion), false);
}

double signal_power(const SignalQuestion& question, std::int64_t n) {
    const std::int64_t signals = question.share.of_signals(n), noises = n - signals;
    if (signals < 1 || noises < 1) return 0;
    if (!question.margin) return signal_power(question.rule, signals, noises, question.d, question.criterion, question.alpha);
    return signal_power_similar(question.rule, signals, noises, *question.margin, question.d, question.criterion, question.alpha);
}

std::optional<PanelSize> size_signals(const SignalQuestion& question, double power) {
    int near = usual_step(question.alpha);
    const auto power_of = [&](std::int64_t n) {
        const std::int64_t signals = question.share.of_signals(n), noises = n - signals;
        if (!question.margin || signals < 1 || noises < 1) return signal_power(question, n);
        const Critical critical = similar_border_at(question.rule, signals, noises, *question.margin, question.alpha, near);
        near = critical.step;
        return chance_of(critical.border, noises, signal_rates(question.rule, question.d, question.criterion), false);
    };
    const auto passes = [&](std::int64_t n) { return reached(power_of(n), power); };
    std::int64_t high = 8;
    while (high < k_most_answers && !passes(high)) high *= 2;
    if (!passes(high)) return std::nullopt;
    std::int64_t rough = first_that_holds(2, high, passes);   // power is a saw, so this is only near the first
    PanelSize size;
    // Teeth are as high as one outcome is likely, so they get lower as the panel grows: a fifth is enough for small ones, 2 sqrt(n) for large.
    const auto root = static_cast<std::int64_t>(2 * std::sqrt(static_cast<double>(rough)));
    std::int64_t n = std::max<std::int64_t>(2, rough - std::min(rough / 7, root) - 6);
    for (std::int64_t last = rough + std::max<std::int64_t>(40, std::min(rough / 5, root)); n <= last; ++n) {
        const double here = power_of(n);
        if (!reached(here, power)) {
            size.tasters_safe = n + 1;
        } else if (size.tasters == 0) {
            size.tasters = n;
            size.power_actual = here;
        }
    }
    if (size.tasters_safe < size.tasters) size.tasters_safe = size.tasters;
    const std::int64_t signals = question.share.of_signals(size.tasters), noises = size.tasters - signals;
    if (question.margin) {
        const Critical critical = similar_border_at(question.rule, signals, noises, *question.margin, question.alpha, near);
        size.alpha_actual = largest_similar(question.rule, critical.border, noises, *question.margin);
    } else {
        const Border border = different_border(signals, noises, question.alpha);
        size.alpha_actual = largest_over_criteria(
            question.rule, 0, [&](double c) { return chance_of(border, noises, signal_rates(question.rule, 0, c), true); });
    }
    return size;
}

}   // namespace oddplate::stats
