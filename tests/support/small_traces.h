#pragma once

#include <string_view>
#include <vector>

#include "core/recording/read_recording.h"
#include "core/trace/pairs.h"
#include "core/trace/trace.h"

/// Small texts and lists that become recordings and traces, so that a test shows its input at a glance.
namespace beatwitness::tests {

/// One row a second from `start_s`: numbers are rates, "." is a row without one. "120 121 . . 125".
[[nodiscard]] recording::Recording recordingOf(std::string_view rates, double start_s = 0.0);

struct Sample {
    double time_s;
    double rate_bpm;
};
[[nodiscard]] recording::Recording recordingOf(const std::vector<Sample>& samples);

/// The recording as a file of the given name, with no bytes behind it.
[[nodiscard]] recording::RecordingFile fileOf(recording::Recording recording, std::string name = "test.csv");

template <class Clock>
[[nodiscard]] trace::Trace<Clock> traceOf(const std::vector<Sample>& samples) {
    return trace::laidOn<Clock>(trace::traceOf(recordingOf(samples)), Micros{0});
}

/// Pairs of session seconds 0, 1, …; as many reference seconds.
[[nodiscard]] trace::Pairs pairsOf(const std::vector<double>& reference_bpm,
                                   const std::vector<double>& test_bpm);

}  // namespace beatwitness::tests
