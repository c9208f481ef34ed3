// From files to stored sessions: two recordings of 3,600 samples each, as FIT and as text; the plan alone for
// a thousand files. Sessions a second stand in `items_per_second`.

#include <benchmark/benchmark.h>
#include <unistd.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>

#include "core/library/import_plan.h"
#include "tests/support/recording_writer.h"

using namespace beatwitness;
namespace fs = std::filesystem;

namespace {

constexpr int samples = 3600;
constexpr int sessions = 200;

recording::Recording recordingOf(std::int64_t session, unsigned seed, const char* device) {
    std::mt19937_64 random{seed};
    std::normal_distribution<double> step{0, 0.7};
    recording::Recording recording;
    recording.device = device;
    recording::Channel channel;
    double rate = 130;
    for (int i = 0; i < samples; ++i) {
        rate = std::clamp(rate + step(random), 40.0, 210.0);
        channel.times.emplace_back(Micros{(1930380000 + session * 86400 + i) * 1000000});
        channel.values.push_back(std::floor(rate));
    }
    recording.rows = samples;
    recording.channels.push_back(std::move(channel));
    return recording;
}

/// A folder of pairs, gone at the end.
class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "beatwitness-import-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) std::abort();
        folder_ = name;
        for (int session = 0; session < sessions; ++session) {
            write("strap-" + std::to_string(session) + ".fit",
                  tests::writeFit(recordingOf(session, static_cast<unsigned>(2 * session), "strap")));
            write("band-" + std::to_string(session) + ".csv",
                  tests::writeCsv(recordingOf(session, static_cast<unsigned>(2 * session + 1), "band"),
                                  tests::CsvDialect::IsoUtc));
        }
    }
    ~Folder() { fs::remove_all(folder_); }
    [[nodiscard]] const std::vector<fs::path>& files() const { return files_; }
    [[nodiscard]] fs::path library() const { return folder_ / "benchmark.library"; }

private:
    template <class Content>
    void write(const std::string& name, const Content& content) {
        files_.push_back(folder_ / name);
        std::ofstream{files_.back(), std::ios::binary}.write(reinterpret_cast<const char*>(content.data()),
                                                             static_cast<std::streamsize>(content.size()));
    }

    fs::path folder_;
    std::vector<fs::path> files_;
};

std::vector<library::OfferedFile> readAll(const Folder& folder) {
    std::vector<library::OfferedFile> offers;
    for (const auto& path : folder.files()) {
        auto file = library::readForLibrary(path);
        if (!file) std::abort();
        offers.push_back(library::offered(std::move(*file)));
    }
    return offers;
}

void importFromFiles(benchmark::State& state) {
    const Folder folder;
    for (auto _ : state) {
        {
            auto library = library::Library::open(folder.library(), {.createIfAbsent = true});
            const auto offers = readAll(folder);
            const auto knowledge = library::knowledgeOf(*library, offers);
            const auto plan = library::proposeImport(offers, *knowledge);
            if (plan.sessions.size() != sessions) std::abort();
            if (!library->addSessions(library::draftsOf(plan.sessions, offers))) std::abort();
        }
        state.PauseTiming();
        fs::remove(folder.library());
        state.ResumeTiming();
    }
    state.SetItemsProcessed(state.iterations() * sessions);
}
BENCHMARK(importFromFiles)->Unit(benchmark::kMillisecond);

void readFiles(benchmark::State& state) {
    const Folder folder;
    for (auto _ : state)
        benchmark::DoNotOptimize(readAll(folder));
    state.SetItemsProcessed(state.iterations() * sessions);
}
BENCHMARK(readFiles)->Unit(benchmark::kMillisecond);

void proposeAlone(benchmark::State& state) {
    const Folder folder;
    const auto offers = readAll(folder);
    for (auto _ : state)
        benchmark::DoNotOptimize(library::proposeImport(offers, {}));
    state.SetItemsProcessed(state.iterations() * sessions);
}
BENCHMARK(proposeAlone)->Unit(benchmark::kMillisecond);

/// The same heap offered to a library that has it all.
void proposeWhatIsStored(benchmark::State& state) {
    const Folder folder;
    const auto offers = readAll(folder);
    auto library = library::Library::open(folder.library(), {.createIfAbsent = true});
    const auto plan = library::proposeImport(offers, {});
    if (!library->addSessions(library::draftsOf(plan.sessions, offers))) std::abort();
    for (auto _ : state) {
        const auto knowledge = library::knowledgeOf(*library, offers);
        benchmark::DoNotOptimize(library::proposeImport(offers, *knowledge));
    }
}
BENCHMARK(proposeWhatIsStored)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
