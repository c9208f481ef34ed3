#pragma once

#include <optional>
#include <string_view>

#include "core/recording/recording.h"

namespace beatwitness::recording::xml {

/// "hr" of "tp:hr". XML elements are matched by local name, whatever the namespace or prefix.
[[nodiscard]] constexpr std::string_view localName(std::string_view name) {
    const std::size_t colon = name.rfind(':');
    return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

/// What the element of a track point holds, by its local name in any case, with or without underscores:
///
/// | heart rate | hr, heartrate, HeartRateBpm, bpm, pulse     |
/// | cadence    | cad, cadence, RunCadence                    |
/// | power      | power, watts, PowerInWatts                  |
/// | speed      | speed                                       |
/// | altitude   | ele, elevation, altitude, AltitudeMeters    |
/// | distance   | distance, DistanceMeters                    |
[[nodiscard]] std::optional<ChannelKind> measureOf(std::string_view localName);

/// True for the elements that a reader takes in one piece: a track point, and small ones that name a device
/// or the length of a lap. All others are entered.
[[nodiscard]] bool isTakenWhole(std::string_view localName);

}  // namespace beatwitness::recording::xml
