#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/alignment/clock_correction.h"
#include "core/alignment/offset_interval.h"
#include "core/alignment/settings.h"
#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/trace/pairs.h"

namespace beatwitness::alignment {

enum class Method { Auto, Offset, None };

/// As the batch contract writes it: `auto`, `offset`, `none`.
[[nodiscard]] std::string_view methodName(Method method);

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

/// Estimates the clock correction of `test` against `reference` (both after a file without a date was laid on
/// the other's first sample).
///
/// Estimand: the correction under which the two traces, smoothed and without the seconds in which the test
/// does not follow, differ least in the mean square about their mean difference. A constant delay of the
/// device is part of it. Road: bounded loss over all hypotheses (coarse_search.h), least squares under a mask
/// (fine_fit.h), block bootstrap (offset_interval.h), refusals. `leftOut`: session spans on the reference
/// clock that must not be used. Requires: both traces not empty. Faults: Cancelled only; what cannot be
/// estimated is a refusal. Source: field guide section 4, batch contract.
[[nodiscard]] Result<Alignment> estimateAlignment(const trace::Trace<ReferenceClock>& reference,
                                                  const trace::Trace<TestClock>& test,
                                                  ClockKnowledge knowledge,
                                                  std::span<const trace::SessionSpan> leftOut,
                                                  const trace::PairingSettings& pairing,
                                                  const Settings& settings, const RunControl& run = {});

}  // namespace beatwitness::alignment
