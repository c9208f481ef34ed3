#pragma once

#include "core/alignment/mask_settings.h"
#include "core/foundation/units.h"

namespace beatwitness::alignment {

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
    double leastExplained = 1.15;  ///< nats a second by which following each other beats being unrelated ...
    double partialCosts = 1.0;  ///< ... and as much more where only a part of the shorter trace is in common
    Seconds longestLag{45.0};   ///< offsets closer than this may be one another's lag
    double lagMargin = 0.12;    ///< share of the evidence that an offset may lack and yet win by being later
    Seconds widestInterval{10.0};  ///< a wider 95 % interval is refused
    Seconds aliasDistance{10.0};   ///< a second minimum further away than this ...
    double aliasMargin = 0.05;     ///< ... within this share of the loss is refused
    MaskSettings mask;             ///< which seconds are left out of the fit
    Seconds bootstrapBlock{60.0};  ///< length of the resampled blocks
    int bootstrapReplicates = 400;
    double driftBeyond = 1.0;   ///< half-widths of its interval that a drift must exceed
    Seconds driftFrom{7200.0};  ///< drift is applied only to longer common time
};

/// What is known of two clocks before their traces are compared.
enum class ClockKnowledge {
    Dated,        ///< both know date and zone: the offset is small, or a whole or half hour was mistaken
    ZoneUnknown,  ///< one lacks its zone: every whole and half hour is as likely as none
    Undated,      ///< one knows no date: any offset is as likely as any other
};

}  // namespace beatwitness::alignment
