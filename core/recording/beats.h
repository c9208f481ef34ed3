#pragma once

#include <cstddef>
#include <vector>

#include "core/recording/recording.h"

namespace beatwitness::recording {

/// Beat intervals as a file gives them, each at its closing beat.
///
/// Invariants: all of the same length; intervals positive and finite; in the order of the file.
struct Beats {
    std::vector<RecordingTime> times;  ///< of closing beats
    std::vector<double> intervals_ms;
    std::vector<bool> marked;     ///< the file itself calls it an artefact
    std::vector<bool> beginsRun;  ///< beats before it are absent

    void add(RecordingTime time, double interval_ms, bool isMarked = false, bool begins = false) {
        times.push_back(time);
        intervals_ms.push_back(interval_ms);
        marked.push_back(isMarked);
        beginsRun.push_back(begins);
    }
    [[nodiscard]] std::size_t size() const { return times.size(); }
    [[nodiscard]] bool empty() const { return times.empty(); }
};

/// More than any recording holds (46 days at 60 bpm): what comes behind is left out with a warning, so that a
/// huge file of tiny lines costs no more memory than its size allows.
inline constexpr std::size_t mostBeats = 4'000'000;

/// Adds the channels of beat intervals (all of them) and of heart rate (60000/RR bpm at the closing beat,
/// none where an interval is judged an artefact or marked as one) and the share of artefacts.
///
/// Times of elapsed seconds or of a date: as `beats` has them. Sets neither rows nor format. Nothing is added
/// where there are no beats.
void addBeats(Recording& recording, Beats beats);

}  // namespace beatwitness::recording
