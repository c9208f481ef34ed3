#include "core/recording/recording.h"

#include <algorithm>
#include <cassert>

namespace beatwitness::recording {

std::string_view formatName(Format format) {
    switch (format) {
        case Format::Fit:
            return "fit";
        case Format::Tcx:
            return "tcx";
        case Format::Gpx:
            return "gpx";
        case Format::Csv:
            return "csv";
        case Format::Json:
            return "json";
        case Format::Rr:
            return "rr";
        case Format::Hrm:
            return "hrm";
    }
    assert(false);
    return "csv";
}

std::string_view channelName(ChannelKind kind) {
    switch (kind) {
        case ChannelKind::HeartRate:
            return "heart_rate";
        case ChannelKind::BeatInterval:
            return "rr";
        case ChannelKind::Cadence:
            return "cadence";
        case ChannelKind::Power:
            return "power";
        case ChannelKind::Speed:
            return "speed";
        case ChannelKind::Altitude:
            return "altitude";
        case ChannelKind::Distance:
            return "distance";
    }
    assert(false);
    return "heart_rate";
}

const Channel* Recording::channel(ChannelKind kind) const {
    const auto found = std::ranges::find(channels, kind, &Channel::kind);
    return found == channels.end() ? nullptr : &*found;
}

}  // namespace beatwitness::recording
