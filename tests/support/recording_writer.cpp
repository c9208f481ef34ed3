#include "tests/support/recording_writer.h"

#include <fmt/format.h>

#include <algorithm>

#include "tests/support/recording_writer_rows.h"

namespace beatwitness::tests {

namespace {

/// Shortest digits that give the number back.
std::string cell(const std::optional<double>& value, char decimalMark) {
    if (!value) return {};
    auto text = fmt::format("{}", *value);
    std::ranges::replace(text, '.', decimalMark);
    return text;
}

struct Layout {
    std::string timeHeader, rateHeader, cadenceHeader;
    char separator = ',';
    char decimalMark = '.';
};

Layout layoutOf(CsvDialect dialect) {
    switch (dialect) {
        case CsvDialect::IsoUtc:
            return {"timestamp", "heart_rate", "cadence"};
        case CsvDialect::IsoZone:
            return {"Time", "Heart Rate [bpm]", "Cadence [rpm]"};
        case CsvDialect::EpochSeconds:
            return {"timestamp", "hr", "cadence"};
        case CsvDialect::EpochMilliseconds:
            return {"timestamp_ms", "bpm", "cadence"};
        case CsvDialect::ElapsedSeconds:
            return {"secs", "hr", "cadence"};
        case CsvDialect::SemicolonDecimalComma:
            return {"time", "heart rate (bpm)", "cadence", ';', ','};
        case CsvDialect::DateAndTime:
            return {"date,time", "heart_rate", "cadence"};
        case CsvDialect::TabEpoch:
            return {"time\tdur", "hr", "cad", '\t'};
    }
    return {};
}

std::string timeCell(CsvDialect dialect, std::int64_t time_ms, std::int64_t first_ms) {
    constexpr std::int64_t zone_ms = 2 * 3600000;
    const auto text = dateText(dialect == CsvDialect::IsoZone ? time_ms + zone_ms : time_ms);
    switch (dialect) {
        case CsvDialect::IsoUtc:
            return instantText(time_ms);
        case CsvDialect::IsoZone:
            return text.date + "T" + text.time + "+02:00";
        case CsvDialect::EpochSeconds:
            return secondsText(time_ms);
        case CsvDialect::EpochMilliseconds:
            return fmt::format("{}", time_ms);
        case CsvDialect::ElapsedSeconds:
            return secondsText(time_ms - first_ms);
        case CsvDialect::SemicolonDecimalComma:
            return text.date + " " + text.time.substr(0, 8) + "," + text.time.substr(9);
        case CsvDialect::DateAndTime:
            return text.date + "," + text.time;
        case CsvDialect::TabEpoch:
            return secondsText(time_ms) + "\t1.0";
    }
    return {};
}

}  // namespace

std::string writeCsv(const recording::Recording& recording, CsvDialect dialect,
                     std::span<const RecordingTime> emptyRows) {
    const auto rows = writtenRows(recording, emptyRows);
    const auto layout = layoutOf(dialect);
    const bool hasCadence = recording.channel(recording::ChannelKind::Cadence) != nullptr;
    std::string text = layout.timeHeader + layout.separator + layout.rateHeader;
    if (hasCadence) text += layout.separator + layout.cadenceHeader;
    text += '\n';
    for (const auto& [time_ms, row] : rows) {
        text += timeCell(dialect, time_ms, rows.begin()->first) + layout.separator;
        text += cell(row.rate_bpm, layout.decimalMark);
        if (hasCadence) text += layout.separator + cell(row.cadence_per_min, layout.decimalMark);
        text += '\n';
    }
    return text;
}

}  // namespace beatwitness::tests
