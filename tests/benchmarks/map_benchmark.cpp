// The density map of ten million pairs; the peers' figures are "density" and "density_whole_bpm" of
// numerics.py.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <random>

#include "core/agreement/density_map.h"

using namespace beatwitness;

namespace {

struct PairColumns {
    std::vector<Bpm> reference, test;
};

/// The distribution of the peers: reference N(130, 25), error N(-1, 6), clipped to 30 to 240 bpm.
const PairColumns& pairs() {
    static const PairColumns made = [] {
        std::mt19937 random(11);
        std::normal_distribution<double> rate(130, 25), error(-1, 6);
        PairColumns columns;
        for (int i = 0; i < 10'000'000; ++i) {
            const double reference = std::clamp(rate(random), 30.0, 240.0);
            columns.reference.push_back({reference});
            columns.test.push_back({std::clamp(reference + error(random), 30.0, 240.0)});
        }
        return columns;
    }();
    return made;
}

void densityMapOfTenMillion(benchmark::State& state) {
    const auto& columns = pairs();
    for (auto _ : state)
        benchmark::DoNotOptimize(
            agreement::densityMap(columns.reference, columns.test, static_cast<int>(state.range(0))));
    state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(columns.reference.size()));
}

}  // namespace

BENCHMARK(densityMapOfTenMillion)->Arg(1)->Arg(2)->Arg(5)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();
