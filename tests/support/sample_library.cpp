#include "tests/support/sample_library.h"

#include <algorithm>
#include <cmath>

#include "tests/support/archive_writer.h"
#include "tests/support/recording_writer.h"

namespace beatwitness::tests {

namespace {

constexpr std::chrono::minutes exportMargin{1};

CadencePlace cadencePlace(const SampleSession& session, const SampleSource& test) {
    if (session.strap.cadence) return CadencePlace::Reference;
    return test.cadence ? CadencePlace::Test : CadencePlace::None;
}

void moveBack(Truth& truth, double by_s) {
    for (auto& phase : truth.phases) {
        phase.start_s -= by_s;
        phase.end_s -= by_s;
    }
    for (auto& fault : truth.faults)
        for (double* time_s : {&fault.plan.start_s, &fault.plan.end_s, &fault.start_s, &fault.end_s})
            *time_s -= by_s;
}

/// A file of intervals has its first heart rate a beat after the start, and session time counts from there.
void takeBeatIntervals(const PairPlan& plan, GeneratedPair& pair) {
    if (plan.test.sampling.style == SamplingStyle::Beats) toBeatIntervals(pair.test);
    if (plan.reference.sampling.style != SamplingStyle::Beats) return;
    toBeatIntervals(pair.reference);
    const auto first_us = pair.reference.channels.front().times.front().time_since_epoch().count();
    moveBack(pair.truth, static_cast<double>(first_us - plan.start_us) * 1e-6);
}

GeneratedPair pairOf(const SampleSession& session, const SampleDevice& device) {
    PairPlan plan = session.plan;
    plan.test = device.plan;
    plan.testSeed = device.seed;
    plan.cadence = cadencePlace(session, device.source);
    plan.faults.insert(plan.faults.end(), device.faults.begin(), device.faults.end());
    auto pair = generatePair(plan);
    pair.test.device = device.name;
    addSampleMeasures(pair.reference, session.setting, plan, 0.0);
    addSampleMeasures(pair.test, session.setting, plan, pair.truth.nominalOffset_s);
    takeBeatIntervals(plan, pair);
    return pair;
}

void append(recording::Channel& channel, const recording::Channel& more) {
    channel.times.insert(channel.times.end(), more.times.begin(), more.times.end());
    channel.values.insert(channel.values.end(), more.values.begin(), more.values.end());
}

/// The band looks every ten minutes at a wearer who is about the house.
void appendBackground(recording::Channel& channel, RecordingTime from, RecordingTime to,
                      RandomStream& random) {
    for (auto time = from + std::chrono::minutes{10}; time < to - std::chrono::minutes{5};
         time += std::chrono::minutes{10}) {
        const auto ofDay = time - std::chrono::floor<std::chrono::days>(time);
        const bool asleep = ofDay < std::chrono::hours{6} || ofDay > std::chrono::hours{22};
        channel.times.push_back(time);
        channel.values.push_back(std::round((asleep ? 55.0 : 70.0) + (asleep ? 2.5 : 7.0) * random.normal()));
    }
}

/// Day and night, with the sessions in between.
SampleFile exportFile(std::span<const SampleSession> sessions, std::span<const GeneratedSession> generated) {
    recording::Recording all;
    all.channels.push_back({recording::ChannelKind::HeartRate, {}, {}});
    auto& rates = all.channels.front();
    RandomStream random{2031, "about the house"};
    for (std::size_t i = 0; i < sessions.size(); ++i)
        for (std::size_t j = 0; j < sessions[i].devices.size(); ++j) {
            if (!sessions[i].devices[j].inExport()) continue;
            const auto& worn = generated[i].devices[j]->test.channels.front();
            if (!rates.times.empty()) appendBackground(rates, rates.times.back(), worn.times.front(), random);
            append(rates, worn);
        }
    const auto text = writeCsv(all, CsvDialect::IsoZone);
    const auto bytes = std::as_bytes(std::span{text.data(), text.size()});
    const ZippedFile file{"heart-rate-2031-03.csv", {bytes.begin(), bytes.end()}};
    return {std::string{sampleExportFile}, writeZip({&file, 1})};
}

SampleFile textFile(std::string name, std::string_view text) {
    const auto bytes = std::as_bytes(std::span{text.data(), text.size()});
    return {std::move(name), {bytes.begin(), bytes.end()}};
}

void appendRecordings(std::vector<SampleFile>& files, const SampleSession& session,
                      const GeneratedSession& generated) {
    const auto& reference = generated.reference;
    files.push_back(
        {session.strap.file, session.strap.write(reference.reference, reference.emptyReferenceRows)});
    for (std::size_t i = 0; i < session.devices.size(); ++i) {
        const auto& source = session.devices[i].source;
        if (source.file.empty()) continue;
        const auto& pair = *generated.devices[i];
        files.push_back({source.file, source.write(pair.test, pair.emptyTestRows)});
    }
}

}  // namespace

GeneratedSession generateSession(const SampleSession& session) {
    GeneratedSession generated;
    for (const auto& device : session.devices) {
        generated.devices.emplace_back();
        if (device.failedBecause.empty()) generated.devices.back() = pairOf(session, device);
    }
    generated.reference = *generated.devices.front();
    std::erase_if(generated.reference.truth.faults,
                  [](const TrueFault& fault) { return fault.plan.on == FaultOn::Test; });
    return generated;
}

Span<RecordingClock> sampleExportSpan(const GeneratedPair& pair) {
    const auto& times = pair.test.channels.front().times;
    return {std::chrono::floor<std::chrono::minutes>(times.front() - exportMargin),
            std::chrono::ceil<std::chrono::minutes>(times.back() + exportMargin)};
}

std::vector<SampleFile> sampleLibraryFiles() {
    const auto sessions = sampleSessions();
    std::vector<GeneratedSession> generated;
    std::vector<SampleFile> files;
    for (const auto& session : sessions) {
        generated.push_back(generateSession(session));
        appendRecordings(files, session, generated.back());
    }
    files.push_back(exportFile(sessions, generated));
    files.push_back(textFile("manifest.json", sampleManifest(sessions, generated)));
    files.push_back(textFile("truth.json", sampleTruth(sessions, generated)));
    return files;
}

}  // namespace beatwitness::tests
