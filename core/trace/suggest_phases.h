#pragma once

#include <vector>

#include "core/trace/phases.h"
#include "core/trace/session_trace.h"

namespace beatwitness::trace {

/// What makes a change of the reference a rise or a recovery.
struct PhaseSettings {
    Seconds window{31.0};        ///< the slope at a second is that of the line through this much of it
    double leastSlope = 0.1;     ///< bpm/s; after an effort of 60 bpm with a time constant of 40 s it falls
                                 ///< below when 93 % of the change is done
    BpmDelta leastChange{12.0};  ///< a smaller change is none: breathing and drift make 5 to 10 bpm
    Seconds leastLevel{20.0};    ///< a shorter level stretch belongs to the change before it
    double steadyAbove =
        0.4;  ///< share of the way from the 5th to the 95th percentile that parts rest from steady
};

/// Proposals from the reference alone: rises, recoveries, and what lies level between them: steady where it
/// lies high, rest where it lies low.
///
/// They touch, from the first second with a value to the last; a gap in the reference ends one and begins
/// another. Nothing is promised about what the wearer did: an effort too short for the heart to follow is not
/// seen. Linear time. Empty for a trace shorter than the window.
[[nodiscard]] std::vector<Phase> suggestedPhases(const SessionTrace& reference, ReferenceTime t0,
                                                 const PhaseSettings& settings = {});

}  // namespace beatwitness::trace
