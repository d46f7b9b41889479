// Sizes in people. One answer a taster in the count, or tasters all alike: the walks of power.hpp, a person at a time. Else the
// count's tail is followed as people are added (sum_tail.hpp), up to a size beyond which Hoeffding's or Bernstein's inequality shows
// that power holds. Tests: tests/unit/stats/spots_size.test.cpp

#include "oddplate/stats/spots_size.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "difference_walk.hpp"
#include "lattice.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/promise.hpp"
#include "size_search.hpp"
#include "sum_tail.hpp"
#include "taster_law.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_most_people = 10'000;
constexpr std::int64_t k_most_walked = 25'000;

// People at a time, tasters all alike: a binomial count of people x `each` answers.
class AlikeWalk {
public:
    AlikeWalk(std::int64_t people, std::int64_t each, double p0, double p1, double alpha)
        : m_people(people), m_each(each), m_walk(people * each, p0, p1, alpha) {}
    void more() {
        ++m_people;
        for (std::int64_t i = 0; i < m_each; ++i) m_walk.more();
    }
    [[nodiscard]] std::int64_t n() const { return m_people; }
    [[nodiscard]] double power() const { return m_walk.power(); }
    [[nodiscard]] std::int64_t critical() const { return m_walk.critical(); }
    [[nodiscard]] double size() const { return m_walk.size(); }

private:
    std::int64_t m_people;
    std::int64_t m_each;
    DifferenceWalk m_walk;
};

// The same with tasters who differ.
class DifferingWalk {
public:
    DifferingWalk(std::int64_t people, std::int64_t each, double p0, SumTail truth, double alpha)
        : m_people(people), m_each(each), m_test(people * each, p0, alpha), m_truth(std::move(truth)) {}
    void more() {
        ++m_people;
        m_truth.more();
        for (std::int64_t i = 0; i < m_each; ++i) m_test.more();
    }
    [[nodiscard]] std::int64_t n() const { return m_people; }
    [[nodiscard]] double power() const { return m_test.possible() ? m_truth.upper(critical()) : 0.0; }
    [[nodiscard]] std::int64_t critical() const { return m_test.cut() + 1; }
    [[nodiscard]] double size() const { return m_test.size(); }

private:
    std::int64_t m_people;
    std::int64_t m_each;
    CriticalWalk m_test;
    SumTail m_truth;
};

double variance(const Lattice& one) {
    double mean = 0.0;
    double squares = 0.0;
    for (std::int64_t x = one.first; x <= one.last(); ++x) {
        mean += one.at(x) * static_cast<double>(x);
        squares += one.at(x) * static_cast<double>(x) * static_cast<double>(x);
    }
    return std::max(0.0, squares - mean * mean);
}

// People from which the miss rate stays within `miss`: the critical count lies less than t0 = sqrt(N m log(1/alpha)/2) above N m
// p0 (Hoeffding), so the count misses only by falling t = N m gap - t0 short of its mean; that has at most exp(-2 t^2/(N m^2))
// (Hoeffding) and at most exp(-t^2/(2 (N var + m t/3))) (Bernstein). Both bounds fall in N once t > 0.
std::int64_t sure_people(std::int64_t each, double gap, double alpha, double miss, double one_variance) {
    const double m = static_cast<double>(each);
    const double wanted = std::log(1.0 / miss);
    return first_that_holds(2, k_most_walked, [&](std::int64_t people) {
        const double n = static_cast<double>(people);
        const double t = n * m * gap - std::sqrt(n * m * std::log(1.0 / alpha) / 2.0);
        if (t <= 0.0) return false;
        return 2.0 * t * t / (n * m * m) >= wanted || t * t / (2.0 * (n * one_variance + m * t / 3.0)) >= wanted;
    });
}

std::optional<PanelSize> differing_size(std::int64_t each, double chance, double pd, double gamma, double alpha, double power) {
    const Lattice one = taster_law(each, chance, pd, gamma);
    const std::int64_t last = sure_people(each, (1.0 - chance) * pd, alpha, 1.0 - power, variance(one));
    if (last > k_most_walked) return std::nullopt;
    SumTail truth(one, 2, std::max<std::int64_t>(2, last));
    if (!truth.is_possible()) return std::nullopt;
    const auto found = scan_sizes(DifferingWalk(2, each, chance, std::move(truth), alpha), last, power);
    return found && found->tasters <= k_most_people ? found : std::nullopt;
}

std::optional<PanelSize> alike_size(std::int64_t each, double p0, double p1, double alpha, double power) {
    const auto look = difference_stretch(p0, p1, alpha, power);
    if (!look) return std::nullopt;
    const std::int64_t first = std::max<std::int64_t>(2, look->first / each);
    const std::int64_t last = std::max<std::int64_t>(first, (look->last + each - 1) / each);
    return scan_sizes(AlikeWalk(first, each, p0, p1, alpha), last, power);
}

}   // namespace

std::optional<PeopleSize> size_over_spots(const SpotsPlan& plan, double chance, double pd, double alpha, double power) {
    promise(plan.spots >= 1 && plan.sets_per_taster >= 1 && 0.0 <= plan.gamma && plan.gamma <= 1.0);
    promise(0.0 < chance && chance < 1.0 && 0.0 < pd && pd <= 1.0);
    const bool pooled = plan.decide_on == DecideOn::overall;
    const bool each_spot = plan.decide_on == DecideOn::each_spot;
    const double spots = plan.spots;
    const std::int64_t each = pooled ? std::int64_t{plan.spots} * plan.sets_per_taster : plan.sets_per_taster;
    const double own_alpha = plan.decide_on == DecideOn::any_spot ? alpha / spots : alpha;
    const double own_power = each_spot ? std::pow(power, 1.0 / spots) : power;
    const auto size = each == 1 || plan.gamma == 0.0
                          ? alike_size(each, chance, proportion_from_discriminators(chance, pd), own_alpha, own_power)
                          : differing_size(each, chance, pd, plan.gamma, own_alpha, own_power);
    if (!size) return std::nullopt;
    const std::int64_t a_person = std::int64_t{plan.spots} * plan.sets_per_taster;
    return PeopleSize{size->tasters,  size->tasters_safe, size->tasters * a_person,
                      size->critical, size->alpha_actual, each_spot ? std::pow(size->power_actual, spots) : size->power_actual};
}

}   // namespace oddplate::stats
