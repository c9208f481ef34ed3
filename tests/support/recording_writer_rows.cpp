#include "tests/support/recording_writer_rows.h"

#include <fmt/format.h>

#include <chrono>

namespace beatwitness::tests {

namespace {

/// Nothing for beat intervals, which are no measure of a row.
std::optional<double> WrittenRow::*cellOf(recording::ChannelKind kind) {
    switch (kind) {
        case recording::ChannelKind::HeartRate:
            return &WrittenRow::rate_bpm;
        case recording::ChannelKind::Cadence:
            return &WrittenRow::cadence_per_min;
        case recording::ChannelKind::Power:
            return &WrittenRow::power_w;
        case recording::ChannelKind::Speed:
            return &WrittenRow::speed_m_per_s;
        case recording::ChannelKind::Altitude:
            return &WrittenRow::altitude_m;
        case recording::ChannelKind::Distance:
            return &WrittenRow::distance_m;
        case recording::ChannelKind::BeatInterval:
            break;
    }
    return nullptr;
}

}  // namespace

std::int64_t nearestMillisecond(RecordingTime time) {
    const auto micros = time.time_since_epoch().count();
    return (micros >= 0 ? micros + 500 : micros - 499) / 1000;
}

WrittenRows writtenRows(const recording::Recording& recording, std::span<const RecordingTime> emptyRows) {
    WrittenRows rows;
    for (const auto time : emptyRows)
        rows[nearestMillisecond(time)];
    for (const auto& channel : recording.channels) {
        const auto cell = cellOf(channel.kind);
        if (!cell) continue;
        for (std::size_t i = 0; i < channel.times.size(); ++i)
            rows[nearestMillisecond(channel.times[i])].*cell = channel.values[i];
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

std::string instantText(std::int64_t time_ms) {
    const auto text = dateText(time_ms);
    return text.date + "T" + text.time + "Z";
}

std::string secondsText(std::int64_t time_ms) {
    return fmt::format("{}.{:03}", time_ms / 1000, time_ms % 1000);
}

}  // namespace beatwitness::tests
