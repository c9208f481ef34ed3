#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/agreement/paired_seconds.h"
#include "core/analysis/session_analysis.h"

namespace beatwitness::analysis {

/// Raised whenever an analysis of the same recordings under the same settings gives other numbers: what was
/// kept of an earlier analysis is then worked out anew.
inline constexpr int analysisVersion = 3;

/// Sums of one wearing under one clock.
struct ClockSummary {
    agreement::SessionSums sums;
    agreement::SpanSeconds spans;
    double independent = 0.0;  ///< independent readings that the errors are worth
};

/// What an analysis found out about one wearing: with it the recordings pair again, to the last digit,
/// without anything being estimated.
struct WearingOutcome {
    bool hasHeartRate = false;  ///< false: it, or its reference, cannot be scored; all below is void
    bool refused = false;       ///< alignment was refused: both clocks are as recorded
    std::string refusedBecause;
    Micros laid{0};
    Seconds offset{0.0};
    Ppm drift{0.0};
    std::vector<flags::Flag> flags;  ///< kind, on, span, excluded
    double excludedSeconds = 0.0;    ///< reference seconds under an excluding flag
    ClockSummary aligned, asRecorded;
    int flagsByHand = 0;                  ///< flags on the test that decisions changed
    int referenceFlagsByHand = 0;         ///< the same of the session's reference
    int unmatchedDecisions = 0;           ///< that no flag answers any more, of both
    std::optional<double> reviewerKappa;  ///< of the last two passes, where there were two
};

/// The reference of a session at whole seconds.
struct ReferenceSeconds {
    ReferenceTime t0;
    trace::SecondlyRates rates;
};
/// Nothing where it holds no valid heart rate.
[[nodiscard]] std::optional<ReferenceSeconds> referenceSecondsOf(const recording::RecordingFile& reference,
                                                                 const Settings& settings = {});

struct WearingPairs {
    agreement::PairedSeconds aligned, asRecorded;
    std::vector<std::int32_t> excluded;  ///< seconds with a reference value under an excluding flag
};

/// The pairs that the analysis behind `outcome` scored. Requires: outcome.hasHeartRate, and the recordings it
/// was made of.
[[nodiscard]] WearingPairs pairsUnder(const WearingOutcome& outcome, const ReferenceSeconds& reference,
                                      const recording::RecordingFile& test, const Settings& settings = {});

[[nodiscard]] ClockSummary summaryOf(const agreement::PairedSeconds& seconds);

/// Outcome of one test of an analysed session.
[[nodiscard]] WearingOutcome outcomeOf(const SessionAnalysis& session, const TestAnalysis& test);

}  // namespace beatwitness::analysis
