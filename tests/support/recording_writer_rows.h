#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>

#include "core/recording/recording.h"

/// What the writers of recordings share.
namespace beatwitness::tests {

struct WrittenRow {
    std::optional<double> rate_bpm;
    std::optional<double> cadence_per_min;
};

/// By milliseconds on the recording's clock, rounded to the nearest.
using WrittenRows = std::map<std::int64_t, WrittenRow>;

[[nodiscard]] std::int64_t nearestMillisecond(RecordingTime time);

/// One row an instant of heart rate or cadence, or of `emptyRows`.
[[nodiscard]] WrittenRows writtenRows(const recording::Recording& recording,
                                      std::span<const RecordingTime> emptyRows);

/// "2031-03-03" and "06:42:00.000".
struct DateText {
    std::string date, time;
};

[[nodiscard]] DateText dateText(std::int64_t time_ms);

}  // namespace beatwitness::tests
