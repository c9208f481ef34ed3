#pragma once

#include <memory>
#include <string>
#include <vector>

#include "core/analysis/session_analysis.h"

/// Sessions in memory for the tests and pictures of the plot views, with simple shapes that can be checked by
/// hand.
namespace beatwitness::widgets_test {

/// One sample; several at one second are kept as they come.
struct Sample {
    double seconds = 0.0;
    double rate_bpm = 0.0;
};

/// A recording named `file`, dated 2031-03-02T09:00:00Z.
[[nodiscard]] recording::RecordingFile recordingOf(const std::string& file,
                                                   const std::vector<Sample>& samples);

/// Analysed with no alignment, or with `offset_s` added to the test clocks.
[[nodiscard]] std::shared_ptr<const analysis::SessionAnalysis> sessionOf(
    const std::vector<Sample>& reference, const std::vector<std::vector<Sample>>& tests,
    std::optional<double> offset_s = {});

/// `rate_bpm` every second from `begin_s` to `end_s`, both included.
[[nodiscard]] std::vector<Sample> steady(int begin_s, int end_s, double rate_bpm);

/// Rowing intervals of `minutes`, in the manner of a real pair: efforts and recoveries, a band that follows
/// with noise, one dropout (36:50, 42 s), one stretch at half rate (28:50, 2 min). `tests` up to 4. Seeded:
/// the same every time.
[[nodiscard]] std::shared_ptr<const analysis::SessionAnalysis> rowingSession(int minutes, int tests);

/// What an alignment might look like: a dip at +3.4 s with an interval of 3.1 to 3.8 s.
[[nodiscard]] alignment::Alignment demoAlignment();

}  // namespace beatwitness::widgets_test
