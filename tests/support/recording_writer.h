#pragma once

#include <cstddef>
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

/// One track, its points in laps where the recording has laps; times in UTC with milliseconds. Points without
/// heart rate have no such element.
[[nodiscard]] std::string writeTcx(const recording::Recording& recording,
                                   std::span<const RecordingTime> emptyRows = {});

/// One segment; heart rate and cadence in the extension of track points, with a namespace prefix.
[[nodiscard]] std::string writeGpx(const recording::Recording& recording,
                                   std::span<const RecordingTime> emptyRows = {});

}  // namespace beatwitness::tests
