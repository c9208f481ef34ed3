#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/foundation/units.h"
#include "core/recording/recording.h"

namespace beatwitness::trace {

/// Heart rate over time on one clock.
///
/// Invariants: times strictly ascending, one rate each, every rate valid (25 to 250 bpm).
template <class Clock>
struct Trace {
    std::vector<Instant<Clock>> times;
    std::vector<Bpm> rates;

    [[nodiscard]] bool empty() const { return times.empty(); }
    /// Requires: not empty.
    [[nodiscard]] Span<Clock> span() const { return {times.front(), times.back()}; }
};

/// The valid heart rate of a recording, in the order of time. Of valid samples at one time the last in the
/// file stands. Empty where the recording has none. O(n), O(n log n) where the file goes back in time.
[[nodiscard]] Trace<RecordingClock> traceOf(const recording::Recording& recording);

/// The same samples on another clock that reads `shift` more.
template <class Clock>
[[nodiscard]] Trace<Clock> laidOn(const Trace<RecordingClock>& trace, Micros shift) {
    Trace<Clock> laid{{}, trace.rates};
    laid.times.reserve(trace.times.size());
    for (const auto time : trace.times)
        laid.times.emplace_back(time.time_since_epoch() + shift);
    return laid;
}

/// What `inspect` tells of a recording's heart rate. Optionals are absent where there is no valid sample (or,
/// for the interval, fewer than two).
struct RecordingSummary {
    std::size_t samples = 0;                   ///< rows with a time
    std::size_t missing = 0;                   ///< those of them without a valid heart rate
    std::optional<Span<RecordingClock>> span;  ///< first to last valid sample
    std::optional<Seconds> duration;
    std::optional<Seconds> medianInterval;
    std::optional<Bpm> lowest, mean, highest;  ///< of valid samples
    struct Part {
        Span<RecordingClock> span;
        std::size_t samples = 0;
    };
    /// Stretches of valid samples that lie more than 30 min apart; more than one says: several workouts in
    /// one file.
    std::vector<Part> parts;
};

[[nodiscard]] RecordingSummary summarise(const recording::Recording& recording);

}  // namespace beatwitness::trace
