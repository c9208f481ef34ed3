#pragma once

#include <optional>

#include "core/alignment/fine_fit.h"

namespace beatwitness::alignment {

struct Interval {
    double lower = 0.0;
    double upper = 0.0;
};

/// What resampling whole blocks says of a fit. 95 % intervals.
struct FitIntervals {
    Interval offset_s;  ///< of the offset at t0
    std::optional<Interval>
        drift_ppm;  ///< of the drift, fitted or not; absent where time cannot be told from offset
    double withinOneSecond = 0.0;  ///< share of resamples whose offset lies within 1 s of the fit's
};

/// Bootstrap of whole blocks around `fit`: each resample moves the bottom of the loss.
///
/// Blocks of the session, not seconds, are drawn: neighbouring seconds repeat each other. Percentiles are
/// widened for few blocks by sqrt(k/(k-1)) t(k-1)/z. The seed is fixed: the same blocks give the same
/// intervals on every machine. Absent with fewer than four blocks, and where the loss has no valley. Cost:
/// replicates x blocks. Source: field guide section 4; widening: Hesterberg, Am Stat 2015;69:371.
[[nodiscard]] std::optional<FitIntervals> bootstrapIntervals(const FineFit& fit, Drift drift, int replicates);

}  // namespace beatwitness::alignment
