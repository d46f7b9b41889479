// How long do the models of several answers a taster take? 3,000 tasters x 4 sets of 2-AFC: the mixed model alone and with its profile
// limits, the overdispersion test, the beta-binomial. tests/bench/models.sh holds the first against the general mixed-model package.

#include <benchmark/benchmark.h>

#include <array>

#include "oddplate/stats/beta_binomial.hpp"
#include "oddplate/stats/curves.hpp"
#include "oddplate/stats/overdispersion.hpp"
#include "oddplate/stats/population.hpp"

namespace {

using namespace oddplate::stats;

constexpr std::array<AlikeCounts, 5> k_panel{{{0, 4, 150}, {1, 4, 500}, {2, 4, 800}, {3, 4, 850}, {4, 4, 700}}};   // as in models.R

void mixed_model(benchmark::State& state, const Link& link) {
    double height = 0;
    for (auto _ : state) {
        const Population population(link, law_for(link), k_panel);
        height = fit_population(population, 0.95).log_likelihood;
    }
    state.counters["log_likelihood"] = benchmark::Counter(height);
}

void overdispersion(benchmark::State& state) {
    for (auto _ : state) benchmark::DoNotOptimize(tasters_differ(1.0 / 3, k_panel, 1));
}

void beta_binomial(benchmark::State& state) {
    for (auto _ : state) benchmark::DoNotOptimize(fit_beta_binomial(1.0 / 3, k_panel, 0.95));
}

BENCHMARK_CAPTURE(mixed_model, two_afc, two_afc_link())->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(mixed_model, triangle, triangle_link())->Unit(benchmark::kMillisecond);
BENCHMARK(overdispersion)->Unit(benchmark::kMillisecond);
BENCHMARK(beta_binomial)->Unit(benchmark::kMillisecond);

}   // namespace
