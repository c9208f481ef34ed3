#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/alignment/clock_correction.h"
#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/trace/pairs.h"

namespace beatwitness::alignment {

enum class Method { Auto, Offset, None };

/// As the batch contract writes it: `auto`, `offset`, `none`.
[[nodiscard]] std::string_view methodName(Method method);

struct Interval {
    double lower = 0.0;
    double upper = 0.0;
};

/// Mean squared disagreement of the two traces about their mean difference, for one offset.
struct LossPoint {
    Seconds offset;
    double loss_bpm = 0.0;  ///< root of the mean square, bpm
};

/// How two clocks were brought together, or why they were not.
///
/// Invariants: `correction` has a value exactly when applied; intervals and confidence only for Method::Auto.
struct Alignment {
    Method method = Method::None;
    std::optional<ClockCorrection> correction;
    std::optional<Interval> offsetInterval_s;   ///< 95 %
    std::optional<Interval> driftInterval_ppm;  ///< 95 %
    std::optional<double> confidence;           ///< 0 to 1
    std::optional<std::string> refusedBecause;  ///< one sentence, where Auto refused
    std::vector<LossPoint> lossCurve;           ///< ascending offsets around the estimate (or the best found)

    [[nodiscard]] bool applied() const { return correction.has_value(); }
};

/// Thresholds of estimateAlignment(), each with unit, reason and source in settings_table.h of analysis.
struct Settings {
    Seconds smoothing{3.0};  ///< sigma of the Gaussian both traces are smoothed by (contract: the estimand)
    Seconds searchRadius{300.0};   ///< how far a clock is looked for around each hypothesis
    Seconds leastOverlap{300.0};   ///< less common time is refused
    BpmDelta leastRange{15.0};     ///< reference p95 - p5 below this is refused
    BpmDelta leastChange{15.0};    ///< a change that can be placed in time
    Seconds widestInterval{10.0};  ///< a wider 95 % interval is refused
    Seconds aliasDistance{10.0};   ///< a second minimum further away than this ...
    double aliasMargin = 0.05;     ///< ... within this share of the loss is refused
    Seconds bootstrapBlock{60.0};  ///< length of the resampled blocks
    int bootstrapReplicates = 200;
    Seconds driftFrom{7200.0};  ///< drift is fitted only to longer common time
};

/// Estimates the clock correction of `test` against `reference` (both after laying a file without a date).
///
/// `anyOffset`: a test (or reference) without a date or zone, so that whole and half hours (zone) or any
/// offset at all (no date) are as likely as none. `leftOut`: session spans on the reference clock whose
/// seconds must not be used (reference faults). Faults: Cancelled only; what cannot be estimated is a
/// refusal.
enum class ClockKnowledge { Dated, ZoneUnknown, Undated };
[[nodiscard]] Result<Alignment> estimateAlignment(const trace::Trace<ReferenceClock>& reference,
                                                  const trace::Trace<TestClock>& test,
                                                  ClockKnowledge knowledge,
                                                  std::span<const trace::SessionSpan> leftOut,
                                                  const trace::PairingSettings& pairing,
                                                  const Settings& settings, const RunControl& run = {});

}  // namespace beatwitness::alignment
