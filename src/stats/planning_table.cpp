// The whole planning table in one sweep an alpha: the critical count is found once for each n and shared by all five differences,
// the five powers are read off the same walk. Tests: tests/unit/stats/planning_table.test.cpp

#include <algorithm>

#include "oddplate/stats/critical_walk.hpp"
#include "oddplate/stats/link.hpp"
#include "oddplate/stats/power.hpp"
#include "oddplate/stats/promise.hpp"
#include "size_search.hpp"

namespace oddplate::stats {
namespace {

constexpr std::array<double, 5> k_alphas{0.2, 0.1, 0.05, 0.01, 0.001};
constexpr std::array<double, 5> k_powers{0.5, 0.8, 0.9, 0.95, 0.99};
constexpr std::array<double, 5> k_discriminators{0.5, 0.4, 0.3, 0.2, 0.1};

// One difference under one alpha: the first n that passes and the n after the last that fails, for each power.
struct Column {
    CutWalk truth;
    std::int64_t last;   // Hoeffding's n for the greatest power: nothing fails from here on
    std::array<std::int64_t, 5> first{};
    std::array<std::int64_t, 5> safe{2, 2, 2, 2, 2};

    void note() {
        const double power = truth.above();
        for (std::size_t i = k_powers.size(); i-- > 0;) {
            if (reached(power, k_powers[i])) {   // and so are all smaller powers
                for (std::size_t j = i + 1; j-- > 0 && first[j] == 0;) first[j] = truth.n();
                return;
            }
            safe[i] = truth.n() + 1;
        }
    }
};

}   // namespace

std::array<PlanningRow, 125> planning_table(double chance) {
    promise(0.0 < chance && chance < 1.0);
    std::array<PlanningRow, 125> rows{};
    std::size_t row = 0;
    for (const double alpha : k_alphas) {
        CriticalWalk test(2, chance, alpha);
        const auto column = [&](double pd) {
            const double p1 = proportion_from_discriminators(chance, pd);
            const double sure = std::ceil(hoeffding_n(p1 - chance, alpha, 1.0 - k_powers.back()));
            return Column{CutWalk(2, test.cut(), p1), static_cast<std::int64_t>(sure)};
        };
        std::array<Column, 5> columns{column(k_discriminators[0]), column(k_discriminators[1]), column(k_discriminators[2]),
                                      column(k_discriminators[3]), column(k_discriminators[4])};
        // Differences fall along the columns, so the ones that are done are always the first.
        std::size_t done = 0;
        for (;;) {
            for (std::size_t i = done; i < columns.size(); ++i) columns[i].note();
            while (done < columns.size() && test.n() >= columns[done].last) ++done;
            if (done == columns.size()) break;
            const bool raised = test.more();
            for (std::size_t i = done; i < columns.size(); ++i) {
                columns[i].truth.more();
                if (raised) columns[i].truth.raise();
            }
        }
        for (std::size_t power = 0; power < k_powers.size(); ++power) {
            for (std::size_t i = 0; i < columns.size(); ++i) {
                rows[row++] = {alpha, k_powers[power], k_discriminators[i], columns[i].first[power], columns[i].safe[power]};
            }
        }
    }
    return rows;
}

}   // namespace oddplate::stats
