#include "core/recording/xml_names.h"

#include <algorithm>
#include <array>

namespace beatwitness::recording::xml {
namespace {

struct Measure {
    std::string_view name;
    ChannelKind kind;
};

/// In the order of their lengths.
constexpr std::array<Measure, 19> measures{{{"hr", ChannelKind::HeartRate},
                                            {"bpm", ChannelKind::HeartRate},
                                            {"cad", ChannelKind::Cadence},
                                            {"ele", ChannelKind::Altitude},
                                            {"hrbpm", ChannelKind::HeartRate},
                                            {"power", ChannelKind::Power},
                                            {"pulse", ChannelKind::HeartRate},
                                            {"speed", ChannelKind::Speed},
                                            {"watts", ChannelKind::Power},
                                            {"cadence", ChannelKind::Cadence},
                                            {"altitude", ChannelKind::Altitude},
                                            {"distance", ChannelKind::Distance},
                                            {"elevation", ChannelKind::Altitude},
                                            {"heartrate", ChannelKind::HeartRate},
                                            {"runcadence", ChannelKind::Cadence},
                                            {"heartratebpm", ChannelKind::HeartRate},
                                            {"powerinwatts", ChannelKind::Power},
                                            {"altitudemeters", ChannelKind::Altitude},
                                            {"distancemeters", ChannelKind::Distance}}};

constexpr std::size_t longestMeasure = 14;

/// Where in `measures` the names of each length begin; a point holds more elements that are no measure.
constexpr auto beginOfLength = [] {
    std::array<std::size_t, longestMeasure + 2> begin{};
    for (std::size_t length = 0; length < begin.size(); ++length)
        while (begin[length] < measures.size() && measures[begin[length]].name.size() < length)
            ++begin[length];
    return begin;
}();

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
    for (std::size_t i = beginOfLength[size]; i < beginOfLength[size + 1]; ++i)
        if (measures[i].name == name) return measures[i].kind;
    return std::nullopt;
}

bool isTakenWhole(std::string_view localName) {
    static constexpr std::array<std::string_view, 9> whole{
        "trkpt", "Trackpoint", "TotalTimeSeconds", "Creator", "Notes", "metadata", "wpt", "rtept", "type"};
    return std::ranges::find(whole, localName) != whole.end();
}

}  // namespace beatwitness::recording::xml
