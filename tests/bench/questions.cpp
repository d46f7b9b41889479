// How long do the one-off questions take? The planning table (125 cells, sizes to 3,000), d' with its interval, the curve's inverse alone, exact tests of
// ten million answers. tests/bench/questions.sh holds the first two against base R and SciPy in the same run.

#include <benchmark/benchmark.h>

#include "oddplate/stats/binomial.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/interval.hpp"
#include "oddplate/stats/power.hpp"

namespace {

using namespace oddplate::stats;

void planning(benchmark::State& state, double chance) {
    for (auto _ : state) benchmark::DoNotOptimize(planning_table(chance));
}

/// d' from 1 to n - 1 right of n, one after the other, each with its Clopper-Pearson limits carried through the curve.
void d_with_interval(benchmark::State& state, const Link& link) {
    constexpr std::int64_t n = 48;
    std::int64_t k = n / 3;
    for (auto _ : state) {
        const Interval share = clopper_pearson(k, n, 0.9);
        benchmark::DoNotOptimize(d_from_count(link, k, n));
        benchmark::DoNotOptimize(d_from_proportion(link, share.lower));
        benchmark::DoNotOptimize(d_from_proportion(link, share.upper));
        k = k + 1 < n ? k + 1 : n / 3;
    }
}

void inverse(benchmark::State& state, const Link& link) {
    const double room = 1 - link.chance;
    double share = 0.01;
    for (auto _ : state) {
        benchmark::DoNotOptimize(d_from_gain(link, share * room));
        share = share < 0.98 ? share + 0.01 : 0.01;
    }
}

void ten_million_answers(benchmark::State& state) {
    constexpr std::int64_t n = 10'000'000;
    for (auto _ : state) {
        benchmark::DoNotOptimize(binomial_upper(n / 3 + 2'000, n, 1.0 / 3));
        benchmark::DoNotOptimize(clopper_pearson(n / 3 + 2'000, n, 0.9));
    }
}

BENCHMARK_CAPTURE(planning, third, 1.0 / 3)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(planning, half, 0.5)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(d_with_interval, triangle, triangle_link());
BENCHMARK_CAPTURE(d_with_interval, two_afc, two_afc_link());
BENCHMARK_CAPTURE(d_with_interval, tetrad, tetrad_link());
BENCHMARK_CAPTURE(inverse, triangle, triangle_link());
BENCHMARK_CAPTURE(inverse, duo_trio, duo_trio_link());
BENCHMARK_CAPTURE(inverse, two_afc, two_afc_link());
BENCHMARK_CAPTURE(inverse, three_afc, three_afc_link());
BENCHMARK_CAPTURE(inverse, tetrad, tetrad_link());
BENCHMARK_CAPTURE(inverse, specified_tetrad, specified_tetrad_link());
BENCHMARK_CAPTURE(inverse, two_out_of_five, two_out_of_five_link());
BENCHMARK(ten_million_answers)->Unit(benchmark::kMicrosecond);

}   // namespace
