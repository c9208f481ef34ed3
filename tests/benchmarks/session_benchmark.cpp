// Resampling, pairing, alignment and agreement; read beside ../shared/peers/numerics.py in one run, as
// ratios.

#include <benchmark/benchmark.h>

#include "core/agreement/agreement_block.h"
#include "core/alignment/estimate_alignment.h"
#include "core/analysis/session_analysis.h"
#include "core/flags/reference_faults.h"
#include "core/flags/test_faults.h"
#include "core/trace/pairs.h"
#include "tests/support/generator.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;

namespace {

/// As the peer's input: a day of samples 1 to 2 s apart with some gaps of 12 s.
std::vector<tests::Sample> daySamples() {
    std::vector<tests::Sample> samples;
    std::uint64_t state = 11;
    double time_s = 0.0;
    for (int i = 0; i < 75000; ++i) {
        state = state * 6364136223846793005u + 1442695040888963407u;
        const auto draw = (state >> 33) % 1000;
        time_s += draw < 800 ? 1.0 : draw < 999 ? 2.0 : 12.0;
        samples.push_back({time_s, 120 + static_cast<double>(draw % 40)});
    }
    return samples;
}

tests::GeneratedPair pairOf(double seconds) {
    tests::PlanLimits limits{.shortest_s = seconds, .longest_s = seconds * 1.001};
    return tests::generatePair(tests::randomPlan(200007, limits));
}

void resampleDay(benchmark::State& state) {
    const auto trace = tests::traceOf<ReferenceClock>(daySamples());
    const auto session = trace::onSessionClock(trace, trace.times.front(), {});
    for (auto _ : state)
        benchmark::DoNotOptimize(trace::atWholeSeconds(session));
}
BENCHMARK(resampleDay)->Unit(benchmark::kMillisecond);

void pairDay(benchmark::State& state) {
    const auto trace = tests::traceOf<ReferenceClock>(daySamples());
    const auto rates = trace::atWholeSeconds(trace::onSessionClock(trace, trace.times.front(), {}));
    for (auto _ : state)
        benchmark::DoNotOptimize(trace::pairSeconds(rates, rates));
}
BENCHMARK(pairDay)->Unit(benchmark::kMillisecond);

void align(benchmark::State& state) {
    const auto pair = pairOf(static_cast<double>(state.range(0)));
    const auto reference = trace::laidOn<ReferenceClock>(trace::traceOf(pair.reference), Micros{0});
    const auto test = trace::laidOn<TestClock>(trace::traceOf(pair.test), Micros{0});
    for (auto _ : state)
        benchmark::DoNotOptimize(
            alignment::estimateAlignment(reference, test, alignment::ClockKnowledge::Dated, {}, {}, {}));
}
BENCHMARK(align)->Unit(benchmark::kMillisecond)->Arg(3600)->Arg(86400);

/// All flags of a session under a clock at hand: those of the reference and those of the device.
void flag(benchmark::State& state) {
    const auto pair = pairOf(static_cast<double>(state.range(0)));
    std::vector<recording::RecordingFile> files;
    files.push_back(tests::fileOf(pair.test));
    const auto session = analysis::analyseSession(tests::fileOf(pair.reference), std::move(files), {});
    const auto seconds = trace::atWholeSeconds(session->referenceTrace);
    const auto& test = session->tests.front().view().trace;
    for (auto _ : state) {
        benchmark::DoNotOptimize(flags::referenceFaults(session->referenceTrace, {}, {}, {}));
        benchmark::DoNotOptimize(
            flags::testFaults({session->referenceTrace, seconds, test, {}, {}, {}}, {}, {}));
    }
}
BENCHMARK(flag)->Unit(benchmark::kMillisecond)->Arg(10800)->Arg(86400);

void agreementOfTenMillion(benchmark::State& state) {
    trace::Pairs pairs;
    std::uint64_t draw = 5;
    for (int i = 0; i < 10'000'000; ++i) {
        draw = draw * 6364136223846793005u + 1442695040888963407u;
        pairs.seconds.push_back(i);
        pairs.reference.push_back(Bpm{80 + static_cast<double>((draw >> 33) % 100)});
        pairs.test.push_back(Bpm{pairs.reference.back().value + static_cast<double>((draw >> 50) % 20) - 10});
    }
    pairs.referenceSeconds = pairs.size();
    for (auto _ : state)
        benchmark::DoNotOptimize(agreement::agreementOf(pairs));
}
BENCHMARK(agreementOfTenMillion)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
