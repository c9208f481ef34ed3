#pragma once

#include <algorithm>
#include <cmath>

#include "core/foundation/result.h"
#include "core/recording/recording.h"

namespace beatwitness::tests {

/// Stops the fuzzer where a reader returns what recording.h says it never does.
inline void trapUnlessSound(const Result<recording::Recording>& recording) {
    if (!recording) {
        if (recording.fault().message.empty()) __builtin_trap();
        return;
    }
    for (const auto& channel : recording->channels) {
        if (channel.values.empty() || channel.times.size() != channel.values.size()) __builtin_trap();
        if (!std::ranges::all_of(channel.values, [](double value) { return std::isfinite(value); }))
            __builtin_trap();
    }
    for (const auto& lap : recording->laps)
        if (lap.span.end < lap.span.begin) __builtin_trap();
    for (const auto& pause : recording->pauses)
        if (pause.end < pause.begin) __builtin_trap();
}

}  // namespace beatwitness::tests
