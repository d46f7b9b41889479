// Sizes of the difference and preference tests: walk n with the critical count moving by 0 or 1, over a stretch that is proven to
// hold both the first size that passes and the last that fails. Tests: tests/unit/stats/power.test.cpp

#include "oddplate/stats/power.hpp"

#include <algorithm>

#include "difference_walk.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/critical_walk.hpp"
#include "oddplate/stats/promise.hpp"
#include "size_search.hpp"

namespace oddplate::stats {
namespace {

class PreferenceWalk {
public:
    PreferenceWalk(std::int64_t n, double share, double alpha)
        : m_test(n, 0.5, alpha / 2.0), m_more(n, m_test.cut(), share), m_fewer(n, m_test.cut(), 1.0 - share) {}
    void more() {
        m_more.more();
        m_fewer.more();
        if (!m_test.more()) return;
        m_more.raise();
        m_fewer.raise();
    }
    [[nodiscard]] std::int64_t n() const { return m_test.n(); }
    [[nodiscard]] double power() const { return m_more.above() + m_fewer.above(); }
    [[nodiscard]] std::int64_t critical() const { return m_test.cut() + 1; }
    [[nodiscard]] double size() const { return 2.0 * m_test.size(); }

private:
    CriticalWalk m_test;
    CutWalk m_more;
    CutWalk m_fewer;
};

double randomised_preference(std::int64_t n, double share, double alpha) {
    return randomised_power(n, 0.5, share, alpha / 2.0) + randomised_power(n, 0.5, 1.0 - share, alpha / 2.0);
}

}   // namespace

double power_difference(std::int64_t n, double p0, double p1, double alpha) {
    const auto least = least_correct(n, p0, alpha);
    return least ? binomial_upper(*least, n, p1) : 0.0;
}

std::optional<PanelSize> size_difference(double p0, double p1, double alpha, double power) {
    promise(0.0 < p0 && p0 < p1 && p1 <= 1.0 && 0.0 < alpha && alpha < 1.0 && 0.0 < power && power < 1.0);
    const auto look = difference_stretch(p0, p1, alpha, power);
    if (!look) return std::nullopt;
    return scan_sizes(DifferenceWalk(look->first, p0, p1, alpha), look->last, power);
}

double power_preference(std::int64_t n, double share, double alpha) {
    return power_difference(n, 0.5, share, alpha / 2.0) + power_difference(n, 0.5, 1.0 - share, alpha / 2.0);
}

std::optional<PanelSize> size_preference(double share, double alpha, double power) {
    promise(0.0 <= share && share <= 1.0 && share != 0.5 && 0.0 < alpha && alpha < 1.0 && 0.0 < power && power < 1.0);
    const double leader = std::max(share, 1.0 - share);
    const auto look = stretch(
        hoeffding_n(leader - 0.5, alpha / 2.0, 1.0 - power), power,
        [&](std::int64_t n) { return randomised_preference(n, leader, alpha); },
        [&](std::int64_t n) { return 2.0 * highest_pmf(n, leader); });
    if (!look) return std::nullopt;
    return scan_sizes(PreferenceWalk(look->first, leader, alpha), look->last, power);
}

std::optional<PanelSize> size_not_less(double share, double true_share, double alpha, double power) {
    return size_difference(share, true_share, alpha, power);
}

}   // namespace oddplate::stats
