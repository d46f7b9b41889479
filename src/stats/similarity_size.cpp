// Sizes of the close-enough test. Seen from the wrong answers Y = n - K it is a difference test ("Y >= n - most at 1 -
// p_margin"), so the same walk serves; the guard against passing by luck alone only adds sizes that fail. Tests:
// tests/unit/stats/similarity_size.test.cpp

#include <algorithm>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/critical_walk.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/promise.hpp"
#include "size_search.hpp"

namespace oddplate::stats {
namespace {

bool guard_holds(std::int64_t most, std::int64_t n, double chance) {
    return static_cast<double>(most) >= static_cast<double>(n) * chance * (1.0 - 1e-12);
}

// P(low <= X <= high), from the side on which the tails are small.
double between(std::int64_t low, std::int64_t high, std::int64_t n, double p) {
    if (low > high) return 0.0;
    const double gap = static_cast<double>(high) < static_cast<double>(n) * p
                           ? binomial_lower(high, n, p) - binomial_lower(low - 1, n, p)
                           : binomial_upper(low, n, p) - binomial_upper(high + 1, n, p);
    return std::max(0.0, gap);
}

// All walks share the cut c = n - most - 1 of the wrong answers. Where both directions count, right answers are cut there too. With
// `guarded` counts below chance pass no more: they are cut where the wrong answers are significantly many at 1 - chance.
class SimilarityWalk {
public:
    SimilarityWalk(const SimilarityTest& test, std::int64_t n, double p_true, bool guarded = false)
        : m_chance(test.chance), m_margin(n, 1.0 - test.p_margin, test.alpha), m_wrong(n, m_margin.cut(), 1.0 - p_true) {
        if (guarded) {
            m_guard.emplace(n, 1.0 - test.chance, test.alpha);
            m_below.emplace(n, m_guard->cut(), 1.0 - p_true);
        }
        if (test.sided == Sided::one) return;
        m_right_at_margin.emplace(n, m_margin.cut(), test.p_margin);
        m_right.emplace(n, m_margin.cut(), p_true);
    }
    void more() {
        const bool raised = m_margin.more();
        follow(m_wrong, raised);
        if (m_guard) {
            const bool guard_raised = m_guard->more();
            follow(*m_below, guard_raised);
        }
        if (!m_right) return;
        follow(*m_right, raised);
        follow(*m_right_at_margin, raised);
    }
    [[nodiscard]] std::int64_t n() const { return m_margin.n(); }
    [[nodiscard]] std::int64_t critical() const { return n() - m_margin.cut() - 1; }
    [[nodiscard]] double power() const {
        if (!passes()) return 0.0;
        const double without_guard = inside(m_wrong.above(), m_right);
        return m_below ? std::max(0.0, std::min(without_guard, m_wrong.above() - m_below->above())) : without_guard;
    }
    [[nodiscard]] double size() const { return passes() ? inside(m_margin.size(), m_right_at_margin) : 0.0; }

private:
    static void follow(CutWalk& walk, bool raised) {
        walk.more();
        if (raised) walk.raise();
    }
    [[nodiscard]] bool passes() const { return m_margin.possible() && guard_holds(critical(), n(), m_chance); }
    // P(K <= most) less P(K < n - most) where both directions count.
    static double inside(double wrong_above, const std::optional<CutWalk>& right) {
        return right ? std::max(0.0, wrong_above - (1.0 - right->above())) : wrong_above;
    }

    double m_chance;
    CriticalWalk m_margin;
    CutWalk m_wrong;
    std::optional<CutWalk> m_right_at_margin;
    std::optional<CutWalk> m_right;
    std::optional<CriticalWalk> m_guard;
    std::optional<CutWalk> m_below;
};

double randomised_power(const SimilarityTest& test, std::int64_t n, double p_true) {
    const CriticalWalk margin(n, 1.0 - test.p_margin, test.alpha);
    const CutWalk wrong(n, margin.cut(), 1.0 - p_true);
    return wrong.above() + std::clamp((test.alpha - margin.size()) / margin.at_cut(), 0.0, 1.0) * wrong.at_cut();
}

// From this n on `most` is at least n chance: by Hoeffding n - most < n (1 - p_margin) + t + 1, t = sqrt(n log(1/alpha)/2).
double guard_n(const SimilarityTest& test) {
    const double gap = test.p_margin - test.chance;
    const double b = std::sqrt(std::log(1.0 / test.alpha) / 2.0);
    const double root = (b + std::sqrt(b * b + 4.0 * gap)) / (2.0 * gap);
    return root * root;
}

}   // namespace

std::optional<std::int64_t> most_similar(const SimilarityTest& test, std::int64_t n) {
    const auto most = most_correct(n, test.p_margin, test.alpha);
    if (!most || !guard_holds(*most, n, test.chance)) return std::nullopt;
    return most;
}

double power_similarity(const SimilarityTest& test, std::int64_t n, double p_true) {
    const auto most = most_similar(test, n);
    if (!most) return 0.0;
    if (test.sided == Sided::one) return binomial_lower(*most, n, p_true);
    return between(n - *most, *most, n, p_true);
}

double power_similarity_verdict(const SimilarityTest& test, std::int64_t n, double p_true) {
    const auto most = most_similar(test, n);
    if (!most) return 0.0;
    const std::int64_t not_below = most_correct(n, test.chance, test.alpha).value_or(-1) + 1;
    const std::int64_t least = test.sided == Sided::one ? not_below : std::max(not_below, n - *most);
    return between(least, *most, n, p_true);
}

namespace {

// Guarded: counts below chance come with at most alpha at a truth of chance or more, so tails that hold with power + alpha do.
std::optional<PanelSize> find_size(const SimilarityTest& test, double p_true, double power, bool guarded) {
    const double enough = guarded ? power + test.alpha : power;
    if (enough >= 1.0) return std::nullopt;
    promise(0.0 < test.alpha && test.alpha < 1.0 && 0.0 < power && power < 1.0);
    promise(test.chance < test.p_margin && p_true < test.p_margin && 0.0 < p_true && test.p_margin <= 1.0);
    promise(test.sided == Sided::one || (test.chance == 0.5 && p_true > 1.0 - test.p_margin));
    const bool both = test.sided == Sided::two;
    // Both directions miss at most half of it each; the truth that lies nearer to its margin decides.
    const double worse = both ? std::max(p_true, 1.0 - p_true) : p_true;
    const double miss = both ? (1.0 - enough) / 2.0 : 1.0 - enough;
    const double sure = std::max(hoeffding_n(test.p_margin - worse, test.alpha, miss), guard_n(test));
    const std::int64_t last = std::max<std::int64_t>(2, static_cast<std::int64_t>(std::ceil(std::min(sure, 4e9))));
    const std::int64_t first =
        first_that_holds(2, last, [&](std::int64_t n) { return reached(randomised_power(test, n, worse), power); });
    if (first > k_most_tasters || first > last) return std::nullopt;
    // Each direction's exact power lies at most one probability below its randomised power, which rises in n.
    const auto at_least = [&](std::int64_t n) {
        const double one = randomised_power(test, n, p_true) - highest_pmf(n, p_true);
        return both ? one + randomised_power(test, n, 1.0 - p_true) - highest_pmf(n, p_true) - 1.0 : one;
    };
    const std::int64_t from = std::clamp<std::int64_t>(static_cast<std::int64_t>(std::ceil(guard_n(test))), first, last);
    const std::int64_t end = std::min(last, first_that_holds(from, last, [&](std::int64_t n) { return at_least(n) >= enough; }));
    return scan_sizes(SimilarityWalk(test, first, p_true, guarded), end, power);
}

}   // namespace

std::optional<PanelSize> size_similarity(const SimilarityTest& test, double p_true, double power) {
    return find_size(test, p_true, power, false);
}

std::optional<PanelSize> size_similarity_verdict(const SimilarityTest& test, double p_true, double power) {
    promise(p_true >= test.chance);
    return find_size(test, p_true, power, true);
}

}   // namespace oddplate::stats
