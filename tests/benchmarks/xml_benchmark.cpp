// Reading the peers' big.gpx (250,000 points, 65 MB) and big.tcx (140,000, 52 MB): xml_benchmark FOLDER, made
// by ../shared/peers/inputs.py. Compare with ../shared/peers/read_files.py on the same machine and folder.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>

#include "core/recording/file_bytes.h"
#include "core/recording/xml_recording.h"

namespace {

void readFile(benchmark::State& state, const std::filesystem::path& path, std::size_t points) {
    std::size_t read = 0;
    for (auto _ : state) {
        const auto bytes = beatwitness::recording::fileBytes(path);
        if (!bytes) {
            state.SkipWithError(beatwitness::sentence(bytes.fault()).c_str());
            return;
        }
        auto recording = beatwitness::recording::readXml(*bytes);
        if (!recording || recording->rows != points) {
            state.SkipWithError("the file did not read");
            return;
        }
        benchmark::DoNotOptimize(recording);
        read += bytes->size();
    }
    state.SetBytesProcessed(static_cast<std::int64_t>(read));
}

}  // namespace

int main(int argc, char** argv) {
    benchmark::Initialize(&argc, argv);
    if (argc != 2) {
        std::fprintf(stderr, "usage: xml_benchmark FOLDER\n");
        return EXIT_FAILURE;
    }
    const std::filesystem::path folder{argv[1]};
    benchmark::RegisterBenchmark("gpx/file", readFile, folder / "big.gpx", 250'000)
        ->Unit(benchmark::kMillisecond);
    benchmark::RegisterBenchmark("tcx/file", readFile, folder / "big.tcx", 140'000)
        ->Unit(benchmark::kMillisecond);
    benchmark::RunSpecifiedBenchmarks();
    return EXIT_SUCCESS;
}
