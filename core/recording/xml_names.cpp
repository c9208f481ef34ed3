#include "core/recording/xml_names.h"

#include <algorithm>
#include <array>

namespace beatwitness::recording::xml {
namespace {

struct Measure {
    std::string_view name;
    ChannelKind kind;
};

constexpr std::array<Measure, 19> measures{{{"hr", ChannelKind::HeartRate},
                                            {"heartrate", ChannelKind::HeartRate},
                                            {"heartratebpm", ChannelKind::HeartRate},
                                            {"hrbpm", ChannelKind::HeartRate},
                                            {"bpm", ChannelKind::HeartRate},
                                            {"pulse", ChannelKind::HeartRate},
                                            {"cad", ChannelKind::Cadence},
                                            {"cadence", ChannelKind::Cadence},
                                            {"runcadence", ChannelKind::Cadence},
                                            {"power", ChannelKind::Power},
                                            {"watts", ChannelKind::Power},
                                            {"powerinwatts", ChannelKind::Power},
                                            {"speed", ChannelKind::Speed},
                                            {"ele", ChannelKind::Altitude},
                                            {"elevation", ChannelKind::Altitude},
                                            {"altitude", ChannelKind::Altitude},
                                            {"altitudemeters", ChannelKind::Altitude},
                                            {"distance", ChannelKind::Distance},
                                            {"distancemeters", ChannelKind::Distance}}};

constexpr std::size_t longestMeasure = 14;

constexpr char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

}  // namespace

std::optional<ChannelKind> measureOf(std::string_view localName) {
    char plain[longestMeasure];
    std::size_t size = 0;
    for (const char c : localName) {
        if (c == '_' || c == '-') continue;
        if (size == longestMeasure) return std::nullopt;
        plain[size++] = lower(c);
    }
    const std::string_view name{plain, size};
    for (const Measure& measure : measures)
        if (measure.name == name) return measure.kind;
    return std::nullopt;
}

bool isTakenWhole(std::string_view localName) {
    static constexpr std::array<std::string_view, 8> whole{
        "trkpt", "Trackpoint", "TotalTimeSeconds", "Creator", "Notes", "metadata", "wpt", "rtept"};
    return std::ranges::find(whole, localName) != whole.end();
}

}  // namespace beatwitness::recording::xml
