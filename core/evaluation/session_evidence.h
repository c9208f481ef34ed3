#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/agreement/session_sums.h"
#include "core/analysis/session_analysis.h"
#include "core/foundation/result.h"
#include "core/library/library.h"

namespace beatwitness::evaluation {

enum class Clock { Aligned, AsRecorded };

/// As the batch contract writes it: `aligned`, `as_recorded`.
[[nodiscard]] std::string_view clockName(Clock clock);

/// Heart-rate ranges go by the reference, 20 bpm wide, lower edge inclusive.
inline constexpr int rangeWidth_bpm = 20;

/// What one device's wearing in one session says under one clock.
struct ClockEvidence {
    agreement::SessionSums sums;
    std::vector<std::pair<int, agreement::SessionSums>>
        byRange;                  ///< lower edge in bpm, ascending; only ranges with pairs
    double ownSpanSeconds = 0;    ///< reference seconds between the test's first and last sample
    double lateStartSeconds = 0;  ///< reference seconds before its first sample
    double earlyStopSeconds = 0;  ///< reference seconds after its last
};

/// One wearing of a test device, scored against the session's first reference.
struct SessionEvidence {
    std::int64_t session = 0;
    std::string sessionName, activity, wearer, device, firmware;
    bool refused = false;  ///< alignment was refused: both clocks are as recorded
    double excludedReferenceSeconds = 0;
    ClockEvidence aligned, asRecorded;

    [[nodiscard]] const ClockEvidence& under(Clock clock) const {
        return clock == Clock::Aligned ? aligned : asRecorded;
    }
};

/// Evidence of every test wearing of `row` with a recording; of `devices` only, where any are named.
///
/// A session without a recorded reference, and a wearing without heart rate, give none.
/// Faults: those of reading the library and of analyseSession() but NoHeartRate.
[[nodiscard]] Result<std::vector<SessionEvidence>> evidenceOf(library::Library& library,
                                                              const library::SessionRow& row,
                                                              const std::vector<std::string>& devices,
                                                              const analysis::Request& request,
                                                              const RunControl& run);

}  // namespace beatwitness::evaluation
