// Reading the peers' big.csv (1 million rows, instants and four numbers): text_benchmark FOLDER, made by
// ../shared/peers/inputs.py. Compare with ../shared/peers/read_csv.R on the same machine and folder.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <vector>

#include "core/recording/file_bytes.h"
#include "core/recording/text_recording.h"

namespace {

void readBigTable(benchmark::State& state, const std::filesystem::path& path) {
    std::size_t read = 0;
    for (auto _ : state) {
        const auto bytes = beatwitness::recording::fileBytes(path);
        if (!bytes) {
            state.SkipWithError(beatwitness::sentence(bytes.fault()).c_str());
            return;
        }
        auto recording = beatwitness::recording::readText(*bytes);
        benchmark::DoNotOptimize(recording);
        read += bytes->size();
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(read));
}

void parseBigTable(benchmark::State& state, const std::vector<std::byte>& bytes) {
    for (auto _ : state) {
        auto recording = beatwitness::recording::readText(bytes);
        benchmark::DoNotOptimize(recording);
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * bytes.size()));
}

}  // namespace

int main(int argc, char** argv) {
    benchmark::Initialize(&argc, argv);
    if (argc != 2) {
        std::fprintf(stderr, "usage: text_benchmark FOLDER\n");
        return EXIT_FAILURE;
    }
    const auto path = std::filesystem::path{argv[1]} / "big.csv";
    const auto bytes = beatwitness::recording::fileBytes(path);
    if (!bytes) {
        std::fprintf(stderr, "%s\n", beatwitness::sentence(bytes.fault()).c_str());
        return EXIT_FAILURE;
    }
    benchmark::RegisterBenchmark("csv/file", readBigTable, path)->Unit(benchmark::kMillisecond);
    benchmark::RegisterBenchmark("csv/parse", parseBigTable, std::cref(*bytes))
        ->Unit(benchmark::kMillisecond);
    benchmark::RunSpecifiedBenchmarks();
    return EXIT_SUCCESS;
}
