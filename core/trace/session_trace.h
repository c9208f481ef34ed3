#pragma once

#include <cstdint>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/foundation/units.h"
#include "core/trace/trace.h"

namespace beatwitness::trace {

/// How samples become values between them.
struct PairingSettings {
    /// Two neighbouring samples at most this far apart (inclusive, on the trace's own clock) are joined by a
    /// line. Source: the batch contract.
    Seconds maxGap{10.0};
};

/// Slack for "at a sample's own instant" and "at most max_gap apart", in seconds. Source: the batch contract.
inline constexpr double instantTolerance_s = 1e-6;

/// A trace in session time, ready to be paired or drawn.
///
/// Invariants: the three have one length; seconds strictly ascending (a correction never turns time round).
struct SessionTrace {
    std::vector<double> seconds;  ///< session time of each sample
    std::vector<Bpm> rates;
    std::vector<std::uint8_t> joined;  ///< 1 where the sample is joined to the one before it; [0] is 0

    [[nodiscard]] bool empty() const { return seconds.empty(); }
};

/// Gaps are judged on the trace's own clock, before any correction stretches it.
template <class Clock>
[[nodiscard]] std::vector<std::uint8_t> joinedSamples(const Trace<Clock>& trace,
                                                      const PairingSettings& settings) {
    std::vector<std::uint8_t> joined(trace.times.size(), 0);
    const Micros longest = toMicros(settings.maxGap) + Micros{1};
    for (std::size_t i = 1; i < joined.size(); ++i)
        joined[i] = trace.times[i] - trace.times[i - 1] <= longest;
    return joined;
}

/// The reference in session time: seconds since `t0` on its own clock.
[[nodiscard]] SessionTrace onSessionClock(const Trace<ReferenceClock>& reference, ReferenceTime t0,
                                          const PairingSettings& settings);

/// Values at whole seconds of session time, only where there are any.
///
/// Invariants: seconds strictly ascending; one rate each.
struct SecondlyRates {
    std::vector<std::int64_t> seconds;
    std::vector<Bpm> rates;
};

/// Linear between joined samples; at a sample's own instant (within 1e-6 s) that sample's value; elsewhere
/// none.
///
/// O(samples + seconds), memory at most max_gap values a sample. Source: pairing rules of the batch contract.
[[nodiscard]] SecondlyRates atWholeSeconds(const SessionTrace& trace);

}  // namespace beatwitness::trace
