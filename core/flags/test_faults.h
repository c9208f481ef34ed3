#pragma once

#include <span>
#include <vector>

#include "core/flags/flag.h"
#include "core/flags/flag_settings.h"
#include "core/trace/pairs.h"
#include "core/trace/session_trace.h"

namespace beatwitness::flags {

/// What a test device is judged by.
struct TestEvidence {
    const trace::SessionTrace& reference;
    const trace::SecondlyRates& referenceSeconds;
    const trace::SessionTrace& test;
    std::span<const trace::SessionSpan> excluded;  ///< reference faults: nothing is judged there
    std::span<const trace::SessionSpan> pauses;    ///< of the test, as its file declares
    /// Steps or strokes a minute at whole seconds, as recorded; empty without a channel.
    const trace::SecondlyRates& cadence;
};

/// Every fault of a test device against the reference, under the clock that the evidence stands in.
///
/// Road: dropouts (of the samples), jumps, states over the session (decode_states.h), then missed rise, lag
/// and damped for the episodes in which the device follows nothing, then what is adrift. Flags are in the
/// order of time, those of one kind do not overlap and are more than `join_s` apart; where kinds meet,
/// precedence decides. Mean errors are not filled in. Linear in seconds, but for the lags that an episode is
/// tried with.
[[nodiscard]] std::vector<Flag> testFaults(const TestEvidence& evidence,
                                           const trace::PairingSettings& pairing, const Settings& settings);

}  // namespace beatwitness::flags
