#pragma once

#include <optional>
#include <vector>

#include "core/recording/fit_decoder.h"
#include "core/recording/fit_series.h"

namespace beatwitness::recording {

/// Beat intervals of `hrv` messages, in ms, each at its closing beat.
///
/// hrv messages carry no time. Their intervals are laid end to end: the first closes at the latest time that
/// the part gave before it, each further one an interval later. Where that chain has come more than
/// `longestDrift` away from the latest time (beats were lost, or recording was paused), it starts anew there.
/// So instants are good to about a second; differences between neighbours are as exact as the intervals.
/// Intervals that come before any time wait for the first one and end there.
class FitBeats {
public:
    static constexpr Micros longestDrift{5'000'000};

    /// A chained part has a clock of its own. What still waits for a time is given up.
    void beginPart();
    /// A message of the part said that it is `time`.
    void tellTime(RecordingTime time) {
        now_ = time;
        if (!waiting_.empty()) placeWaiting(time);
    }
    void take(const FitMessageView& message);

    [[nodiscard]] FitSeries& series() { return series_; }
    /// Intervals in parts that gave no time at all.
    [[nodiscard]] std::size_t withoutTime() const { return withoutTime_ + waiting_.size(); }

private:
    void interval(double interval_ms);
    void placeWaiting(RecordingTime last);

    std::optional<RecordingTime> now_;
    std::optional<RecordingTime> lastBeat_;
    std::vector<double> waiting_;
    FitSeries series_;
    std::size_t withoutTime_ = 0;
};

}  // namespace beatwitness::recording
