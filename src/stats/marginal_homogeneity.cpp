// Three binomials, counted together. Tests: tests/unit/stats/marginal_homogeneity.test.cpp

#include "oddplate/stats/marginal_homogeneity.hpp"

#include <cmath>
#include <vector>

#include "lattice.hpp"
#include "oddplate/stats/promise.hpp"
#include "oddplate/stats/test_laws.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_most_ways = 5e7;

/// People who moved between sorts 0 and 1, 0 and 2, 1 and 2: how many, and how many more of them went up than down.
struct Moves {
    std::array<std::int64_t, 3> many{}, up{};
};

Moves moves_of(const SortTable& counts) {
    constexpr std::size_t k_pairs[3][2] = {{0, 1}, {0, 2}, {1, 2}};
    Moves moves;
    for (std::size_t p = 0; p < 3; ++p) {
        const std::int64_t up = counts[k_pairs[p][0]][k_pairs[p][1]], down = counts[k_pairs[p][1]][k_pairs[p][0]];
        promise(up >= 0 && down >= 0);
        moves.many[p] = up + down;
        moves.up[p] = up - down;
    }
    return moves;
}

/// Only one of the three pairs of sorts was changed between: McNemar's square.
class Statistic {
public:
    explicit Statistic(const Moves& moves) {
        for (const std::int64_t many : moves.many) m_pairs += many > 0;
        m_first = static_cast<double>(moves.many[0] + moves.many[1]);
        m_last = static_cast<double>(moves.many[1] + moves.many[2]);
        m_both = -static_cast<double>(moves.many[1]);
        for (const std::int64_t many : moves.many) m_all += static_cast<double>(many);
    }
    [[nodiscard]] double df() const { return m_pairs == 1 ? 1.0 : 2.0; }
    /// Net moves up of each pair of sorts.
    [[nodiscard]] double operator()(double low, double across, double high) const {
        if (m_pairs == 1) return (low + across + high) * (low + across + high) / m_all;
        const double first = -(low + across), last = across + high;   // net arrivals in the outer sorts
        return (m_last * first * first - 2 * m_both * first * last + m_first * last * last) / (m_first * m_last - m_both * m_both);
    }

private:
    int m_pairs{0};
    double m_first{0}, m_last{0}, m_both{0}, m_all{0};
};

double exact_p(const Moves& moves, const Statistic& statistic, double reached) {
    const Lattice low = binomial_lattice(moves.many[0], 0.5, 0.0), across = binomial_lattice(moves.many[1], 0.5, 0.0), high = binomial_lattice(moves.many[2], 0.5, 0.0);
    const auto net = [](std::int64_t up, std::int64_t many) { return static_cast<double>(2 * up - many); };
    double p = 0;
    for (std::int64_t i = 0; i <= moves.many[0]; ++i)
        for (std::int64_t j = 0; j <= moves.many[1]; ++j) {
            double of_high = 0;
            for (std::int64_t k = 0; k <= moves.many[2]; ++k)
                if (statistic(net(i, moves.many[0]), net(j, moves.many[1]), net(k, moves.many[2])) >= reached * (1 - 1e-12)) of_high += high.at(k);
            p += low.at(i) * across.at(j) * of_high;
        }
    return std::min(1.0, p);
}

}   // namespace

std::optional<HomogeneityTest> marginal_homogeneity(const SortTable& counts) {
    const Moves moves = moves_of(counts);
    double ways = 1;
    std::int64_t all = 0;
    for (const std::int64_t many : moves.many) ways *= static_cast<double>(many) + 1, all += many;
    if (all == 0) return std::nullopt;
    const Statistic statistic(moves);
    HomogeneityTest test;
    test.statistic = statistic(static_cast<double>(moves.up[0]), static_cast<double>(moves.up[1]), static_cast<double>(moves.up[2]));
    test.df = statistic.df();
    test.p_value = chi_square_upper(test.statistic, test.df);
    if (ways <= k_most_ways) test.p_exact = exact_p(moves, statistic, test.statistic);
    return test;
}

}   // namespace oddplate::stats
