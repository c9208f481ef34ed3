#include "tests/widgets/plots/demo_session.h"

#include <array>
#include <cmath>
#include <random>

namespace beatwitness::widgets_test {
namespace {

constexpr std::int64_t start_s = 1'930'294'800;  // 2031-03-02T09:00:00Z

/// Reference of the rowing session: first-order kinetics towards an effort of 4 min in every 7.
double target(int second) {
    const int inCycle = second % 420;
    return second < 300 ? 105 : inCycle < 240 ? 172 + second / 420 % 3 * 4 : 122;
}

}  // namespace

recording::RecordingFile recordingOf(const std::string& file, const std::vector<Sample>& samples) {
    recording::Channel channel;
    channel.kind = recording::ChannelKind::HeartRate;
    for (const Sample& sample : samples) {
        channel.times.emplace_back(std::chrono::seconds{start_s} + toMicros({sample.seconds}));
        channel.values.push_back(sample.rate_bpm);
    }
    recording::RecordingFile result;
    result.file = file;
    result.recording.rows = samples.size();
    result.recording.channels.push_back(std::move(channel));
    return result;
}

std::shared_ptr<const analysis::SessionAnalysis> sessionOf(const std::vector<Sample>& reference,
                                                           const std::vector<std::vector<Sample>>& tests,
                                                           std::optional<double> offset_s) {
    static constexpr std::array names{"band.fit", "watch.csv", "ring.csv", "forearm band.fit"};
    std::vector<recording::RecordingFile> files;
    for (std::size_t i = 0; i < tests.size(); ++i)
        files.push_back(recordingOf(names.at(i), tests[i]));
    analysis::Request request;
    request.align = offset_s ? alignment::Method::Offset : alignment::Method::None;
    request.offset = {offset_s.value_or(0.0)};
    request.excludeReferenceFaults = false;
    auto session =
        analysis::analyseSession(recordingOf("strap.fit", reference), std::move(files), {}, request);
    if (!session) throw std::runtime_error(sentence(session.fault()));
    // What the views draw must not hang on what the detectors think of invented shapes: gaps alone are facts.
    for (auto& test : session->tests)
        std::erase_if(test.flags,
                      [](const flags::Flag& flag) { return flag.kind != flags::FlagKind::Dropout; });
    return std::make_shared<const analysis::SessionAnalysis>(std::move(*session));
}

std::vector<Sample> steady(int begin_s, int end_s, double rate_bpm) {
    std::vector<Sample> samples;
    for (int second = begin_s; second <= end_s; ++second)
        samples.push_back({static_cast<double>(second), rate_bpm});
    return samples;
}

std::shared_ptr<const analysis::SessionAnalysis> rowingSession(int minutes, int tests) {
    std::mt19937 random(7);
    std::normal_distribution<double> noise;
    std::vector<Sample> reference;
    std::vector<std::vector<Sample>> devices(static_cast<std::size_t>(tests));
    double rate = 96, wander = 0;
    for (int second = 0; second < minutes * 60; ++second) {
        rate += (target(second) - rate) / 42;
        wander = wander * 0.97 + noise(random) * 0.25;
        const double beat = rate + wander;
        reference.push_back({static_cast<double>(second), std::round(beat)});
        for (int test = 0; test < tests; ++test) {
            const bool half = test == 0 && second >= 1730 && second < 1850;
            const bool dropped = test == 0 && second >= 2210 && second < 2252;
            const bool stuck = test == 1 && second >= 860 && second < 1080;
            if (dropped) continue;
            const double read = half ? beat * 0.51 : stuck ? 124 : beat - test;
            devices[static_cast<std::size_t>(test)].push_back(
                {second - 3.0, std::round(read + noise(random) * (1.2 + test))});
        }
    }
    return sessionOf(reference, devices, 3.0);
}

alignment::Alignment demoAlignment() {
    alignment::Alignment alignment;
    alignment.method = alignment::Method::Auto;
    alignment.correction = alignment::ClockCorrection{{}, {3.4}, {0.0}};
    alignment.offsetInterval_s = alignment::Interval{3.1, 3.8};
    alignment.confidence = 0.97;
    for (int i = -160; i <= 160; ++i) {
        const double offset = 3.4 + i * 0.1;
        const double away = std::abs(offset - 3.4);
        alignment.lossCurve.push_back({{offset}, 3.2 + 11 * (1 - std::exp(-away * away / 60))});
    }
    return alignment;
}

}  // namespace beatwitness::widgets_test
