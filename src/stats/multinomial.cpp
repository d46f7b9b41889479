// The largest standardised count of a multinomial. Independent Poisson counts, given their sum, are multinomial; so the chance
// that j is the first position to stand out is a convolution of cut Poisson laws at the sum N over the uncut Poisson probability
// of N. Tests: tests/unit/stats/multinomial.test.cpp

#include "oddplate/stats/multinomial.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "lattice.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"
#include "size_search.hpp"

namespace oddplate::stats {
namespace {

constexpr double k_keep = 1e-30;

double log_poisson(std::int64_t n, double mean) {
    return static_cast<double>(n) * std::log(mean) - mean - std::lgamma(static_cast<double>(n) + 1.0);
}

// Poisson probabilities on low..high, grown by ratios from the likeliest count within; far smaller ones are left out.
Lattice poisson_lattice(double mean, std::int64_t low, std::int64_t high) {
    if (mean <= 0.0) return low <= 0 && high >= 0 ? Lattice{} : Lattice{0, {0.0}};
    if (low > high) return Lattice{0, {0.0}};
    const std::int64_t mode = std::clamp(static_cast<std::int64_t>(mean), low, high);
    const double peak = std::exp(log_poisson(mode, mean));
    std::vector<double> down{peak};
    for (std::int64_t n = mode; n > low && down.back() > k_keep * peak; --n)
        down.push_back(down.back() * static_cast<double>(n) / mean);
    Lattice law{mode - static_cast<std::int64_t>(down.size()) + 1, {down.rbegin(), down.rend()}};
    for (std::int64_t n = mode; n < high && law.weights.back() > k_keep * peak; ++n) {
        law.weights.push_back(law.weights.back() * mean / static_cast<double>(n + 1));
    }
    return law;
}

// P(X + Y = total)
double meeting(const Lattice& x, const Lattice& y, std::int64_t total) {
    double sum = 0.0;
    for (std::size_t i = 0; i < x.weights.size(); ++i) {
        sum += x.weights[i] * y.at(total - x.first - static_cast<std::int64_t>(i));
    }
    return sum;
}

}   // namespace

MostPicked most_picked_test(std::span<const std::int64_t> picks, std::span<const double> cells) {
    promise(picks.size() >= 2 && picks.size() == cells.size());
    std::int64_t count = 0;
    for (const std::int64_t picked : picks) count += picked;
    MostPicked result;
    if (count == 0) return result;
    const double n = static_cast<double>(count);
    bool any = false;
    for (std::size_t j = 0; j < picks.size(); ++j) {
        promise(picks[j] >= 0 && 0.0 <= cells[j] && cells[j] <= 1.0 && (cells[j] > 0.0 || picks[j] == 0));
        if (cells[j] <= 0.0 || cells[j] >= 1.0) continue;
        const double z = (static_cast<double>(picks[j]) - n * cells[j]) / std::sqrt(n * cells[j] * (1.0 - cells[j]));
        if (!any || z > result.z) {
            result.z = z;
            result.position = j;
        }
        any = true;
    }
    if (!any) return result;
    // u_j: the fewest picks at which position j would stand out as much.
    double p = 0.0;
    double rest = n;   // mean of the positions after j
    Lattice before;    // positions before j, none of them standing out
    for (std::size_t j = 0; j < picks.size(); ++j) {
        if (cells[j] <= 0.0) continue;
        const double mean = n * cells[j];
        rest = std::max(0.0, rest - mean);
        if (j + 1 == picks.size() || rest < 1e-9 * n) rest = 0.0;
        const double cut = mean + result.z * std::sqrt(mean * (1.0 - cells[j]));
        const auto least = std::max<std::int64_t>(0, static_cast<std::int64_t>(std::ceil(cut - 1e-9 * std::max(1.0, cut))));
        const Lattice stands_out = poisson_lattice(mean, least, count);
        p += meeting(add_lattices(before, stands_out), poisson_lattice(rest, 0, count), count);
        before = add_lattices(before, poisson_lattice(mean, 0, std::min(count, least - 1)));
        trim(before, k_keep);
    }
    result.p = std::min(1.0, p / std::exp(log_poisson(count, n)));
    return result;
}

double even_picks_alarm(std::int64_t picks, int places, double level) {
    constexpr std::int64_t k_most = 2'000;
    promise(picks >= 0 && (places == 2 || places == 3) && 0 < level && level < 1);
    if (picks > k_most) return level;
    // p falls as the fullest place fills up; the others share the rest, so that none of them stands out more.
    const auto p_at = [&](std::int64_t fullest) {
        const std::int64_t rest = picks - fullest;
        if (places == 2) return std::min(1.0, 2 * binomial_upper(fullest, picks, 0.5));
        const std::array<std::int64_t, 3> picked{fullest, rest / 2, rest - rest / 2};
        constexpr std::array<double, 3> k_even{1.0 / 3, 1.0 / 3, 1.0 / 3};
        return most_picked_test(picked, k_even).p;
    };
    const std::int64_t even = (picks + places - 1) / places;
    const std::int64_t least = first_that_holds(even, picks + 1, [&](std::int64_t fullest) { return fullest > picks || p_at(fullest) <= level; });
    return least > picks ? 0 : p_at(least);
}

}   // namespace oddplate::stats
