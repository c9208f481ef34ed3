#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "core/recording/recording.h"

/// Recordings as other programs would have written them.
namespace beatwitness::tests {

enum class CsvDialect {
    IsoUtc,                 ///< timestamp,heart_rate,cadence; 2031-03-03T06:42:00.000Z
    IsoZone,                ///< Time,Heart Rate [bpm],Cadence [rpm]; 2031-03-03T08:42:00.000+02:00
    EpochSeconds,           ///< timestamp,hr,cadence; 1930286520.000
    EpochMilliseconds,      ///< timestamp_ms,bpm,cadence; 1930286520000
    ElapsedSeconds,         ///< secs,hr,cadence from the first row on: no date
    SemicolonDecimalComma,  ///< time;heart rate (bpm);cadence with 120,5; zone unknown: 2031-03-03
                            ///< 06:42:00,000
    DateAndTime,            ///< date,time,heart_rate,cadence, zone unknown
    TabEpoch,               ///< time, dur, cad and hr between tabs
};

inline constexpr CsvDialect csvDialects[]{CsvDialect::IsoUtc,         CsvDialect::IsoZone,
                                          CsvDialect::EpochSeconds,   CsvDialect::EpochMilliseconds,
                                          CsvDialect::ElapsedSeconds, CsvDialect::SemicolonDecimalComma,
                                          CsvDialect::DateAndTime,    CsvDialect::TabEpoch};

/// Heart rate and, where the recording has it, cadence; one row an instant of any channel or of `emptyRows`,
/// in the order of time. Milliseconds; a value that a row lacks is an empty cell.
[[nodiscard]] std::string writeCsv(const recording::Recording& recording, CsvDialect dialect,
                                   std::span<const RecordingTime> emptyRows = {});

/// An activity file with one record a row, and laps without labels. Times are cut to whole seconds and values
/// rounded to whole numbers: the format holds no more. A value that a row lacks is the format's sentinel.
/// Requires: times from 1989-12-31 on; values at most 254.
[[nodiscard]] std::vector<std::byte> writeFit(const recording::Recording& recording,
                                              std::span<const RecordingTime> emptyRows = {});

/// The same with what a sports watch adds: the channels for power, speed, altitude and distance where the
/// recording has them, the sensor, timer events, and a session that sums up. `sport` and `subSport` are
/// numbers of the protocol's profile.
struct FitSport {
    std::uint8_t sport = 0;
    std::uint8_t subSport = 0;
};
[[nodiscard]] std::vector<std::byte> writeWorkoutFit(const recording::Recording& recording, FitSport sport,
                                                     std::span<const RecordingTime> emptyRows = {});

/// One track, its points in laps where the recording has laps; times in UTC with milliseconds. Points without
/// heart rate have no such element.
[[nodiscard]] std::string writeTcx(const recording::Recording& recording,
                                   std::span<const RecordingTime> emptyRows = {});

/// One segment; heart rate and cadence in the extension of track points, with a namespace prefix. Positions
/// lie where nobody walks, as far from each other as the distances say.
[[nodiscard]] std::string writeGpx(const recording::Recording& recording,
                                   std::span<const RecordingTime> emptyRows = {});

/// What a text of beats says besides the intervals.
enum class RrLayout {
    Bare,        ///< a comment with the start, then one interval in ms a line
    TimesBeside  ///< time,rr: the closing beat's instant in UTC beside each interval
};

/// The beat intervals; closing beats are at the times of that channel. Requires: a channel of beat intervals.
[[nodiscard]] std::string writeRr(const recording::Recording& recording, RrLayout layout);

/// A strap's export in sections: a heart rate each second from the first row on, 0 where there is none.
/// Requires: rows at whole seconds.
[[nodiscard]] std::string writeSections(const recording::Recording& recording,
                                        std::span<const RecordingTime> emptyRows = {});
/// The same with beat intervals. Requires: a channel of them.
[[nodiscard]] std::string writeIntervalSections(const recording::Recording& recording);

enum class JsonLayout {
    Objects,     ///< {"device": …, "samples": [{"time": "…", "heart_rate": …}, …]}
    Lines,       ///< {"timestamp_ms": …, "hr": …} a line
    Pairs,       ///< {"device": …, "heart_rate": [[1930286520, 72], …]}
    SideBySide,  ///< {"device": …, "time": […], "hr": […], "cadence": […]}
};

/// Heart rate, and cadence where the layout has room for it. A value that a row lacks is null.
[[nodiscard]] std::string writeJson(const recording::Recording& recording, JsonLayout layout,
                                    std::span<const RecordingTime> emptyRows = {});

}  // namespace beatwitness::tests
