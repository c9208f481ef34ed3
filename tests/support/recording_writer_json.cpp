#include <fmt/format.h>

#include "tests/support/recording_writer.h"
#include "tests/support/recording_writer_rows.h"

namespace beatwitness::tests {

namespace {

std::string numberOrNull(const std::optional<double>& value) {
    return value ? fmt::format("{}", *value) : "null";
}

std::string instant(std::int64_t time_ms) {
    return "\"" + instantText(time_ms) + "\"";
}

/// One item a row, between commas and line ends.
template <class Item>
std::string listed(const WrittenRows& rows, Item item) {
    std::string text;
    for (const auto& [time_ms, row] : rows)
        text += (text.empty() ? "" : ",\n") + item(time_ms, row);
    return text;
}

std::string sideBySide(const recording::Recording& recording, const WrittenRows& rows) {
    std::string text = "{\"device\": \"" + recording.device + "\",\n\"time\": [" +
                       listed(rows, [](auto time_ms, const auto&) { return instant(time_ms); }) +
                       "],\n\"hr\": [" +
                       listed(rows, [](auto, const auto& row) { return numberOrNull(row.rate_bpm); }) + "]";
    if (recording.channel(recording::ChannelKind::Cadence))
        text += ",\n\"cadence\": [" +
                listed(rows, [](auto, const auto& row) { return numberOrNull(row.cadence_per_min); }) + "]";
    return text + "}\n";
}

std::string lines(const WrittenRows& rows) {
    std::string text;
    for (const auto& [time_ms, row] : rows)
        text += fmt::format("{{\"timestamp_ms\": {}, \"hr\": {}}}\n", time_ms, numberOrNull(row.rate_bpm));
    return text;
}

}  // namespace

std::string writeJson(const recording::Recording& recording, JsonLayout layout,
                      std::span<const RecordingTime> emptyRows) {
    const auto rows = writtenRows(recording, emptyRows);
    const std::string head = "{\"device\": \"" + recording.device + "\",\n";
    switch (layout) {
        case JsonLayout::Objects:
            return head + "\"samples\": [\n" +
                   listed(rows,
                          [](auto time_ms, const auto& row) {
                              return "{\"time\": " + instant(time_ms) +
                                     ", \"heart_rate\": " + numberOrNull(row.rate_bpm) + "}";
                          }) +
                   "]}\n";
        case JsonLayout::Lines:
            return lines(rows);
        case JsonLayout::Pairs:
            return head + "\"heart_rate\": [\n" +
                   listed(rows,
                          [](auto time_ms, const auto& row) {
                              return "[" + secondsText(time_ms) + ", " + numberOrNull(row.rate_bpm) + "]";
                          }) +
                   "]}\n";
        case JsonLayout::SideBySide:
            break;
    }
    return sideBySide(recording, rows);
}

}  // namespace beatwitness::tests
