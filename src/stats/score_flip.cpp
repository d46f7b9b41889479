// Scores are put on a grid of whole numbers, and then the flips of votes' signs do the work. Tests:
// tests/unit/stats/score_flip.test.cpp

#include "oddplate/stats/score_flip.hpp"

#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <vector>

#include "lattice.hpp"
#include "oddplate/core/philox.hpp"
#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/promise.hpp"
#include "policy.hpp"
#include "size_search.hpp"

namespace oddplate::stats {
namespace {

constexpr std::int64_t k_draws = 99'999;
constexpr double k_most_cells = 2e6;

struct Grid {
    std::vector<std::int64_t> values;
    double step{1};   // value = whole number * step
};

/// The numbers as whole multiples of a step; none where no step of the list fits.
std::optional<Grid> on_grid(std::span<const double> numbers) {
    for (const double parts : {1.0, 2.0, 10.0, 4.0, 20.0, 6.0, 12.0, 60.0, 100.0, 840.0, 1000.0, 27720.0, 277200.0}) {
        Grid grid{.values = {}, .step = 1 / parts};
        for (const double x : numbers) {
            const double whole = x * parts;
            if (std::abs(whole - std::round(whole)) > 1e-7 || std::abs(whole) > 1e12) break;
            grid.values.push_back(static_cast<std::int64_t>(std::llround(whole)));
        }
        if (grid.values.size() != numbers.size()) continue;
        std::int64_t common = 0;
        for (const std::int64_t v : grid.values) common = std::gcd(common, v);
        if (common > 1) {
            for (std::int64_t& v : grid.values) v /= common;
            grid.step *= static_cast<double>(common);
        }
        return grid;
    }
    return std::nullopt;
}

double convolved(const std::vector<std::int64_t>& values) {
    std::map<std::int64_t, std::int64_t> alike;
    std::int64_t sum = 0, total = 0;
    for (const std::int64_t v : values) {
        sum += v;
        total += std::abs(v);
        if (v != 0) ++alike[std::abs(v)];
    }
    // The sum with signs flipped reaches the observed one where the numbers turned negative add up to (total - sum)/2 or less.
    Lattice negative;
    for (const auto& [size, count] : alike) {
        negative = add_lattices(negative, binomial_lattice(count, 0.5, 1e-60), size);
        trim(negative, 1e-60);
    }
    double tail = 0;
    for (std::int64_t x = negative.first; x <= std::min((total - sum) / 2, negative.last()); ++x) tail += negative.at(x);
    return std::min(1.0, tail);
}

PValue drawn(const std::vector<double>& numbers, double observed, std::uint64_t seed) {
    std::int64_t reached = 0;
    for (std::int64_t draw = 0; draw < k_draws; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        double sum = 0;
        std::uint32_t bits = 0;
        for (std::size_t i = 0; i < numbers.size(); ++i) {
            if (i % 32 == 0) bits = stream.next();
            sum += (bits >> (i % 32) & 1U) != 0 ? numbers[i] : -numbers[i];
        }
        reached += sum >= observed - 1e-9;
    }
    const double p = static_cast<double>(reached + 1) / static_cast<double>(k_draws + 1);
    return {p, Found::monte_carlo, std::sqrt(p * (1 - p) / static_cast<double>(k_draws)), k_draws};
}

/// All 2^n patterns, one sign changed at a time (Gray code).
double counted(const std::vector<double>& numbers, double observed) {
    double sum = observed;
    std::vector<double> now = numbers;
    std::uint64_t reached = 0;
    const std::uint64_t patterns = std::uint64_t{1} << numbers.size();
    for (std::uint64_t i = 1;; ++i) {
        reached += sum >= observed - 1e-9;
        if (i == patterns) break;
        std::size_t turned = 0;
        while ((i >> turned & 1U) == 0) ++turned;
        sum -= 2 * now[turned];
        now[turned] = -now[turned];
    }
    return static_cast<double>(reached) / static_cast<double>(patterns);
}

}   // namespace

PValue score_flip_p(std::span<const double> differences, double centre, std::uint64_t seed) {
    std::vector<double> numbers;
    double observed = 0;
    for (const double x : differences) {
        numbers.push_back(x - centre);
        observed += x - centre;
    }
    if (const auto grid = on_grid(numbers)) {
        double total = 0;
        for (const std::int64_t v : grid->values) total += std::abs(static_cast<double>(v));
        if (total <= k_most_cells) return {convolved(grid->values), Found::exact, 0, 0};
    }
    if (numbers.size() <= 22) return {counted(numbers, observed), Found::exact, 0, 0};
    return drawn(numbers, observed, seed);
}

ShareInterval score_flip_interval(std::span<const double> differences, double confidence, std::uint64_t seed) {
    if (differences.empty()) return {std::nullopt, NoInterval::too_few_tasters, Found::exact};
    const auto [least, most] = std::minmax_element(differences.begin(), differences.end());
    const double low = *least, range = *most - *least;
    // A difference as votes out of `whole`: its share is (difference - low)/range, and so is the mean of a subset's.
    std::vector<double> shifted;
    for (const double x : differences) shifted.push_back(x - low);
    std::vector<std::int64_t> parts;
    std::int64_t whole = 1'000'000;
    if (const auto grid = on_grid(shifted); grid && range > 0 && range / grid->step <= 1e6) {
        parts = grid->values;
        whole = std::llround(range / grid->step);
    } else {
        for (const double x : shifted) parts.push_back(range > 0 ? std::llround(x / range * static_cast<double>(whole)) : 0);
    }
    std::vector<Votes> votes;
    for (const std::int64_t part : parts) votes.push_back({part, whole - part});
    ShareInterval found = sign_flip_interval(votes, confidence, seed);
    if (found.interval) found.interval = Interval{low + found.interval->lower * range, low + found.interval->upper * range};
    return found;
}

std::optional<PValue> score_spots_p(std::span<const SpotScore> scores, std::uint64_t seed) {
    constexpr std::int64_t k_shuffles = 9'999;
    std::vector<SpotScore> now(scores.begin(), scores.end());
    std::stable_sort(now.begin(), now.end(), [](const SpotScore& a, const SpotScore& b) { return a.taster < b.taster; });
    // People with one difference each are exchanged for one another; nobody's differences are exchanged for another's else.
    const auto is_next_alike = [&](const SpotScore& a, const SpotScore& b) { return a.taster == b.taster; };
    if (std::adjacent_find(now.begin(), now.end(), is_next_alike) == now.end())
        for (SpotScore& one : now) one.taster = 0;
    bool varies = false;
    for (std::size_t i = 1; i < now.size(); ++i)
        varies = varies || (now[i].taster == now[i - 1].taster && now[i].spot != now[i - 1].spot &&
                            std::abs(now[i].difference - now[i - 1].difference) > 1e-12);
    if (!varies) return std::nullopt;
    const auto between = [&] {
        std::map<std::int32_t, std::pair<double, double>> spots;   // sum and number
        for (const SpotScore& one : now) spots[one.spot].first += one.difference, spots[one.spot].second += 1;
        double sum = 0;
        for (const auto& [spot, part] : spots) sum += part.first * part.first / part.second;
        return sum;
    };
    const double observed = between() - 1e-9;
    std::int64_t reached = 0;
    for (std::int64_t draw = 0; draw < k_shuffles; ++draw) {
        core::PhiloxStream stream(seed, static_cast<std::uint64_t>(draw));
        for (std::size_t first = 0, last = 0; first < now.size(); first = last) {
            while (last < now.size() && now[last].taster == now[first].taster) ++last;
            for (std::size_t i = last - 1; i > first; --i) {   // Fisher & Yates; the bias of 32 bits is beyond what 9,999 draws see
                const auto pick = first + static_cast<std::size_t>(std::uint64_t{stream.next()} * (i - first + 1) >> 32);
                std::swap(now[i].difference, now[pick].difference);
            }
        }
        reached += between() >= observed;
    }
    const double p = static_cast<double>(reached + 1) / static_cast<double>(k_shuffles + 1);
    return PValue{p, Found::monte_carlo, std::sqrt(p * (1 - p) / static_cast<double>(k_shuffles)), k_shuffles};
}

double score_power(std::int64_t n, double mean_over_sd, double alpha) {
    promise(n >= 2 && 0 < alpha && alpha < 1);
    if (n < 60 && !significant(std::ldexp(1.0, -static_cast<int>(n)), alpha)) return 0;   // all flips one way are one in 2^n: no result would do
    const double df = static_cast<double>(n - 1);
    const boost::math::students_t_distribution<double, Quiet> null(df);
    const double limit = boost::math::quantile(boost::math::complement(null, alpha));
    const boost::math::non_central_t_distribution<double, Quiet> truth(df, mean_over_sd * std::sqrt(static_cast<double>(n)));
    return boost::math::cdf(boost::math::complement(truth, limit));
}

std::optional<std::int64_t> size_scores(double mean_over_sd, double alpha, double power) {
    constexpr std::int64_t k_most = 1'000'000;
    promise(mean_over_sd > 0);
    const std::int64_t n =
        first_that_holds(2, k_most, [&](std::int64_t at) { return reached(score_power(at, mean_over_sd, alpha), power); });
    return n > k_most ? std::nullopt : std::optional(n);
}

}   // namespace oddplate::stats
