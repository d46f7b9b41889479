// d' from ordered categories. For a given d the thresholds have a smooth likelihood with a tridiagonal information, fitted by
// Fisher scoring from the pooled shares; the profile over d is then searched. Tests: tests/unit/stats/sureness.test.cpp

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "oddplate/stats/normal.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/sureness.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_d = 12;
constexpr double k_root2 = std::numbers::sqrt2;

/// P(above the threshold) for both kinds, with its slope in the threshold.
struct Above {
    std::array<double, 2> p, slope;   // signals, noises
};

Above above(SignalRule rule, double d, double t) {
    const SignalRates rates = signal_rates(rule, d, t);
    if (rule == SignalRule::yes_no)
        return {{rates.hit, rates.false_alarm}, {-normal_density(d / 2 - t), -normal_density(d / 2 + t)}};
    return {{rates.hit, rates.false_alarm},
            {-(normal_density((t - d) / k_root2) + normal_density((t + d) / k_root2)) / k_root2,
             -k_root2 * normal_density(t / k_root2)}};
}

/// One likelihood in the thresholds at a given d.
class Scale {
public:
    Scale(SignalRule rule, const SurenessCounts& counts) : m_rule(rule) {
        for (std::size_t j = 0; j < counts.signals.size(); ++j) {   // unused categories join the one below
            if (counts.signals[j] + counts.noises[j] == 0) continue;
            m_counts[0].push_back(static_cast<double>(counts.signals[j]));
            m_counts[1].push_back(static_cast<double>(counts.noises[j]));
        }
    }
    [[nodiscard]] std::size_t categories() const { return m_counts[0].size(); }

    /// The largest log likelihood at d.
    [[nodiscard]] double profile(double d) const {
        Eigen::VectorXd at = start(d);
        double best = value(d, at);
        for (int round = 0; round < 60; ++round) {
            const auto [slope, information] = step(d, at);
            const Eigen::VectorXd move = information.ldlt().solve(slope);
            double length = 1, now = best;
            for (; length > 1e-6; length /= 2) {
                const Eigen::VectorXd there = at + length * move;
                now = value(d, there);
                if (now > best) {
                    at = there;
                    break;
                }
            }
            if (!(now > best + 1e-11)) break;
            best = now;
        }
        return best;
    }

private:
    using Vector = Eigen::VectorXd;

    /// Thresholds from the pooled shares, as if d were spread evenly over both kinds.
    [[nodiscard]] Vector start(double d) const {
        double all = 0, so_far = 0;
        for (std::size_t j = 0; j < categories(); ++j) all += m_counts[0][j] + m_counts[1][j];
        Vector t(static_cast<Eigen::Index>(categories() - 1));
        for (std::size_t j = 0; j + 1 < categories(); ++j) {
            so_far += m_counts[0][j] + m_counts[1][j];
            const double share = 1 - so_far / all;
            double low = m_rule == SignalRule::yes_no ? -20 : 1e-9, high = 30;
            for (int i = 0; i < 60; ++i) {
                const double middle = (low + high) / 2;
                const Above here = above(m_rule, d, middle);
                ((here.p[0] + here.p[1]) / 2 > share ? low : high) = middle;
            }
            t(static_cast<Eigen::Index>(j)) = (low + high) / 2;
        }
        return t;
    }

    [[nodiscard]] double value(double d, const Vector& t) const {
        double sum = 0;
        std::array<double, 2> before{1, 1};
        for (std::size_t j = 0; j < categories(); ++j) {
            std::array<double, 2> after{0, 0};
            if (j + 1 < categories()) after = above(m_rule, d, t(static_cast<Eigen::Index>(j))).p;
            for (std::size_t kind = 0; kind < 2; ++kind) {
                const double p = before[kind] - after[kind];
                if (m_counts[kind][j] > 0) sum += p > 0 ? m_counts[kind][j] * std::log(p) : -1e9;
                if (p < 0) sum -= 1e9;
            }
            before = after;
        }
        if (m_rule == SignalRule::same_different && t.size() > 0 && t(0) <= 0) sum -= 1e9;
        return sum;
    }

    [[nodiscard]] std::pair<Vector, Eigen::MatrixXd> step(double d, const Vector& t) const {
        const Eigen::Index size = t.size();
        Vector slope = Vector::Zero(size);
        Eigen::MatrixXd information = 1e-10 * Eigen::MatrixXd::Identity(size, size);
        for (std::size_t kind = 0; kind < 2; ++kind) {
            double n = 0, before = 1;
            for (const double count : m_counts[kind]) n += count;
            Vector last = Vector::Zero(size);
            for (std::size_t j = 0; j < categories(); ++j) {
                Vector next = Vector::Zero(size);
                double after = 0;
                if (j + 1 < categories()) {
                    const auto i = static_cast<Eigen::Index>(j);
                    const Above here = above(m_rule, d, t(i));
                    after = here.p[kind];
                    next(i) = here.slope[kind];
                }
                const double p = std::max(before - after, 1e-14);
                const Vector change = last - next;
                slope += m_counts[kind][j] / p * change;
                information += n / p * change * change.transpose();
                last = next;
                before = after;
            }
        }
        return {slope, information};
    }

    SignalRule m_rule;
    std::array<std::vector<double>, 2> m_counts;
};

}   // namespace

SignalEstimate fit_sureness(SignalRule rule, const SurenessCounts& counts, double confidence, double widen) {
    promise(counts.signals.size() == counts.noises.size() && 0 < confidence && confidence < 1 && widen >= 1);
    const Scale scale(rule, counts);
    SignalEstimate fit;
    if (!r_index(counts) || scale.categories() < 2) return fit;
    const double least = rule == SignalRule::yes_no ? -k_most_d : 0;
    double low = least, high = k_most_d;
    constexpr double golden = 0.6180339887498949;
    double x = high - golden * (high - low), y = low + golden * (high - low);
    double fx = scale.profile(x), fy = scale.profile(y);
    for (int round = 0; round < 60; ++round) {
        if (fx >= fy) {
            high = y, y = x, fy = fx, x = high - golden * (high - low), fx = scale.profile(x);
        } else {
            low = x, x = y, fx = fy, y = low + golden * (high - low), fy = scale.profile(y);
        }
    }
    double at = (low + high) / 2;
    const double here = scale.profile(at), best = std::max(here, scale.profile(least));
    if (rule == SignalRule::same_different && best > here) at = 0;
    if (at < k_most_d - 0.5 && at > -k_most_d + 0.5) fit.estimate = at < 1e-6 && rule == SignalRule::same_different ? 0 : at;
    const double z = widen * normal_upper_quantile((1 - confidence) / 2);
    const auto end = [&](double out) -> Limit {
        double in = at;
        const auto outside = [&](double d) { return std::sqrt(2 * std::max(0.0, best - scale.profile(d))) > z; };
        if (!outside(out)) return std::nullopt;
        for (int round = 0; round < 45; ++round) {
            const double middle = (in + out) / 2;
            (outside(middle) ? out : in) = middle;
        }
        return (in + out) / 2;
    };
    fit.lower = end(least);
    fit.upper = end(k_most_d);
    if (rule == SignalRule::same_different && !fit.lower) fit.lower = 0;
    return fit;
}

}   // namespace oddplate::stats
