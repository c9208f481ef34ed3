#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/foundation/result.h"
#include "core/recording/recording.h"
#include "core/recording/text_dialect.h"
#include "core/recording/text_times.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::text {

/// A column that becomes a channel.
struct MeasureColumn {
    std::size_t column = 0;
    ChannelKind kind = ChannelKind::HeartRate;
    double scale = 1.0;
};

/// One measurement a line: its kind in one column, its value in another.
struct LongFormat {
    std::size_t kindColumn = 0;
    std::size_t valueColumn = 0;
};

/// How a table is to be read: settled before its rows are.
struct TablePlan {
    Dialect dialect;
    TimeLayout time;
    std::vector<MeasureColumn>
        measures;  ///< heart rate may stand in several: the fullest is chosen at the end
    std::optional<std::size_t> lapColumn;
    std::optional<LongFormat> longFormat;
    std::optional<Micros> start;  ///< what elapsed times count from, midnight for clocks without a date
    std::optional<Zone> zone;
    ClockBasis clock = ClockBasis::Utc;
    std::string device;
    std::vector<std::pair<std::string, std::string>> guessed;
    std::vector<std::string> warnings;
};

/// Settles separator, header, times and channels of `text`.
///
/// Faults: UnknownFormat (no table), NoTimeColumn, WrongUsage (an option names a column that is not there, or
/// no zone). Linear in the sampled part; where the order of day and month is open, in the whole text.
[[nodiscard]] Result<TablePlan> planTable(std::string_view text, const ReadOptions& options);

}  // namespace beatwitness::recording::text
