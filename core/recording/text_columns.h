#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/recording/recording.h"

namespace beatwitness::recording::text {

/// What the word above a column says that it holds.
enum class Role {
    None,
    Time,     ///< an instant, a date, a clock or an elapsed time
    Lap,      ///< number or name of the lap
    Kind,     ///< kind of measurement, where each line holds one
    Value,    ///< the value beside a kind
    Measure,  ///< a channel, see ColumnMeaning::channel
};

/// Unit of a time column, where the word above it says one.
enum class TimeUnit { Unsaid, Seconds, Millis, Micros, Nanos, Minutes, Hours };

struct ColumnMeaning {
    Role role = Role::None;
    std::optional<ChannelKind> channel;  ///< for Measure
    double scale = 1.0;                  ///< what a value is multiplied by to get the channel's unit
    TimeUnit timeUnit = TimeUnit::Unsaid;
    bool saysUtc = false;      ///< "time (UTC)"
    bool saysElapsed = false;  ///< "elapsed", "since_start"
    bool saysEnd = false;      ///< "end time": a beginning is the better time of a row
};

/// Meaning of a header word, whatever its case, spacing, brackets, underscores and unit.
///
/// Heart rate is `hr`, `heart rate`, `bpm` or `pulse` with a unit or the name of a device around it, but not
/// its maximum, mean, zone or variability. A cell of many words is prose and means nothing. Source: the batch
/// contract, "Columns and elements".
[[nodiscard]] ColumnMeaning meaningOf(std::string_view header);

}  // namespace beatwitness::recording::text
