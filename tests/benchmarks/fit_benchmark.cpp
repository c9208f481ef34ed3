#include <benchmark/benchmark.h>

#include <cstdint>
#include <vector>

#include "core/recording/fit_checksum.h"
#include "core/recording/fit_recording.h"
#include "tests/support/fit_writer.h"

// A file like big.fit of shared/peers/inputs.py: one-second records of time, position, distance, heart rate
// and cadence, 19 bytes each. The yardstick is numpy with the layout known beforehand
// (shared/peers/read_files.py, `fit`).
namespace beatwitness {
namespace {

using namespace tests;

std::vector<std::byte> recordsOfOneSecond(std::uint32_t count) {
    FitWriter writer;
    writer.define(0, 0, {{0, 1, fit_base::enumeration}}).data(0, {u8(4)});
    writer.define(1, 20,
                  {{253, 4, fit_base::uint32},
                   {0, 4, 0x85},
                   {1, 4, 0x85},
                   {5, 4, fit_base::uint32},
                   {3, 1, fit_base::uint8},
                   {4, 1, fit_base::uint8}});
    for (std::uint32_t i = 0; i < count; ++i)
        writer.data(1,
                    {u32(1'100'000'000 + i), u32(i * 7), u32(i * 11), u32(i * 310),
                     u8(static_cast<std::uint8_t>(100 + i % 80)), u8(static_cast<std::uint8_t>(80 + i % 9))});
    return writer.bytes();
}

void readFile(benchmark::State& state) {
    const auto bytes = recordsOfOneSecond(static_cast<std::uint32_t>(state.range(0)));
    for (auto _ : state) {
        auto recording = recording::readFit(bytes);
        if (!recording || recording->rows != static_cast<std::size_t>(state.range(0)))
            state.SkipWithError("the file did not read");
        benchmark::DoNotOptimize(recording);
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * bytes.size()));
}
BENCHMARK(readFile)->Name("readFit")->Arg(3600)->Arg(1'100'000)->Unit(benchmark::kMillisecond);

void checksum(benchmark::State& state) {
    const std::vector<std::byte> bytes(20'900'068, std::byte{0x5A});
    for (auto _ : state)
        benchmark::DoNotOptimize(recording::fitChecksum(bytes));
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * bytes.size()));
}
BENCHMARK(checksum)->Name("fitChecksum/20.9 MB")->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace beatwitness

BENCHMARK_MAIN();
