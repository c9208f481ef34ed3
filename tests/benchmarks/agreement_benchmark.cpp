// The Agreement page's answers, read beside ../shared/peers/numerics.py in one run, as ratios (its bootstrap
// by sums), and against the goals of 50 ms for a project of 12 sessions and 1 s for a library of 500.

#include <benchmark/benchmark.h>
#include <unistd.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <random>

#include "core/agreement/session_bootstrap.h"
#include "core/library/library.h"
#include "core/recording/digest.h"
#include "core/report/agreement_view.h"

using namespace beatwitness;
namespace fs = std::filesystem;

namespace {

constexpr int samples = 3600;

/// Exercise that rises and falls by turns, and a device of its own noise that loses it now and then.
struct Rates {
    std::vector<double> reference, test;
};

Rates ratesOf(unsigned seed) {
    std::mt19937_64 random{seed};
    std::normal_distribution<double> noise{0, 2};
    Rates rates;
    double rate = 90;
    for (int i = 0; i < samples; ++i) {
        const double aim = (i / 300) % 2 == 0 ? 100 : 165;
        rate += (aim - rate) / 40;
        const bool lost = (i / 97) % 11 == 5;
        rates.reference.push_back(std::round(rate));
        rates.test.push_back(std::round(std::max(40.0, rate + noise(random) - (lost ? 25 : 1))));
    }
    return rates;
}

evaluation::SessionEvidence evidenceOf(std::int64_t session, const std::string& device) {
    const auto rates = ratesOf(static_cast<unsigned>(session) * 2 + (device == "band"));
    agreement::PairedSeconds seconds;
    for (int i = 0; i < samples; ++i) {
        seconds.seconds.push_back(i);
        seconds.reference.push_back(rates.reference[static_cast<std::size_t>(i)]);
        seconds.test.push_back(rates.test[static_cast<std::size_t>(i)]);
        seconds.paired.push_back(1);
        seconds.flag.push_back(0);
    }
    seconds.lastSample_s = samples - 1;
    evaluation::SessionEvidence one;
    one.session = session;
    one.sessionName = "session " + std::to_string(session);
    one.activity = session % 3 == 0   ? "hill walk"
                   : session % 3 == 1 ? "rowing ergometer"
                                      : "kettlebell circuit";
    one.device = device;
    one.aligned = one.asRecorded = evaluation::clockEvidence(std::move(seconds));
    return one;
}

std::vector<evaluation::SessionEvidence> evidenceOf(std::int64_t sessions) {
    std::vector<evaluation::SessionEvidence> all;
    for (std::int64_t session = 1; session <= sessions; ++session)
        for (const auto* device : {"band", "watch"})
            all.push_back(evidenceOf(session, device));
    return all;
}

/// One refresh of the page from evidence at hand, by part.
void refreshTwelveSessions(benchmark::State& state) {
    const auto evidence = evidenceOf(12);
    const auto choices = report::choicesIn(evidence);
    report::AgreementAsk ask;
    ask.devices = {"band", "watch"};
    ask.part = static_cast<report::AgreementPart>(state.range(0));
    ask.by = {evaluation::GroupKey::Activity};
    for (auto _ : state)
        benchmark::DoNotOptimize(report::agreementView(evidence, choices, ask, {}, 0));
}
BENCHMARK(refreshTwelveSessions)->DenseRange(0, 6)->Unit(benchmark::kMillisecond);

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

library::WearingDraft worn(library::Role role, const std::string& device, std::vector<double> rates,
                           std::int64_t session) {
    library::ReadFile file;
    recording::Channel channel;
    for (int i = 0; i < samples; ++i)
        channel.times.emplace_back(Micros{(1930380000 + session * 7200 + i) * 1000000});
    channel.values = std::move(rates);
    file.read.file = device + std::to_string(session) + ".fit";
    file.read.recording.rows = samples;
    file.read.recording.channels.push_back(std::move(channel));
    const auto* name = reinterpret_cast<const std::byte*>(file.read.file.data());
    file.bytes.assign(name, name + file.read.file.size());
    file.read.sha256 = recording::sha256(file.bytes);
    return {role, device,
            {},   library::WearingOutcome::Recorded,
            "",   {{std::make_shared<const library::ReadFile>(std::move(file)), std::nullopt}}};
}

void fill(const fs::path& path, std::int64_t sessions) {
    std::vector<library::SessionDraft> drafts;
    for (std::int64_t session = 0; session < sessions; ++session) {
        library::SessionDraft draft{"session " + std::to_string(session),
                                    session % 2 == 0 ? "hill walk" : "rowing ergometer",
                                    "A",
                                    "",
                                    {}};
        auto rates = ratesOf(static_cast<unsigned>(session % 64));
        draft.wearings.push_back(
            worn(library::Role::Reference, "strap", std::move(rates.reference), session));
        draft.wearings.push_back(worn(library::Role::Test, "band", std::move(rates.test), session));
        drafts.push_back(std::move(draft));
    }
    auto library = library::Library::open(path, {.createIfAbsent = true});
    if (!library || !library->addSessions(drafts)) std::abort();
    evaluation::Question question;
    question.project = library::defaultProject;
    const auto found = evaluation::projectEvidence(*library, question);
    if (!found || !library->storeOutcomes(found->fresh)) std::abort();
}

/// Opened anew, outcomes kept: read, paired and pooled.
void poolFiveHundredCold(benchmark::State& state) {
    const Scratch scratch;
    fill(scratch.file(), 500);
    evaluation::Question question;
    question.project = library::defaultProject;
    report::AgreementAsk ask;
    ask.devices = {"band"};
    double read_s = 0;
    for (auto _ : state) {
        const auto begun = std::chrono::steady_clock::now();
        auto library = library::Library::open(scratch.file(), {.write = false});
        const auto found = evaluation::projectEvidence(*library, question);
        if (!found || !found->fresh.empty()) std::abort();
        read_s += std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
        const auto choices = report::choicesIn(found->evidence);
        benchmark::DoNotOptimize(report::agreementView(found->evidence, choices, ask, {}, 0));
    }
    state.counters["read_ms"] = 1000 * read_s / static_cast<double>(state.iterations());
}
BENCHMARK(poolFiveHundredCold)->Unit(benchmark::kMillisecond);

/// As the peer: 10,000 resamples of 200 sessions' sums, intervals of bias, both limits and concordance.
void bootstrapTwoHundredSessions(benchmark::State& state) {
    agreement::SummableRows rows{7, {}};
    std::mt19937_64 random{7};
    std::normal_distribution<double> spread{0, 2};
    for (int i = 0; i < 200; ++i) {
        const double n = samples, bias = -1 + spread(random), var = 36;
        const double x = n * spread(random), xx = n * 625 + x * x / n;
        const double d = n * bias, dd = n * (var + bias * bias);
        rows.add(std::array{n, x, x + d, xx, xx + 2 * x * bias + dd, xx + x * bias, dd});
    }
    const auto error = [](std::span<const double> t) { return (t[2] - t[1]) / t[0]; };
    const auto sd = [&](std::span<const double> t) {
        const double bias = error(t);
        return std::sqrt((t[6] - t[0] * bias * bias) / (t[0] - 1));
    };
    const auto ccc = [&](std::span<const double> t) -> std::optional<double> {
        const double mx = t[1] / t[0], my = t[2] / t[0];
        return 2 * (t[5] / t[0] - mx * my) /
               (t[3] / t[0] - mx * mx + t[4] / t[0] - my * my + (mx - my) * (mx - my));
    };
    using Span = std::span<const double>;
    for (auto _ : state) {
        const auto resamples = agreement::resampled(rows);
        for (const agreement::BootstrapDistribution::Statistic& statistic :
             {agreement::BootstrapDistribution::Statistic{
                  [&](Span t) -> std::optional<double> { return error(t); }},
              {[&](Span t) -> std::optional<double> { return error(t) - 1.96 * sd(t); }},
              {[&](Span t) -> std::optional<double> { return error(t) + 1.96 * sd(t); }},
              {ccc}})
            benchmark::DoNotOptimize(
                agreement::percentileInterval(agreement::BootstrapDistribution{resamples, statistic}));
    }
}
BENCHMARK(bootstrapTwoHundredSessions)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
