#include "tests/support/recording_writer_rows.h"

#include <fmt/format.h>

#include <chrono>

namespace beatwitness::tests {

std::int64_t nearestMillisecond(RecordingTime time) {
    const auto micros = time.time_since_epoch().count();
    return (micros >= 0 ? micros + 500 : micros - 499) / 1000;
}

WrittenRows writtenRows(const recording::Recording& recording, std::span<const RecordingTime> emptyRows) {
    WrittenRows rows;
    for (const auto time : emptyRows)
        rows[nearestMillisecond(time)];
    for (const auto& channel : recording.channels) {
        for (std::size_t i = 0; i < channel.times.size(); ++i) {
            auto& row = rows[nearestMillisecond(channel.times[i])];
            if (channel.kind == recording::ChannelKind::HeartRate) row.rate_bpm = channel.values[i];
            if (channel.kind == recording::ChannelKind::Cadence) row.cadence_per_min = channel.values[i];
        }
    }
    return rows;
}

DateText dateText(std::int64_t time_ms) {
    using namespace std::chrono;
    const sys_time<milliseconds> time{milliseconds{time_ms}};
    const auto day = floor<days>(time);
    const year_month_day date{day};
    const auto ofDay_ms = (time - day).count();
    return {fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                        static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day())),
            fmt::format("{:02}:{:02}:{:02}.{:03}", ofDay_ms / 3600000, ofDay_ms / 60000 % 60,
                        ofDay_ms / 1000 % 60, ofDay_ms % 1000)};
}

}  // namespace beatwitness::tests
