#include "tests/support/small_traces.h"

#include <cmath>
#include <sstream>
#include <string>

namespace beatwitness::tests {
namespace {

RecordingTime at(double seconds_s) {
    return RecordingTime{Micros{std::llround(seconds_s * 1e6)}};
}

}  // namespace

recording::Recording recordingOf(std::string_view rates, double start_s) {
    recording::Recording recording;
    recording::Channel channel;
    std::istringstream words{std::string{rates}};
    double time_s = start_s;
    for (std::string word; words >> word; time_s += 1.0) {
        ++recording.rows;
        if (word == ".") continue;
        channel.times.push_back(at(time_s));
        channel.values.push_back(std::stod(word));
    }
    if (!channel.times.empty()) recording.channels.push_back(channel);
    return recording;
}

recording::Recording recordingOf(const std::vector<Sample>& samples) {
    recording::Recording recording;
    recording::Channel channel;
    for (const auto& sample : samples) {
        channel.times.push_back(at(sample.time_s));
        channel.values.push_back(sample.rate_bpm);
    }
    recording.rows = samples.size();
    if (!samples.empty()) recording.channels.push_back(channel);
    return recording;
}

recording::RecordingFile fileOf(recording::Recording recording, std::string name) {
    return {std::move(name), std::string(64, '0'), std::move(recording)};
}

trace::Pairs pairsOf(const std::vector<double>& reference_bpm, const std::vector<double>& test_bpm) {
    trace::Pairs pairs;
    pairs.referenceSeconds = reference_bpm.size();
    for (std::size_t i = 0; i < reference_bpm.size(); ++i) {
        pairs.seconds.push_back(static_cast<std::int64_t>(i));
        pairs.reference.push_back(Bpm{reference_bpm[i]});
        pairs.test.push_back(Bpm{test_bpm[i]});
    }
    return pairs;
}

}  // namespace beatwitness::tests
