#include <cmath>

#include "tests/support/fit_writer.h"
#include "tests/support/recording_writer.h"
#include "tests/support/recording_writer_rows.h"

namespace beatwitness::tests {

namespace {

constexpr std::uint8_t fileIdType = 0, recordType = 1, lapType = 2;
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

}  // namespace

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
