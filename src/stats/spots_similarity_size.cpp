// Sizes in people for "close enough" when each person gives several answers: the test is the one that judges (the larger of the
// binomial and two-kinds tails), its most correct found anew for each number of people.
// Tests: tests/unit/stats/spots_size.test.cpp

#include <algorithm>
#include <cmath>
#include <utility>

#include "lattice.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/spots_agree.hpp"
#include "oddplate/stats/spots_size.hpp"
#include "size_search.hpp"
#include "sum_tail.hpp"
#include "taster_law.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_most_people = 10'000;
constexpr std::int64_t k_most_walked = 25'000;

// Tasters who give several answers each, as they come, to `last` of them. One walk knows the law at the margin (two kinds of taster)
// and the one that is true; both as tails of a sum.
class PooledSimilarityWalk {
public:
    PooledSimilarityWalk(std::int64_t each, const SimilarityTest& test, double pd_true, double gamma, std::int64_t last)
        : m_each(each),
          m_test(test),
          m_one_truth(taster_law(each, test.chance, pd_true, gamma)),
          m_margin(taster_law(each, test.chance, discriminators_from_proportion(test.chance, test.p_margin), 1.0), 2, last),
          m_truth(m_one_truth, 2, last) {
        if (is_possible()) find_most();
    }
    [[nodiscard]] bool is_possible() const { return m_margin.is_possible() && m_truth.is_possible(); }
    void more() {
        m_margin.more();
        m_truth.more();
        find_most();
    }
    [[nodiscard]] std::int64_t n() const { return m_truth.n(); }
    [[nodiscard]] std::int64_t critical() const { return m_most; }
    /// The larger tail of the two at the margin.
    [[nodiscard]] double size() const { return m_most < 0 ? 0.0 : margin_tail(m_most); }
    [[nodiscard]] double power() const { return inside(m_test.sided == Sided::two ? answers() - m_most : 0); }
    /// The guards included: counts below chance, and the spots that differ where the count is of `spots` of them. Only where that decides
    /// whether `wanted` is reached are the spots looked at; else it is a bound on the same side of it.
    [[nodiscard]] double verdict(int spots, double wanted) const {
        std::int64_t least = most_correct(answers(), m_test.chance, m_test.alpha).value_or(-1) + 1;
        if (m_test.sided == Sided::two) least = std::max(least, answers() - m_most);
        const double counted = inside(least);
        if (spots == 1 || !reached(counted, wanted)) return counted;
        if (wanted > 0.0 && reached(counted * (1.0 - m_test.alpha), wanted)) return counted * (1.0 - m_test.alpha);
        return counted * chance_spots_agree({n(), spots, static_cast<int>(m_each) / spots}, m_one_truth.weights, least, m_most,
                                            m_test.alpha);
    }

private:
    [[nodiscard]] std::int64_t answers() const { return n() * m_each; }
    [[nodiscard]] double inside(std::int64_t least) const {
        if (m_most < least || static_cast<double>(m_most) < static_cast<double>(answers()) * m_test.chance * (1.0 - 1e-12)) return 0.0;
        return std::max(0.0, m_truth.upper(least) - m_truth.upper(m_most + 1));
    }
    [[nodiscard]] double margin_tail(std::int64_t most) const {
        return std::max(1.0 - m_margin.upper(most + 1), binomial_lower(most, answers(), m_test.p_margin));
    }
    // Tails rise with the count, and the most that passes never falls as people are added; the binomial's most is an upper end.
    void find_most() {
        std::int64_t low = m_most;
        std::int64_t high = std::max(low, most_correct(answers(), m_test.p_margin, m_test.alpha).value_or(-1));
        while (low < high) {
            const std::int64_t middle = low + (high - low + 1) / 2;
            if (significant(margin_tail(middle), m_test.alpha))
                low = middle;
            else
                high = middle - 1;
        }
        m_most = low;
    }

    std::int64_t m_each;
    SimilarityTest m_test;
    Lattice m_one_truth;
    SumTail m_margin;
    SumTail m_truth;
    std::int64_t m_most{-1};
};

// The walk seen by what the verdict will be.
class VerdictWalk {
public:
    VerdictWalk(PooledSimilarityWalk walk, int spots, double wanted) : m_walk(std::move(walk)), m_spots(spots), m_wanted(wanted) {}
    void more() { m_walk.more(); }
    [[nodiscard]] std::int64_t n() const { return m_walk.n(); }
    [[nodiscard]] std::int64_t critical() const { return m_walk.critical(); }
    [[nodiscard]] double size() const { return m_walk.size(); }
    [[nodiscard]] double power() const { return m_walk.verdict(m_spots, m_wanted); }

private:
    PooledSimilarityWalk m_walk;
    int m_spots;
    double m_wanted;
};

// People from which power holds: both tails at the margin obey Hoeffding with counts of 0..m a person, so with `people` for n the
// argument of size_similarity stands unchanged; the guard holds from where n gap - sqrt(n log(1/alpha)/2) >= 1.
double sure_people(const SimilarityTest& test, double p_true, double power) {
    const bool both = test.sided == Sided::two;
    const double worse = both ? std::max(p_true, 1.0 - p_true) : p_true;
    const double miss = both ? (1.0 - power) / 2.0 : 1.0 - power;
    const double gap = test.p_margin - test.chance;
    const double b = std::sqrt(std::log(1.0 / test.alpha) / 2.0);
    const double root = (b + std::sqrt(b * b + 4.0 * gap)) / (2.0 * gap);
    return std::max(hoeffding_n(test.p_margin - worse, test.alpha, miss), root * root);
}

std::optional<PanelSize> pooled_size(std::int64_t each, const SimilarityTest& test, double pd_true, double gamma, double power) {
    const double p_true = proportion_from_discriminators(test.chance, pd_true);
    const double sure = std::ceil(sure_people(test, p_true, power));
    if (!(sure <= static_cast<double>(k_most_walked))) return std::nullopt;
    const std::int64_t last = std::max<std::int64_t>(2, static_cast<std::int64_t>(sure));
    PooledSimilarityWalk walk(each, test, pd_true, gamma, last);
    if (!walk.is_possible()) return std::nullopt;
    const auto found = scan_sizes(std::move(walk), last, power);
    return found && found->tasters <= k_most_people ? found : std::nullopt;
}

// Both powers of so many people, one whose size was found.
SimilarityPower verdict_power(std::int64_t each, const SimilarityTest& test, double pd_true, double gamma, std::int64_t people,
                              int pooled_spots) {
    promise(people >= 2);
    PooledSimilarityWalk walk(each, test, pd_true, gamma, people);
    promise(walk.is_possible());
    while (walk.n() < people) walk.more();
    return {walk.power(), walk.verdict(pooled_spots, 0.0)};
}

// The same for the verdict, guards included. Counts below chance come alpha of the time at most, and spots that are alike are found
// to differ alpha of the time at most, so tails that hold with `enough` will do.
std::optional<PanelSize> verdict_size(const SpotsPlan& plan, std::int64_t each, const SimilarityTest& test, double pd_true,
                                      double power) {
    const int pooled_spots = plan.decide_on == DecideOn::overall ? plan.spots : 1;
    const double enough = (pooled_spots > 1 ? power / (1.0 - test.alpha) : power) + test.alpha;
    if (enough >= 1.0) return std::nullopt;
    const double p_true = proportion_from_discriminators(test.chance, pd_true);
    const double sure = std::ceil(sure_people(test, p_true, enough));
    if (!(sure <= static_cast<double>(k_most_walked))) return std::nullopt;
    const std::int64_t last = std::max<std::int64_t>(2, static_cast<std::int64_t>(sure));
    PooledSimilarityWalk walk(each, test, pd_true, plan.gamma, last);
    if (!walk.is_possible()) return std::nullopt;
    auto found = scan_sizes(VerdictWalk(std::move(walk), pooled_spots, power), last, power);
    if (!found || found->tasters > k_most_people) return std::nullopt;
    found->power_actual = verdict_power(each, test, pd_true, plan.gamma, found->tasters, pooled_spots).verdict;
    return found;
}

struct OneCount {
    std::int64_t each;   // answers of one person in it
    int counts;          // so many must pass
};

OneCount count_of(const SpotsPlan& plan) {
    promise(plan.spots >= 1 && plan.sets_per_taster >= 1 && 0.0 <= plan.gamma && plan.gamma <= 1.0);
    if (plan.decide_on == DecideOn::overall) return {std::int64_t{plan.spots} * plan.sets_per_taster, 1};
    return {plan.sets_per_taster, plan.spots};
}

PeopleSize in_people(const SpotsPlan& plan, const PanelSize& size, int counts) {
    return {size.tasters,  size.tasters_safe, size.tasters * plan.spots * plan.sets_per_taster,
            size.critical, size.alpha_actual, std::pow(size.power_actual, counts)};
}

}   // namespace

std::optional<PeopleSize> size_similarity_over_spots(const SpotsPlan& plan, const SimilarityTest& test, double pd_true,
                                                     double power) {
    promise(0.0 <= pd_true && pd_true < discriminators_from_proportion(test.chance, test.p_margin));
    const auto [each, counts] = count_of(plan);
    const double own_power = std::pow(power, 1.0 / counts);
    const auto size = each == 1 ? size_similarity(test, proportion_from_discriminators(test.chance, pd_true), own_power)
                                : pooled_size(each, test, pd_true, plan.gamma, own_power);
    return size ? std::optional(in_people(plan, *size, counts)) : std::nullopt;
}

std::optional<PeopleSize> size_similarity_verdict_over_spots(const SpotsPlan& plan, const SimilarityTest& test, double pd_true,
                                                             double power) {
    promise(0.0 <= pd_true && pd_true < discriminators_from_proportion(test.chance, test.p_margin));
    const auto [each, counts] = count_of(plan);
    const double own_power = std::pow(power, 1.0 / counts);
    const auto size = each == 1 ? size_similarity_verdict(test, proportion_from_discriminators(test.chance, pd_true), own_power)
                                : verdict_size(plan, each, test, pd_true, own_power);
    return size ? std::optional(in_people(plan, *size, counts)) : std::nullopt;
}

SimilarityPower similarity_power_over_spots(const SpotsPlan& plan, const SimilarityTest& test, double pd_true, std::int64_t people) {
    const auto [each, counts] = count_of(plan);
    const double p_true = proportion_from_discriminators(test.chance, pd_true);
    SimilarityPower one;
    if (each == 1) {
        one = {power_similarity(test, people, p_true), power_similarity_verdict(test, people, p_true)};
    } else {
        one = verdict_power(each, test, pd_true, plan.gamma, people, counts == 1 ? plan.spots : 1);
    }
    return {std::pow(one.tails, counts), std::pow(one.verdict, counts)};
}

}   // namespace oddplate::stats
