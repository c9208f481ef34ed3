#pragma once

#include <cmath>
#include <string>

#include "core/foundation/result.h"
#include "core/recording/recording.h"

namespace beatwitness::tests {

/// What a reader returned although recording.h says that it never does; empty where all is well.
inline std::string unsoundness(const Result<recording::Recording>& recording) {
    if (!recording) return recording.fault().message.empty() ? "a fault without a message" : "";
    for (const auto& channel : recording->channels) {
        if (channel.values.empty()) return "an empty channel";
        if (channel.times.size() != channel.values.size()) return "times and values of different length";
        for (const double value : channel.values)
            if (!std::isfinite(value)) return "a value that is not finite";
    }
    for (const auto& lap : recording->laps)
        if (lap.span.end < lap.span.begin) return "a lap that ends before it begins";
    for (const auto& pause : recording->pauses)
        if (pause.end < pause.begin) return "a pause that ends before it begins";
    return "";
}

}  // namespace beatwitness::tests
