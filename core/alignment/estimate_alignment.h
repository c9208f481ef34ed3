#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/alignment/clock_correction.h"
#include "core/alignment/mask_settings.h"
#include "core/alignment/offset_interval.h"
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

/// Thresholds of estimateAlignment(); units, reasons and sources stand in analysis/settings_table.cpp.
struct Settings {
    Seconds smoothing{3.0};       ///< sigma of the Gaussian that both traces are smoothed by
    Seconds searchRadius{300.0};  ///< how far a clock is looked for around each hypothesis
    Seconds leastOverlap{300.0};  ///< less common time is refused
    BpmDelta leastRange{15.0};    ///< a reference whose p95 - p5 is smaller is flat
    BpmDelta leastChange{15.0};   ///< at least one change of this size that the device follows
    BpmDelta leastBend{3.0};      ///< a reference closer to its straight line (sd) is a ramp
    double worstScore = 0.45;     ///< share of the loss of unrelated traces above which the two are unrelated
    double leastUsed = 0.4;       ///< share of the common time in which the test must follow the reference
    double leastExplained = 0.9;  ///< nats a second by which following each other beats being unrelated
    Seconds widestInterval{10.0};  ///< a wider 95 % interval is refused
    Seconds aliasDistance{10.0};   ///< a second minimum further away than this ...
    double aliasMargin = 0.05;     ///< ... within this share of the loss is refused
    MaskSettings mask;             ///< which seconds are left out of the fit
    Seconds bootstrapBlock{60.0};  ///< length of the resampled blocks
    int bootstrapReplicates = 400;
    double driftBeyond =
        1.5;  ///< half-widths of its interval that a drift must exceed: smoothing can mimic one
    Seconds driftFrom{7200.0};  ///< drift is applied only to longer common time
};

/// What is known of two clocks before their traces are compared.
enum class ClockKnowledge {
    Dated,        ///< both know date and zone: the offset is small, or a whole or half hour was mistaken
    ZoneUnknown,  ///< one lacks its zone: every whole and half hour is as likely as none
    Undated,      ///< one knows no date: any offset is as likely as any other
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
