// Sizes in people for "close enough" when each person gives several answers: the test is the one that judges (the larger of the
// binomial and two-kinds tails), its most correct found anew for each number of people.
// Tests: tests/unit/stats/spots_size.test.cpp

#include <algorithm>
#include <cmath>

#include "lattice.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/spots_size.hpp"
#include "size_search.hpp"
#include "taster_law.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_most_people = 10'000;
constexpr std::int64_t k_most_walked = 25'000;
constexpr double k_keep = 1e-20;

class PooledSimilarityWalk {
public:
    PooledSimilarityWalk(std::int64_t each, const SimilarityTest& test, double pd_true, double gamma)
        : m_each(each),
          m_test(test),
          m_one_margin(taster_law(each, test.chance, discriminators_from_proportion(test.chance, test.p_margin), 1.0)),
          m_one_truth(taster_law(each, test.chance, pd_true, gamma)) {
        more();
        more();
    }
    void more() {
        ++m_people;
        m_margin = add_lattices(m_margin, m_one_margin);
        m_truth = add_lattices(m_truth, m_one_truth);
        trim(m_margin, k_keep);
        trim(m_truth, k_keep);
        find_most();
    }
    [[nodiscard]] std::int64_t n() const { return m_people; }
    [[nodiscard]] std::int64_t critical() const { return m_most; }
    /// The larger tail of the two at the margin.
    [[nodiscard]] double size() const { return m_size; }
    [[nodiscard]] double power() const {
        const std::int64_t answers = m_people * m_each;
        if (m_most < 0 || static_cast<double>(m_most) < static_cast<double>(answers) * m_test.chance * (1.0 - 1e-12)) return 0.0;
        const std::int64_t least = m_test.sided == Sided::two ? answers - m_most : 0;
        double sum = 0.0;
        for (std::int64_t x = std::max(least, m_truth.first); x <= std::min(m_most, m_truth.last()); ++x) sum += m_truth.at(x);
        return std::min(1.0, sum);
    }

private:
    // Tails rise with the count, and the most that passes never falls as people are added.
    void find_most() {
        const std::int64_t answers = m_people * m_each;
        double two_kinds = 0.0;
        for (std::int64_t x = m_margin.first; x <= std::min(m_most, m_margin.last()); ++x) two_kinds += m_margin.at(x);
        m_size = std::max(two_kinds, m_most < 0 ? 0.0 : binomial_lower(m_most, answers, m_test.p_margin));
        for (;;) {
            two_kinds += m_margin.at(m_most + 1);
            const double tail = std::max(two_kinds, binomial_lower(m_most + 1, answers, m_test.p_margin));
            if (!significant(tail, m_test.alpha)) return;
            m_size = tail;
            ++m_most;
        }
    }

    std::int64_t m_each;
    SimilarityTest m_test;
    Lattice m_one_margin;
    Lattice m_one_truth;
    Lattice m_margin;
    Lattice m_truth;
    std::int64_t m_people{0};
    std::int64_t m_most{-1};
    double m_size{0.0};
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
    const auto found = scan_sizes(PooledSimilarityWalk(each, test, pd_true, gamma), static_cast<std::int64_t>(sure), power);
    return found && found->tasters <= k_most_people ? found : std::nullopt;
}

}   // namespace

std::optional<PeopleSize> size_similarity_over_spots(const SpotsPlan& plan, const SimilarityTest& test, double pd_true,
                                                     double power) {
    promise(plan.spots >= 1 && plan.sets_per_taster >= 1 && 0.0 <= plan.gamma && plan.gamma <= 1.0);
    promise(0.0 <= pd_true && pd_true < discriminators_from_proportion(test.chance, test.p_margin));
    const bool pooled = plan.decide_on == DecideOn::overall;
    const double spots = plan.spots;
    const std::int64_t a_person = std::int64_t{plan.spots} * plan.sets_per_taster;
    const std::int64_t each = pooled ? a_person : plan.sets_per_taster;
    const double own_power = pooled ? power : std::pow(power, 1.0 / spots);
    const auto size = each == 1 ? size_similarity(test, proportion_from_discriminators(test.chance, pd_true), own_power)
                                : pooled_size(each, test, pd_true, plan.gamma, own_power);
    if (!size) return std::nullopt;
    return PeopleSize{size->tasters,  size->tasters_safe, size->tasters * a_person,
                      size->critical, size->alpha_actual, pooled ? size->power_actual : std::pow(size->power_actual, spots)};
}

}   // namespace oddplate::stats
