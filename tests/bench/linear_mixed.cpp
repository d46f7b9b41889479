// How long does the linear mixed model take? A kitchen's 100 tasters x 5 samples, the 10,000 x 6 of linear_mixed.sh (which holds it against the
// general package), with a crossed sitting, and a million ratings with two per taster and sample.

#include <benchmark/benchmark.h>

#include <cmath>

#include "oddplate/stats/linear_mixed.hpp"
#include "oddplate/stats/normal.hpp"

namespace {

using namespace oddplate;
using namespace oddplate::stats;

/// Normal scores from equidistributed fractions, so that linear_mixed.R makes the same ones.
double spread(double i, double step) { return normal_quantile(std::fmod((i + 0.5) * step, 1.0)); }

MixedData panel(int tasters, int samples, int times, int sittings) {
    MixedData data;
    data.columns = static_cast<std::size_t>(samples);
    RandomTerm who{"taster", {}, tasters, {}}, pair{"taster and sample", {}, tasters * samples, {}}, sitting{"sitting", {}, sittings, {}};
    for (int i = 0; i < tasters; ++i) {
        const double own = spread(i, 0.6180339887498949);
        for (int j = 0; j < samples; ++j) {
            const double both = 0.7 * spread(i * samples + j, 0.4142135623730951);
            for (int r = 0; r < times; ++r) {
                const int evening = (i + j + r) % sittings;
                for (int c = 0; c < samples; ++c) data.x.push_back(c == j ? 1.0 : 0.0);
                data.y.push_back(5.0 + 0.2 * j + own + (times > 1 ? both : 0.0) + 0.2 * evening + spread(static_cast<double>(data.y.size()), 0.7548776662466927));
                who.level.push_back(i);
                pair.level.push_back(i * samples + j);
                sitting.level.push_back(evening);
            }
        }
    }
    data.terms.push_back(std::move(who));
    if (times > 1) data.terms.push_back(std::move(pair));
    if (sittings > 1) data.terms.push_back(std::move(sitting));
    return data;
}

void linear_mixed(benchmark::State& state, int tasters, int samples, int times, int sittings) {
    const MixedData data = panel(tasters, samples, times, sittings);
    MixedFit fit;
    for (auto _ : state) fit = LinearMixed::make(data)->fit(MixedCriterion::restricted);
    state.counters["deviance"] = benchmark::Counter(fit.deviance);
    state.counters["steps"] = benchmark::Counter(fit.steps);
    state.counters["converged"] = benchmark::Counter(fit.converged ? 1 : 0);
}

BENCHMARK_CAPTURE(linear_mixed, kitchen_100_x_5, 100, 5, 1, 1)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(linear_mixed, kitchen_100_x_5_twice, 100, 5, 2, 1)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(linear_mixed, large_10000_x_6, 10000, 6, 1, 1)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(linear_mixed, large_10000_x_6_twice_3_sittings, 10000, 6, 2, 3)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(linear_mixed, million, 100000, 5, 2, 1)->Unit(benchmark::kMillisecond)->Iterations(1);

}   // namespace
