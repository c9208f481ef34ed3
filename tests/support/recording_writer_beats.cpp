#include <fmt/format.h>

#include <cmath>

#include "tests/support/recording_writer.h"
#include "tests/support/recording_writer_rows.h"

namespace beatwitness::tests {

namespace {

const recording::Channel& intervalsOf(const recording::Recording& recording) {
    return *recording.channel(recording::ChannelKind::BeatInterval);
}

long wholeMilliseconds(double interval_ms) {
    return std::lround(interval_ms);
}

/// When the first interval opened.
std::int64_t firstBeat_ms(const recording::Channel& intervals) {
    return nearestMillisecond(intervals.times.front()) - wholeMilliseconds(intervals.values.front());
}

std::string sectionHead(const std::string& device, std::int64_t start_ms, std::int64_t length_ms,
                        int interval) {
    const auto start = dateText(start_ms);
    std::string day = start.date;
    std::erase(day, '-');
    return fmt::format(
        "[Params]\nVersion=106\nMonitor={}\nSMode=00000000\nDate={}\nStartTime={}\nLength={}\nInterval={}"
        "\n\n",
        device, day, start.time.substr(0, 10), dateText(length_ms).time.substr(0, 10), interval);
}

}  // namespace

std::string writeRr(const recording::Recording& recording, RrLayout layout) {
    const auto& intervals = intervalsOf(recording);
    const bool bare = layout == RrLayout::Bare;
    std::string text = bare ? fmt::format("# device: {}\n# start: {}\n", recording.device,
                                          instantText(firstBeat_ms(intervals)))
                            : "time,rr\n";
    for (std::size_t i = 0; i < intervals.times.size(); ++i) {
        if (!bare) text += instantText(nearestMillisecond(intervals.times[i])) + ",";
        text += fmt::format("{}\n", wholeMilliseconds(intervals.values[i]));
    }
    return text;
}

std::string writeSections(const recording::Recording& recording, std::span<const RecordingTime> emptyRows) {
    const auto rows = writtenRows(recording, emptyRows);
    const auto first_ms = rows.begin()->first, last_ms = rows.rbegin()->first;
    auto text = sectionHead(recording.device, first_ms, last_ms - first_ms, 1) + "[HRData]\n";
    for (auto time_ms = first_ms; time_ms <= last_ms; time_ms += 1000) {
        const auto row = rows.find(time_ms);
        const auto rate = row == rows.end() ? std::nullopt : row->second.rate_bpm;
        text += fmt::format("{}\n", rate ? std::lround(*rate) : 0);
    }
    return text;
}

std::string writeIntervalSections(const recording::Recording& recording) {
    const auto& intervals = intervalsOf(recording);
    const auto first_ms = firstBeat_ms(intervals);
    auto text =
        sectionHead(recording.device, first_ms, nearestMillisecond(intervals.times.back()) - first_ms, 238) +
        "[HRData]\n";
    for (const double interval_ms : intervals.values)
        text += fmt::format("{}\n", wholeMilliseconds(interval_ms));
    return text;
}

}  // namespace beatwitness::tests
