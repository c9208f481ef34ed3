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
    std::optional<double> power_w;
    std::optional<double> speed_m_per_s;
    std::optional<double> altitude_m;
    std::optional<double> distance_m;
};

/// By milliseconds on the recording's clock, rounded to the nearest.
using WrittenRows = std::map<std::int64_t, WrittenRow>;

[[nodiscard]] std::int64_t nearestMillisecond(RecordingTime time);

/// One row an instant of any channel but beat intervals, or of `emptyRows`.
[[nodiscard]] WrittenRows writtenRows(const recording::Recording& recording,
                                      std::span<const RecordingTime> emptyRows);

/// "2031-03-03" and "06:42:00.000".
struct DateText {
    std::string date, time;
};

[[nodiscard]] DateText dateText(std::int64_t time_ms);
/// "2031-03-03T06:42:00.000Z"
[[nodiscard]] std::string instantText(std::int64_t time_ms);
/// "1930286520.000"
[[nodiscard]] std::string secondsText(std::int64_t time_ms);

}  // namespace beatwitness::tests
