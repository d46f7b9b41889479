#pragma once
// Valleys of a few variables, with gradients.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <vector>

namespace oddplate::stats {

struct Slope {
    double value{0.0};
    std::vector<double> gradient;
};

struct Valley {
    std::vector<double> x;
    Slope at;
    int steps{0};
};

[[nodiscard]] inline double largest_of(const std::vector<double>& values) {
    double largest = 0.0;
    for (const double value : values) largest = std::max(largest, std::fabs(value));
    return largest;
}

/// The way down by the inverse curvature gathered so far (Broyden, Fletcher, Goldfarb & Shanno; Nocedal & Wright 2006, algorithm 6.1).
class InverseCurvature {
public:
    explicit InverseCurvature(std::size_t size) : m_size(size), m_h(size * size, 0.0) { reset(1.0); }
    void reset(double scale) {
        std::fill(m_h.begin(), m_h.end(), 0.0);
        for (std::size_t i = 0; i < m_size; ++i) m_h[i * m_size + i] = scale;
    }
    [[nodiscard]] std::vector<double> times(const std::vector<double>& v) const {
        std::vector<double> out(m_size, 0.0);
        for (std::size_t i = 0; i < m_size; ++i)
            for (std::size_t j = 0; j < m_size; ++j) out[i] += m_h[i * m_size + j] * v[j];
        return out;
    }
    /// What a move and the change of the gradient along it say.
    void learn(const std::vector<double>& move, const std::vector<double>& change, bool first) {
        const double along = std::inner_product(move.begin(), move.end(), change.begin(), 0.0);
        if (!(along > 1e-300)) return;
        if (first) reset(along / std::inner_product(change.begin(), change.end(), change.begin(), 0.0));
        const std::vector<double> hy = times(change);
        const double yhy = std::inner_product(change.begin(), change.end(), hy.begin(), 0.0);
        for (std::size_t i = 0; i < m_size; ++i)
            for (std::size_t j = 0; j < m_size; ++j)
                m_h[i * m_size + j] += (1.0 + yhy / along) * move[i] * move[j] / along - (hy[i] * move[j] + move[i] * hy[j]) / along;
    }

private:
    std::size_t m_size;
    std::vector<double> m_h;
};

/// Downhill from a start until no partial derivative exceeds `flat` or the gathered curvature promises less of a fall than `value_noise` (relative to
/// the value); at most `most` moves. f(x) answers a Slope; a value that is not finite is a wall.
template <class F>
[[nodiscard]] Valley descend(F f, std::vector<double> start, double flat, double value_noise = 1e-15, int most = 200, double longest = 2.0) {
    Valley now{std::move(start), {}, 0};
    now.at = f(now.x);
    const std::size_t size = now.x.size();
    InverseCurvature inverse(size);
    bool first = true;
    while (now.steps < most && largest_of(now.at.gradient) > flat) {
        ++now.steps;
        std::vector<double> move = inverse.times(now.at.gradient);
        for (double& part : move) part = -part;
        double fall = std::inner_product(move.begin(), move.end(), now.at.gradient.begin(), 0.0);
        if (!(fall < 0.0)) {
            inverse.reset(1.0);
            for (std::size_t i = 0; i < size; ++i) move[i] = -now.at.gradient[i];
            fall = -std::inner_product(move.begin(), move.end(), move.begin(), 0.0);
            first = true;
        }
        if (!first && -fall <= value_noise * std::fabs(now.at.value)) break;
        double length = std::min(1.0, (first ? 0.5 : longest) / largest_of(move));
        Slope there;
        std::vector<double> x(size);
        bool down = false;
        for (int halved = 0; halved < 20 && !down; ++halved) {
            for (std::size_t i = 0; i < size; ++i) x[i] = now.x[i] + length * move[i];
            there = f(x);
            down = std::isfinite(there.value) && there.value <= now.at.value + 1e-4 * length * fall;
            // Close to the bottom the value has lost its digits before the gradient has (Hager & Zhang 2005, SIAM J. Optimization 16:170).
            down = down || (there.value <= now.at.value + 1e-13 * std::fabs(now.at.value) && largest_of(there.gradient) < 0.5 * largest_of(now.at.gradient));
            if (down) break;
            // The parabola through what is known, within a tenth and a half of the last length.
            const double bend = there.value - now.at.value - length * fall;
            const double better = std::isfinite(bend) && bend > 0.0 ? -fall * length * length / (2.0 * bend) : 0.0;
            length = std::clamp(better, 0.1 * length, 0.5 * length);
        }
        if (!down) {
            if (first) break;   // nothing is gained along the gradient itself: rounding
            inverse.reset(1.0);
            first = true;
            continue;
        }
        std::vector<double> change(size);
        for (std::size_t i = 0; i < size; ++i) {
            move[i] = x[i] - now.x[i];
            change[i] = there.gradient[i] - now.at.gradient[i];
        }
        inverse.learn(move, change, first);
        first = false;
        now.x = std::move(x);
        now.at = std::move(there);
    }
    return now;
}

}   // namespace oddplate::stats
