#pragma once
// The difference test along panel sizes, and where it is worth looking.

#include <algorithm>
#include <cstdint>
#include <optional>

#include "oddplate/stats/critical_walk.hpp"
#include "size_search.hpp"

namespace oddplate::stats {

/// Power and size of "X >= k at p0 is significant" with the truth p1, for n, n + 1, ...
class DifferenceWalk {
public:
    DifferenceWalk(std::int64_t n, double p0, double p1, double alpha) : m_test(n, p0, alpha), m_truth(n, m_test.cut(), p1) {}
    void more() {
        m_truth.more();
        if (m_test.more()) m_truth.raise();
    }
    [[nodiscard]] std::int64_t n() const { return m_test.n(); }
    [[nodiscard]] double power() const { return m_truth.above(); }
    [[nodiscard]] std::int64_t critical() const { return m_test.cut() + 1; }
    [[nodiscard]] double size() const { return m_test.size(); }

private:
    CriticalWalk m_test;
    CutWalk m_truth;
};

/// How often the randomised test of size alpha also rejects at the cut itself.
inline double share_at_cut(const CriticalWalk& test, double alpha) {
    return std::clamp((alpha - test.size()) / test.at_cut(), 0.0, 1.0);
}

/// Power of the most powerful randomised test of size alpha.
inline double randomised_power(std::int64_t n, double p0, double p1, double alpha) {
    const CriticalWalk test(n, p0, alpha);
    const CutWalk truth(n, test.cut(), p1);
    return truth.above() + share_at_cut(test, alpha) * truth.at_cut();
}

struct Stretch {
    std::int64_t first;
    std::int64_t last;
};

/// Where to look: r(n) is the randomised power, `spread` bounds how far the exact power lies below it.
template <class Randomised, class Spread>
std::optional<Stretch> stretch(double surely, double wanted, Randomised r, Spread spread) {
    const double cap = 4.0 * static_cast<double>(k_most_tasters);
    const std::int64_t sure = std::max<std::int64_t>(2, static_cast<std::int64_t>(std::ceil(std::min(surely, cap))));
    const std::int64_t first = first_that_holds(2, sure, [&](std::int64_t n) { return reached(r(n), wanted); });
    if (first > k_most_tasters || first > sure) return std::nullopt;
    const std::int64_t last = first_that_holds(first, sure, [&](std::int64_t n) { return r(n) - spread(n) >= wanted; });
    if (last > sure && surely > cap) return std::nullopt;
    return Stretch{first, std::min(last, sure)};
}

inline std::optional<Stretch> difference_stretch(double p0, double p1, double alpha, double wanted) {
    return stretch(
        hoeffding_n(p1 - p0, alpha, 1.0 - wanted), wanted, [=](std::int64_t n) { return randomised_power(n, p0, p1, alpha); },
        [=](std::int64_t n) { return highest_pmf(n, p1); });
}

}   // namespace oddplate::stats
