#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/recording/fit_decoder.h"
#include "core/recording/fit_series.h"

namespace beatwitness::recording {

/// Heart rate of `hr` messages: one value a beat, timed by a counter of 1/1024 s.
///
///     anchor message     timestamp, a fraction of a second, one event_timestamp (32 bits), one or more rates
///     further messages   event_timestamp_12: two events in three bytes, low bits first, 12 bits each; a rate
///     an event
///
/// The anchor ties the counter to the clock. Of the further events only the low 12 bits of the counter are
/// stored: they roll over every 4 s, so each event is taken as the first one after its predecessor that ends
/// in those bits. The last message is filled up by repeating its last event: those rows count as the file
/// holds them, and since of samples at one time the last stands they change nothing.
class FitHeartEvents {
public:
    /// Further parts have anchors of their own.
    void beginPart() { anchor_.reset(); }
    void take(const FitMessageView& message);

    /// Events with a valid rate, in the order of the file.
    [[nodiscard]] FitSeries& series() { return series_; }
    [[nodiscard]] std::size_t withoutAnchor() const { return withoutAnchor_; }

private:
    struct Anchor {
        Micros time;  ///< of the counter value `counter`
        std::uint32_t counter;
        std::uint64_t sinceAnchor;  ///< counter steps from there to the latest event
    };

    void anchorAt(const FitMessageView& message);
    void event(std::uint64_t sinceAnchor, std::optional<double> rate_bpm);
    void packedEvents(const FitMessageView& message);

    std::optional<Anchor> anchor_;
    FitSeries series_;
    std::size_t withoutAnchor_ = 0;
};

/// Longest distance of two valid heart rates in records that `hr` events do not fill; as long as two samples
/// may lie apart and still be joined. Source: the batch contract (`max_gap_s`).
inline constexpr Micros longestUnfilledGap{10'000'000};

/// Adds those of `events` to `records` that stand where `records` have no valid rate for more than
/// longestUnfilledGap: strictly between two valid rates that far apart, before the first or after the last
/// one. Returns how many. O(records log records + events log records).
std::size_t fillFromEvents(FitSeries& records, FitSeries&& events);

}  // namespace beatwitness::recording
