#include <algorithm>
#include <cmath>
#include <functional>

#include "tests/support/fit_writer.h"
#include "tests/support/recording_writer.h"
#include "tests/support/recording_writer_rows.h"

namespace beatwitness::tests {

namespace {

constexpr std::uint8_t fileIdType = 0, recordType = 1, lapType = 2, eventType = 3, deviceType = 4,
                       sessionType = 5, activityType = 6;
constexpr std::uint8_t nameSize = 24;

std::uint32_t fitTime(std::int64_t time_ms) {
    return static_cast<std::uint32_t>(time_ms / 1000 - fitWriterEpoch_s);
}

std::uint8_t byteOf(const std::optional<double>& value) {
    return value ? static_cast<std::uint8_t>(std::lround(*value)) : std::uint8_t{0xFF};
}

void writeLaps(FitWriter& writer, const std::vector<recording::Lap>& laps) {
    if (laps.empty()) return;
    writer.define(lapType, 19,
                  {{253, 4, fit_base::uint32}, {2, 4, fit_base::uint32}, {7, 4, fit_base::uint32}});
    for (const auto& lap : laps) {
        const auto begin_ms = nearestMillisecond(lap.span.begin), end_ms = nearestMillisecond(lap.span.end);
        writer.data(lapType, {u32(fitTime(end_ms)), u32(fitTime(begin_ms)),
                              u32(static_cast<std::uint32_t>(end_ms - begin_ms))});
    }
}

/// A field of a record beyond the time, and what a row puts into it.
struct RecordField {
    FitWriterField field;
    recording::ChannelKind kind;
    std::function<FitValue(const WrittenRow&)> value;
};

FitValue scaled16(const std::optional<double>& value, double scale, double offset = 0.0) {
    return u16(value ? static_cast<std::uint16_t>(std::lround((*value + offset) * scale))
                     : std::uint16_t{0xFFFF});
}

FitValue centimetres(const std::optional<double>& metres) {
    return u32(metres ? static_cast<std::uint32_t>(std::llround(*metres * 100.0)) : 0xFFFFFFFFU);
}

/// Those that the recording has a channel for.
std::vector<RecordField> recordFields(const recording::Recording& recording) {
    using recording::ChannelKind;
    std::vector<RecordField> fields{
        {{3, 1, fit_base::uint8}, ChannelKind::HeartRate, [](auto& row) { return u8(byteOf(row.rate_bpm)); }},
        {{4, 1, fit_base::uint8},
         ChannelKind::Cadence,
         [](auto& row) { return u8(byteOf(row.cadence_per_min)); }},
        {{7, 2, fit_base::uint16}, ChannelKind::Power, [](auto& row) { return scaled16(row.power_w, 1); }},
        {{6, 2, fit_base::uint16},
         ChannelKind::Speed,
         [](auto& row) { return scaled16(row.speed_m_per_s, 1000); }},
        {{2, 2, fit_base::uint16},
         ChannelKind::Altitude,
         [](auto& row) { return scaled16(row.altitude_m, 5, 500); }},
        {{5, 4, fit_base::uint32}, ChannelKind::Distance, [](auto& row) {
             return centimetres(row.distance_m);
         }}};
    std::erase_if(fields, [&](const RecordField& field) { return !recording.channel(field.kind); });
    return fields;
}

void writeRecords(FitWriter& writer, const recording::Recording& recording, const WrittenRows& rows) {
    const auto fields = recordFields(recording);
    std::vector<FitWriterField> definition{{253, 4, fit_base::uint32}};
    for (const auto& field : fields)
        definition.push_back(field.field);
    writer.define(recordType, 20, definition);
    for (const auto& [time_ms, row] : rows) {
        std::vector<FitValue> values{u32(fitTime(time_ms))};
        for (const auto& field : fields)
            values.push_back(field.value(row));
        writer.data(recordType, values);
    }
}

/// Which device, of a maker number that the protocol leaves to everybody, and since when.
void writeIdentity(FitWriter& writer, const std::string& device, std::uint32_t start) {
    constexpr std::uint16_t development = 255;
    const auto name = fitText(device.substr(0, nameSize - 1), nameSize);
    writer.define(fileIdType, 0,
                  {{0, 1, fit_base::enumeration},
                   {1, 2, fit_base::uint16},
                   {4, 4, fit_base::uint32},
                   {8, nameSize, fit_base::string}});
    writer.data(fileIdType, {u8(4), u16(development), u32(start), name});
    writer.define(deviceType, 23,
                  {{253, 4, fit_base::uint32},
                   {0, 1, fit_base::uint8},
                   {2, 2, fit_base::uint16},
                   {27, nameSize, fit_base::string}});
    writer.data(deviceType, {u32(start), u8(0), u16(development), name});
}

/// The timer's start (0) or stop (4).
void writeTimer(FitWriter& writer, std::uint32_t time, std::uint8_t type) {
    writer.define(eventType, 21,
                  {{253, 4, fit_base::uint32}, {0, 1, fit_base::enumeration}, {1, 1, fit_base::enumeration}});
    writer.data(eventType, {u32(time), u8(0), u8(type)});
}

void writeSummary(FitWriter& writer, const WrittenRows& rows, FitSport sport) {
    double sum_bpm = 0.0, most_bpm = 0.0;
    std::size_t rates = 0;
    for (const auto& [time_ms, row] : rows) {
        if (!row.rate_bpm) continue;
        sum_bpm += *row.rate_bpm;
        most_bpm = std::max(most_bpm, *row.rate_bpm);
        ++rates;
    }
    const auto first_ms = rows.begin()->first, last_ms = rows.rbegin()->first;
    const auto elapsed = u32(static_cast<std::uint32_t>(last_ms - first_ms));
    const auto mean = std::optional{sum_bpm / static_cast<double>(std::max<std::size_t>(rates, 1))};
    writer.define(sessionType, 18,
                  {{253, 4, fit_base::uint32},
                   {2, 4, fit_base::uint32},
                   {7, 4, fit_base::uint32},
                   {5, 1, fit_base::enumeration},
                   {6, 1, fit_base::enumeration},
                   {16, 1, fit_base::uint8},
                   {17, 1, fit_base::uint8}});
    writer.data(sessionType, {u32(fitTime(last_ms)), u32(fitTime(first_ms)), elapsed, u8(sport.sport),
                              u8(sport.subSport), u8(byteOf(mean)), u8(byteOf(most_bpm))});
    writer.define(activityType, 34,
                  {{253, 4, fit_base::uint32}, {0, 4, fit_base::uint32}, {1, 2, fit_base::uint16}});
    writer.data(activityType, {u32(fitTime(last_ms)), elapsed, u16(1)});
}

}  // namespace

std::vector<std::byte> writeWorkoutFit(const recording::Recording& recording, FitSport sport,
                                       std::span<const RecordingTime> emptyRows) {
    const auto rows = writtenRows(recording, emptyRows);
    FitWriter writer;
    writeIdentity(writer, recording.device, fitTime(rows.begin()->first));
    writeTimer(writer, fitTime(rows.begin()->first), 0);
    writeRecords(writer, recording, rows);
    writeTimer(writer, fitTime(rows.rbegin()->first), 4);
    writeLaps(writer, recording.laps);
    writeSummary(writer, rows, sport);
    return writer.bytes();
}

std::vector<std::byte> writeFit(const recording::Recording& recording,
                                std::span<const RecordingTime> emptyRows) {
    FitWriter writer;
    writer.define(fileIdType, 0, {{0, 1, fit_base::enumeration}, {8, nameSize, fit_base::string}});
    writer.data(fileIdType, {u8(4), fitText(recording.device.substr(0, nameSize - 1), nameSize)});
    writer.define(recordType, 20,
                  {{253, 4, fit_base::uint32}, {3, 1, fit_base::uint8}, {4, 1, fit_base::uint8}});
    for (const auto& [time_ms, row] : writtenRows(recording, emptyRows))
        writer.data(recordType,
                    {u32(fitTime(time_ms)), u8(byteOf(row.rate_bpm)), u8(byteOf(row.cadence_per_min))});
    writeLaps(writer, recording.laps);
    return writer.bytes();
}

}  // namespace beatwitness::tests
