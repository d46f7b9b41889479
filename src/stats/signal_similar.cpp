// D and S of hits and false alarms, and their power. Both tests are a border in the table of counts: for so many hits, up to how
// many false alarms D holds, or from how many on S does; borders rise with the hits, so one walk finds them, and a chance is a
// sum over hits of a binomial tail. Tests: tests/unit/stats/signal_tests.test.cpp

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
#include "size_search.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_most_answers = 4000;
constexpr double k_far = 9;   // beyond this many standard deviations nothing is counted

/// For each number of hits, one number of false alarms.
using Border = std::vector<std::int64_t>;

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

/// [h] = the fewest false alarms at which the root at the margin is at most `root`, noises + 1 for none.
Border similar_border(SignalRule rule, std::int64_t signals, std::int64_t noises, double margin, double root) {
    Border border(static_cast<std::size_t>(signals + 1), noises + 1);
    std::int64_t fewest = 0;
    for (std::int64_t hits = 0; hits <= signals; ++hits) {
        while (fewest <= noises && signal_root(rule, {hits, signals, fewest, noises}, margin) > root) ++fewest;
        border[static_cast<std::size_t>(hits)] = fewest;
    }
    return border;
}

struct Stretch {
    std::int64_t first, last;
};
/// The numbers of hits that are likely enough to count.
Stretch likely(std::int64_t n, double p, double q) {
    const double mean = static_cast<double>(n) * p, sd = std::sqrt(mean * q);
    return {std::max<std::int64_t>(0, static_cast<std::int64_t>(mean - k_far * sd - 20)),
            std::min(n, static_cast<std::int64_t>(mean + k_far * sd + 20))};
}

/// P(F <= border[H]), or P(F >= border[H]).
double chance_of(const Border& border, std::int64_t noises, const SignalRates& rates, bool below) {
    const auto signals = static_cast<std::int64_t>(border.size()) - 1;
    double sum = 0;
    const Stretch stretch = likely(signals, rates.hit, rates.miss);
    for (std::int64_t hits = stretch.first; hits <= stretch.last; ++hits) {
        const std::int64_t f = border[static_cast<std::size_t>(hits)];
        const double tail = below ? (f < 0 ? 0.0 : binomial_lower(f, noises, rates.false_alarm))
                                  : (f > noises ? 0.0 : binomial_upper(f, noises, rates.false_alarm));
        if (tail > 0) sum += tail * binomial_pmf(hits, signals, rates.hit);
    }
    return std::min(1.0, sum);
}

/// The largest value over criteria, on a grid of steps of 1/20 whose best places are refined.
template <class F>
double largest_over_criteria(SignalRule rule, double d, F chance) {
    const double low = rule == SignalRule::yes_no ? -4 - d / 2 : 0.02, high = 4 + d / 2;
    constexpr double k_step = 0.05;
    double best = 0, at = low;
    for (double c = low; c <= high; c += k_step) {
        const double here = chance(c);
        if (here > best) best = here, at = c;
    }
    for (double step = k_step / 2; step > 0.002; step /= 2) {
        for (const double c : {at - step, at + step}) {
            if (c <= 0 && rule == SignalRule::same_different) continue;
            const double here = chance(c);
            if (here > best) best = here, at = c;
        }
    }
    return best;
}

double largest_similar(SignalRule rule, const Border& border, std::int64_t noises, double margin) {
    return largest_over_criteria(rule, margin,
                                 [&](double c) { return chance_of(border, noises, signal_rates(rule, margin, c), false); });
}

/// The critical root: the highest at which S still has size alpha, and its border.
Border similar_border_at(SignalRule rule, std::int64_t signals, std::int64_t noises, double margin, double alpha) {
    double low = -12, high = 0;   // -infinity always holds; a root of 0 never does
    Border best(static_cast<std::size_t>(signals + 1), noises + 1);
    for (int step = 0; step < 14; ++step) {
        const double middle = (low + high) / 2;
        Border border = similar_border(rule, signals, noises, margin, middle);
        if (largest_similar(rule, border, noises, margin) <= alpha * (1 + 1e-12)) {
            low = middle;
            best = std::move(border);
        } else {
            high = middle;
        }
    }
    return best;
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
    const Border border = similar_border(rule, counts.signals, counts.noises, margin, root * (1 - 1e-10));
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
    return chance_of(similar_border_at(rule, signals, noises, margin, alpha), noises, signal_rates(rule, d, criterion), false);
}

double signal_power(const SignalQuestion& question, std::int64_t n) {
    const std::int64_t signals = question.share.of_signals(n), noises = n - signals;
    if (signals < 1 || noises < 1) return 0;
    if (!question.margin) return signal_power(question.rule, signals, noises, question.d, question.criterion, question.alpha);
    return signal_power_similar(question.rule, signals, noises, *question.margin, question.d, question.criterion, question.alpha);
}

std::optional<PanelSize> size_signals(const SignalQuestion& question, double power) {
    const auto passes = [&](std::int64_t n) { return reached(signal_power(question, n), power); };
    std::int64_t high = 8;
    while (high < k_most_answers && !passes(high)) high *= 2;
    if (!passes(high)) return std::nullopt;
    std::int64_t rough = first_that_holds(2, high, passes);   // power is a saw, so this is only near the first
    PanelSize size;
    std::int64_t n = std::max<std::int64_t>(2, rough - rough / 7 - 6);
    for (std::int64_t last = rough + std::max<std::int64_t>(40, rough / 5); n <= last; ++n) {
        const double here = signal_power(question, n);
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
        const Border border = similar_border_at(question.rule, signals, noises, *question.margin, question.alpha);
        size.alpha_actual = largest_similar(question.rule, border, noises, *question.margin);
    } else {
        const Border border = different_border(signals, noises, question.alpha);
        size.alpha_actual = largest_over_criteria(
            question.rule, 0, [&](double c) { return chance_of(border, noises, signal_rates(question.rule, 0, c), true); });
    }
    return size;
}

}   // namespace oddplate::stats
