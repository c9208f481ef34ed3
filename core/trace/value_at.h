#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

#include "core/trace/session_trace.h"

namespace beatwitness::trace {

/// Value of a trace at one instant by the rule of atWholeSeconds(): linear between joined samples, a sample's
/// own value at its own instant (within 1e-6 s), elsewhere none. O(log samples).
[[nodiscard]] inline std::optional<Bpm> valueAt(const SessionTrace& trace, SessionTime time) {
    const double t = secondsOf(time);
    const auto after = std::ranges::lower_bound(trace.seconds, t - instantTolerance_s);
    if (after == trace.seconds.end()) return std::nullopt;
    const auto i = static_cast<std::size_t>(after - trace.seconds.begin());
    if (std::abs(trace.seconds[i] - t) <= instantTolerance_s) return trace.rates[i];
    if (i == 0 || !trace.joined[i]) return std::nullopt;
    const double share = (t - trace.seconds[i - 1]) / (trace.seconds[i] - trace.seconds[i - 1]);
    return trace.rates[i - 1] + BpmDelta{(trace.rates[i] - trace.rates[i - 1]).value * share};
}

}  // namespace beatwitness::trace
