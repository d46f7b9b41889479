// Hits and false alarms: the two models, their estimates and profile intervals. Both models have as many parameters as rates, so
// estimates come from the rates; the criterion at a given d is the root of one score. Tests: tests/unit/stats/signal.test.cpp

#include "oddplate/stats/signal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_root2 = std::numbers::sqrt2;
constexpr double k_most_d = 40;   // no count of answers tells distances above this apart

double log_part(std::int64_t k, double p) {
    return k == 0 ? 0.0 : static_cast<double>(k) * std::log(p);
}

double log_likelihood(const SignalCounts& counts, const SignalRates& rates) {
    return log_part(counts.hits, rates.hit) + log_part(counts.signals - counts.hits, rates.miss) +
           log_part(counts.false_alarms, rates.false_alarm) + log_part(counts.noises - counts.false_alarms, rates.rejection);
}

/// The best that any rates can do.
double saturated(SignalRule rule, const SignalCounts& counts) {
    const auto share = [](std::int64_t k, std::int64_t n) { return static_cast<double>(k) / static_cast<double>(n); };
    double hit = share(counts.hits, counts.signals), alarm = share(counts.false_alarms, counts.noises);
    if (rule == SignalRule::same_different && hit < alarm)   // d >= 0 keeps H from lying below F
        hit = alarm = share(counts.hits + counts.false_alarms, counts.signals + counts.noises);
    return log_likelihood(counts, {hit, 1 - hit, alarm, 1 - alarm});
}

/// d and log likelihood in the criterion: one rises, the other falls, so the score changes sign once.
double score(SignalRule rule, const SignalCounts& counts, double d, double criterion) {
    const SignalRates rates = signal_rates(rule, d, criterion);
    const auto part = [](std::int64_t k, std::int64_t n, double p, double q, double slope) {
        double sum = 0;
        if (k > 0) sum += static_cast<double>(k) / std::max(p, 1e-300);
        if (n > k) sum -= static_cast<double>(n - k) / std::max(q, 1e-300);
        return sum * slope;
    };
    double hit_slope = 0, alarm_slope = 0;   // both fall in the criterion
    if (rule == SignalRule::yes_no) {
        hit_slope = -normal_density(d / 2 - criterion);
        alarm_slope = -normal_density(d / 2 + criterion);
    } else {
        hit_slope = -(normal_density((criterion - d) / k_root2) + normal_density((criterion + d) / k_root2)) / k_root2;
        alarm_slope = -k_root2 * normal_density(criterion / k_root2);
    }
    return part(counts.hits, counts.signals, rates.hit, rates.miss, hit_slope) +
           part(counts.false_alarms, counts.noises, rates.false_alarm, rates.rejection, alarm_slope);
}

/// Where a function that is above 0 at `low` and below 0 at `high` is 0; an end where it does not change sign. False position once the
/// ends are near, halved where one end stays put (Illinois); every third step halves the bracket, so it never takes more than three
/// times what halving would.
template <class F>
double falling_root(double low, double high, F f) {
    double at_low = 0, at_high = 0;   // 0: not known, halve
    for (int step = 0; step < 400 && high - low > 1e-14 * (1 + std::abs(low)); ++step) {
        const bool halve = at_low == 0 || at_high == 0 || step < 5 || step % 3 == 2;
        double middle = halve ? low + (high - low) / 2 : low + (high - low) * (at_low / (at_low - at_high));
        if (!(low < middle && middle < high)) middle = low + (high - low) / 2;
        const double at = f(middle);
        if (at > 0) {
            low = middle, at_low = at, at_high /= halve ? 1 : 2;
        } else {
            high = middle, at_high = at, at_low /= halve ? 1 : 2;
        }
    }
    return low + (high - low) / 2;
}

struct Range {
    double low, high;
};
Range criteria(SignalRule rule, double d) {
    return rule == SignalRule::yes_no ? Range{-10 - std::abs(d) / 2, 10 + std::abs(d) / 2} : Range{1e-12, 14 + d};
}

double best_likelihood_at_criterion(SignalRule rule, const SignalCounts& counts, double criterion) {
    // H is free given the criterion where the model allows it: d moves H alone in pairs, both in yes_no.
    double low = rule == SignalRule::yes_no ? -k_most_d : 0, high = k_most_d;
    const auto at = [&](double d) { return log_likelihood(counts, signal_rates(rule, d, criterion)); };
    constexpr double golden = 0.6180339887498949;
    double x = high - golden * (high - low), y = low + golden * (high - low);
    double fx = at(x), fy = at(y);
    for (int step = 0; step < 90; ++step) {
        if (fx >= fy) {
            high = y, y = x, fy = fx, x = high - golden * (high - low), fx = at(x);
        } else {
            low = x, x = y, fx = fy, y = low + golden * (high - low), fy = at(y);
        }
    }
    return std::max({fx, fy, at(low)});
}

/// The end of an interval from `inside` towards `outside`, where the drop in log likelihood reaches the allowance; none where it
/// never does.
template <class Drop>
Limit limit(double inside, double outside, double allowed, Drop drop) {
    if (!(drop(outside) > allowed)) return std::nullopt;
    for (int step = 0; step < 80; ++step) {
        const double middle = inside + (outside - inside) / 2;
        (drop(middle) > allowed ? outside : inside) = middle;
    }
    return inside + (outside - inside) / 2;
}

/// Estimates from the rates; none where they lie at infinity.
void estimate(SignalRule rule, const SignalCounts& counts, SignalFit& fit) {
    const double signals = static_cast<double>(counts.signals), noises = static_cast<double>(counts.noises);
    const double hit = static_cast<double>(counts.hits) / signals, alarm = static_cast<double>(counts.false_alarms) / noises;
    const bool hit_inside = counts.hits > 0 && counts.hits < counts.signals;
    const bool alarm_inside = counts.false_alarms > 0 && counts.false_alarms < counts.noises;
    if (rule == SignalRule::yes_no) {
        if (!hit_inside || !alarm_inside) return;
        const double zh = normal_quantile(hit), zf = normal_quantile(alarm);
        fit.d.estimate = zh - zf;
        fit.criterion.estimate = std::abs(zh + zf) < 1e-14 ? 0.0 : -(zh + zf) / 2;   // one share and its rest
        return;
    }
    if (hit <= alarm) {
        fit.d.estimate = 0;
        const double both = static_cast<double>(counts.hits + counts.false_alarms) / (signals + noises);
        if (both > 0) fit.criterion.estimate = std::max(0.0, -k_root2 * normal_quantile(both / 2));
        if (both == 0) fit.d.estimate.reset();   // nobody ever said "different": the criterion is beyond any distance
        return;
    }
    if (counts.false_alarms == 0) return;
    const double tau = -k_root2 * normal_quantile(alarm / 2);
    fit.criterion.estimate = tau;
    if (hit < 1) fit.d.estimate = falling_root(0, k_most_d, [&](double d) { return hit - signal_rates(rule, d, tau).hit; });
}

}   // namespace

SignalRates signal_rates(SignalRule rule, double d, double criterion) {
    if (rule == SignalRule::yes_no) {
        const double hit = d / 2 - criterion, alarm = -d / 2 - criterion;
        return {normal_cdf(hit), normal_upper(hit), normal_cdf(alarm), normal_upper(alarm)};
    }
    const double a = criterion / k_root2, b = d / k_root2;
    return {normal_upper(a - b) + normal_cdf(-a - b), std::max(0.0, normal_cdf(a - b) - normal_cdf(-a - b)), 2 * normal_upper(a),
            std::erf(a / k_root2)};
}

double best_criterion(SignalRule rule, double d) {
    if (rule == SignalRule::yes_no) return 0;
    promise(d >= 0);
    if (d < 1e-8) return k_root2;
    const double y = d * d / 4;   // acosh(e^y) = y + log(1 + sqrt(1 - e^-2y))
    const double acosh = y < 1 ? std::log1p(std::expm1(y) + std::sqrt(std::expm1(y) * (2 + std::expm1(y))))
                               : y + std::log1p(std::sqrt(-std::expm1(-2 * y)));
    return 2 / d * acosh;
}

static double fitted_criterion(SignalRule rule, const SignalCounts& counts, double d) {
    const Range range = criteria(rule, d);
    return falling_root(range.low, range.high, [&](double c) { return score(rule, counts, d, c); });
}

double signal_root(SignalRule rule, const SignalCounts& counts, double d) {
    promise(counts.both());
    const SignalRates at = signal_rates(rule, d, fitted_criterion(rule, counts, d));
    const double root = std::sqrt(2 * std::max(0.0, saturated(rule, counts) - log_likelihood(counts, at)));
    const bool above = static_cast<double>(counts.hits) - static_cast<double>(counts.signals) * at.hit >
                       0;   // at the fitted criterion H's surplus and F's have opposite signs
    return above ? root : -root;
}

namespace {

/// How d moves with the two rates.
struct Slopes {
    double by_hit, by_alarm;
};
Slopes slopes_of_d(SignalRule rule, double d, double criterion) {
    if (rule == SignalRule::yes_no) return {1 / normal_density(d / 2 - criterion), -1 / normal_density(d / 2 + criterion)};
    const double a = criterion / k_root2, b = d / k_root2;
    const double hit_by_d = (normal_density(a - b) - normal_density(a + b)) / k_root2;
    const double hit_by_tau = -(normal_density(a - b) + normal_density(a + b)) / k_root2;
    return {1 / hit_by_d, hit_by_tau / hit_by_d / (k_root2 * normal_density(a))};
}

double delta_error(const SignalCounts& counts, const SignalRates& rates, const Slopes& slopes) {
    return std::sqrt(rates.hit * rates.miss * slopes.by_hit * slopes.by_hit / static_cast<double>(counts.signals) +
                     rates.false_alarm * rates.rejection * slopes.by_alarm * slopes.by_alarm /
                         static_cast<double>(counts.noises));
}

}   // namespace

SignalFit fit_signals(SignalRule rule, const SignalCounts& counts, double confidence, double widen) {
    promise(counts.both() && 0 < confidence && confidence < 1 && widen >= 1);
    SignalFit fit;
    estimate(rule, counts, fit);
    if (fit.d.estimate && fit.criterion.estimate && (rule == SignalRule::yes_no || *fit.d.estimate > 0)) {
        const SignalRates rates = signal_rates(rule, *fit.d.estimate, *fit.criterion.estimate);
        fit.standard_error = widen * delta_error(counts, rates, slopes_of_d(rule, *fit.d.estimate, *fit.criterion.estimate));
    }
    const double z = widen * normal_upper_quantile((1 - confidence) / 2);
    const double least = rule == SignalRule::yes_no ? -k_most_d : 0.0;
    const double centre =
        fit.d.estimate.value_or(counts.hits * counts.noises > counts.false_alarms * counts.signals ? k_most_d : least);
    const auto drop_d = [&](double d) { return std::abs(signal_root(rule, counts, d)); };
    const bool blind =
        counts.hits + counts.false_alarms == 0 || counts.hits + counts.false_alarms == counts.signals + counts.noises;
    if (!blind) {
        fit.d.lower = limit(centre, least, z, drop_d);
        fit.d.upper = limit(centre, k_most_d, z, drop_d);
    }
    if (rule == SignalRule::same_different && !fit.d.lower) fit.d.lower = 0;
    const double best = saturated(rule, counts);
    const auto drop_c = [&](double c) {
        return std::sqrt(2 * std::max(0.0, best - best_likelihood_at_criterion(rule, counts, c)));
    };
    const Range range = criteria(rule, 0);
    const double middle = fit.criterion.estimate.value_or(
        counts.hits + counts.false_alarms > (counts.signals + counts.noises) / 2 ? range.low : range.high);
    fit.criterion.lower = limit(middle, range.low, z, drop_c);
    fit.criterion.upper = limit(middle, range.high, z, drop_c);
    if (rule == SignalRule::same_different && !fit.criterion.lower) fit.criterion.lower = 0;
    return fit;
}

double taster_spread(SignalRule rule, std::span<const SignalCounts> tasters) {
    double hits = 0, signals = 0, alarms = 0, noises = 0, people = 0;
    for (const SignalCounts& one : tasters) {
        hits += static_cast<double>(one.hits), signals += static_cast<double>(one.signals);
        alarms += static_cast<double>(one.false_alarms), noises += static_cast<double>(one.noises);
        people += one.signals + one.noises > 0;
    }
    if (people < 2 || signals == 0 || noises == 0) return 1;
    const double hit = (hits + 0.5) / (signals + 1), alarm = (alarms + 0.5) / (noises + 1);
    double d = 0, criterion = 0;
    if (rule == SignalRule::yes_no) {
        const double zh = normal_quantile(hit), zf = normal_quantile(alarm);
        d = zh - zf, criterion = -(zh + zf) / 2;
    } else {
        if (hit <= alarm) return 1;   // d = 0, where the spread of d has no linear part
        criterion = -k_root2 * normal_quantile(alarm / 2);
        d = falling_root(0, k_most_d, [&](double x) { return hit - signal_rates(rule, x, criterion).hit; });
    }
    const auto [by_hit, by_alarm] = slopes_of_d(rule, d, criterion);
    double between = 0;
    for (const SignalCounts& one : tasters) {
        const double u = by_hit * (static_cast<double>(one.hits) - hit * static_cast<double>(one.signals)) / signals +
                         by_alarm * (static_cast<double>(one.false_alarms) - alarm * static_cast<double>(one.noises)) / noises;
        between += u * u;
    }
    const double within = by_hit * by_hit * hit * (1 - hit) / signals + by_alarm * by_alarm * alarm * (1 - alarm) / noises;
    return std::sqrt(std::max(1.0, between * people / (people - 1) / within));
}

}   // namespace oddplate::stats
