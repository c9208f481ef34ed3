#include "core/library/wearing_recording.h"

#include <algorithm>
#include <cassert>
#include <iterator>
#include <span>
#include <utility>

namespace beatwitness::library {
namespace {

using recording::Channel;
using recording::Recording;

Channel cut(const Channel& channel, const Span<RecordingClock>& span) {
    Channel kept{channel.kind, {}, {}};
    for (std::size_t i = 0; i < channel.times.size(); ++i) {
        if (channel.times[i] < span.begin || channel.times[i] > span.end) continue;
        kept.times.push_back(channel.times[i]);
        kept.values.push_back(channel.values[i]);
    }
    return kept;
}

/// False where nothing of `stretch` lies within `span`.
bool clip(Span<RecordingClock>& stretch, const Span<RecordingClock>& span) {
    if (stretch.end < span.begin || stretch.begin > span.end) return false;
    stretch = {std::max(stretch.begin, span.begin), std::min(stretch.end, span.end)};
    return true;
}

void cut(Recording& recording, const Span<RecordingClock>& span) {
    recording.rows = 0;
    for (auto& channel : recording.channels) {
        channel = cut(channel, span);
        recording.rows = std::max(recording.rows, channel.times.size());
    }
    std::erase_if(recording.channels, [](const Channel& channel) { return channel.times.empty(); });
    std::erase_if(recording.laps, [&](auto& lap) { return !clip(lap.span, span); });
    std::erase_if(recording.pauses, [&](auto& pause) { return !clip(pause, span); });
}

template <class Value>
void appendAll(std::vector<Value>& values, std::vector<Value>& more) {
    values.insert(values.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

void append(Recording& all, Recording next) {
    for (auto& channel : next.channels) {
        const auto same = std::ranges::find(all.channels, channel.kind, &Channel::kind);
        if (same == all.channels.end()) {
            all.channels.push_back(std::move(channel));
            continue;
        }
        appendAll(same->times, channel.times);
        appendAll(same->values, channel.values);
    }
    all.rows += next.rows;
    if (next.clock == recording::ClockBasis::ZoneUnknown) all.clock = next.clock;
    appendAll(all.laps, next.laps);
    appendAll(all.pauses, next.pauses);
    appendAll(all.guessed, next.guessed);
    appendAll(all.warnings, next.warnings);
}

}  // namespace

recording::RecordingFile drawnTogether(std::vector<DrawnRecording> drawn) {
    assert(!drawn.empty());
    for (auto& part : drawn)
        if (part.span) cut(part.file.recording, *part.span);
    recording::RecordingFile all = std::move(drawn.front().file);
    for (auto& part : std::span{drawn}.subspan(1)) {
        all.file += " + " + part.file.file;
        all.sha256 += " + " + part.file.sha256;
        append(all.recording, std::move(part.file.recording));
    }
    return all;
}

}  // namespace beatwitness::library
