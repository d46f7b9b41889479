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
constexpr double k_keep = 1e-25;   // terms below this share of the largest are left out

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

/// Roots at one margin by counts; with `remember` each is found once, for whoever asks for several borders.
class Roots {
public:
    Roots(SignalRule rule, std::int64_t signals, std::int64_t noises, double margin, bool remember)
        : m_rule(rule), m_signals(signals), m_noises(noises), m_margin(margin),
          m_known(remember ? static_cast<std::size_t>((signals + 1) * (noises + 1)) : 0, k_unknown) {}
    double at(std::int64_t hits, std::int64_t false_alarms) {
        if (m_known.empty()) return signal_root(m_rule, {hits, m_signals, false_alarms, m_noises}, m_margin);
        double& root = m_known[static_cast<std::size_t>(hits * (m_noises + 1) + false_alarms)];
        if (root == k_unknown) root = signal_root(m_rule, {hits, m_signals, false_alarms, m_noises}, m_margin);
        return root;
    }
    /// [h] = the fewest false alarms at which the root is at most `root`, noises + 1 for none.
    Border border(double root) {
        Border border(static_cast<std::size_t>(m_signals + 1), m_noises + 1);
        std::int64_t fewest = 0;
        for (std::int64_t hits = 0; hits <= m_signals; ++hits) {
            while (fewest <= m_noises && at(hits, fewest) > root) ++fewest;
            border[static_cast<std::size_t>(hits)] = fewest;
        }
        return border;
    }

private:
    static constexpr double k_unknown = 1e300;
    SignalRule m_rule;
    std::int64_t m_signals, m_noises;
    double m_margin;
    std::vector<double> m_known;
};

/// P(F <= border[H]), or P(F >= border[H]): a pass over the hits with the tails of F added up beforehand.
double chance_of(const Border& border, std::int64_t noises, const SignalRates& rates, bool below) {
    const auto signals = static_cast<std::int64_t>(border.size()) - 1;
    const Lattice alarms = binomial_lattice(noises, rates.false_alarm, k_keep), hits = binomial_lattice(signals, rates.hit, k_keep);
    std::vector<double> tails = alarms.weights;   // of F from each of its values outwards, smallest terms first
    if (below)
        for (std::size_t i = 1; i < tails.size(); ++i) tails[i] += tails[i - 1];
    else
        for (std::size_t i = tails.size() - 1; i-- > 0;) tails[i] += tails[i + 1];
    double sum = 0;
    for (std::int64_t h = hits.first; h <= hits.last(); ++h) {
        const std::int64_t f = border[static_cast<std::size_t>(h)];
        if (below ? f < alarms.first : f > alarms.last()) continue;
        const bool all = below ? f >= alarms.last() : f <= alarms.first;
        const double tail = all ? 1.0 : tails[static_cast<std::size_t>(f - alarms.first)];
        sum += tail * hits.at(h);
    }
    return std::min(1.0, sum);
}

/// The largest value over criteria, on a grid of steps of 1/20 whose best places are refined; any value above `enough` will do.
template <class F>
double largest_over_criteria(SignalRule rule, double d, F chance, double enough = 2) {
    const double low = rule == SignalRule::yes_no ? -4 - d / 2 : 0.02, high = 4 + d / 2;
    constexpr double k_step = 0.05;
    double best = 0, at = low;
    for (double c = low; c <= high; c += k_step) {
        const double here = chance(c);
        if (here > best) best = here, at = c;
        if (best > enough) return best;
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
