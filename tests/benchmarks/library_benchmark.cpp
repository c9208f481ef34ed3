// Storing, listing and loading sessions of two recordings of 3,600 samples; read beside
// ../shared/peers/store.py in one run, as ratios (its 1,000 sessions as rows are 3.6 ms each).

#include <benchmark/benchmark.h>
#include <unistd.h>

#include <cmath>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <random>
#include <string>

#include "core/library/library.h"
#include "core/recording/digest.h"

using namespace beatwitness;
namespace fs = std::filesystem;

namespace {

constexpr int samples = 3600;
constexpr int kinds = 64;  // different pairs; the digests are made different for each session

/// As the peer's: a random walk of step 0.3, and the same with noise 2.
struct Rates {
    std::vector<double> reference, test;
};

Rates ratesOf(unsigned seed) {
    std::mt19937_64 random{seed};
    std::normal_distribution<double> step{0, 0.3}, noise{0, 2};
    Rates rates;
    double rate = 130;
    for (int i = 0; i < samples; ++i) {
        rate = std::clamp(rate + step(random), 40.0, 210.0);
        rates.reference.push_back(std::floor(rate));
        rates.test.push_back(std::floor(std::clamp(std::floor(rate) + noise(random), 40.0, 210.0)));
    }
    return rates;
}

std::shared_ptr<const library::ReadFile> fileOf(std::vector<double> rates, std::int64_t session, char which) {
    library::ReadFile file;
    recording::Channel channel;
    for (int i = 0; i < samples; ++i)
        channel.times.emplace_back(Micros{(1930380000 + session * 7200 + i) * 1000000});
    channel.values = std::move(rates);
    file.read.file = std::to_string(session) + which + ".fit";
    file.read.recording.rows = samples;
    file.read.recording.channels.push_back(std::move(channel));
    file.bytes.resize(file.read.file.size());  // what originals take depends on the format: left out here
    std::memcpy(file.bytes.data(), file.read.file.data(), file.bytes.size());
    file.read.sha256 = recording::sha256(file.bytes);
    return std::make_shared<const library::ReadFile>(std::move(file));
}

library::SessionDraft draftOf(const Rates& rates, std::int64_t session) {
    using library::Role;
    using library::WearingOutcome;
    library::SessionDraft draft{"session " + std::to_string(session), "rowing ergometer", "A", "", {}};
    draft.wearings.push_back({Role::Reference,
                              "strap",
                              {},
                              WearingOutcome::Recorded,
                              "",
                              {{fileOf(rates.reference, session, 'r'), std::nullopt}}});
    draft.wearings.push_back({Role::Test,
                              "band",
                              {},
                              WearingOutcome::Recorded,
                              "",
                              {{fileOf(rates.test, session, 't'), std::nullopt}}});
    return draft;
}

/// A library in a folder of its own, gone at the end.
class Scratch {
public:
    Scratch() {
        std::string name = (fs::temp_directory_path() / "beatwitness-benchmark-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) std::abort();
        folder_ = name;
    }
    ~Scratch() { fs::remove_all(folder_); }
    [[nodiscard]] fs::path file() const { return folder_ / "benchmark.library"; }

private:
    fs::path folder_;
};

void fill(const fs::path& file, std::int64_t sessions) {
    std::vector<Rates> rates;
    for (unsigned seed = 0; seed < kinds; ++seed)
        rates.push_back(ratesOf(seed));
    auto library = library::Library::open(file, {.createIfAbsent = true});
    auto batch = library->beginBatch();
    for (std::int64_t session = 0; session < sessions; ++session)
        if (!batch->add(draftOf(rates[static_cast<std::size_t>(session) % kinds], session))) std::abort();
    if (!batch->commit()) std::abort();
}

/// One transaction for all; the drafts are made beforehand, as reading would have.
void storeThousandSessions(benchmark::State& state) {
    std::vector<library::SessionDraft> drafts;
    for (int session = 0; session < 1000; ++session)
        drafts.push_back(draftOf(ratesOf(static_cast<unsigned>(session)), session));
    for (auto _ : state) {
        state.PauseTiming();
        auto scratch = std::make_unique<Scratch>();
        state.ResumeTiming();
        {
            auto library = library::Library::open(scratch->file(), {.createIfAbsent = true});
            if (!library->addSessions(drafts)) std::abort();
        }
        state.PauseTiming();
        state.counters["MB"] = static_cast<double>(fs::file_size(scratch->file())) / 1e6;
        scratch.reset();
        state.ResumeTiming();
    }
}
BENCHMARK(storeThousandSessions)->Unit(benchmark::kMillisecond);

void openTenThousand(benchmark::State& state) {
    const Scratch scratch;
    fill(scratch.file(), 10000);
    for (auto _ : state) {
        auto library = library::Library::open(scratch.file());
        benchmark::DoNotOptimize(library->sessionsOf(*library->findProject(library::defaultProject)));
    }
    state.counters["MB"] = static_cast<double>(fs::file_size(scratch.file())) / 1e6;
}
BENCHMARK(openTenThousand)->Unit(benchmark::kMillisecond);

void listTenThousand(benchmark::State& state) {
    const Scratch scratch;
    fill(scratch.file(), 10000);
    auto library = library::Library::open(scratch.file());
    const auto project = *library->findProject(library::defaultProject);
    for (auto _ : state)
        benchmark::DoNotOptimize(library->sessionsOf(project));
}
BENCHMARK(listTenThousand)->Unit(benchmark::kMillisecond);

void loadOneSession(benchmark::State& state) {
    const Scratch scratch;
    fill(scratch.file(), 1000);
    auto library = library::Library::open(scratch.file());
    const auto session = library->allSessions()->at(500);
    for (auto _ : state)
        for (const auto& wearing : session.wearings)
            benchmark::DoNotOptimize(library->loadWearing(wearing));
}
BENCHMARK(loadOneSession)->Unit(benchmark::kMicrosecond);

void loadThousandSessions(benchmark::State& state) {
    const Scratch scratch;
    fill(scratch.file(), 1000);
    auto library = library::Library::open(scratch.file());
    const auto sessions = *library->allSessions();
    for (auto _ : state)
        for (const auto& session : sessions)
            for (const auto& wearing : session.wearings)
                benchmark::DoNotOptimize(library->loadWearing(wearing));
}
BENCHMARK(loadThousandSessions)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
