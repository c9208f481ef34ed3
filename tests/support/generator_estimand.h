#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tests/support/generator.h"

/// The number that alignment is asked for, by brute force and without core.
///
/// The batch contract: the one constant correction (and at most one linear drift) under which the two traces,
/// each smoothed by a 3 s Gaussian and with faulty seconds left out, differ least in the mean square about
/// their mean difference.
namespace beatwitness::tests {

struct FaultySpan {
    double start_s = 0.0;  ///< session time after alignment, both ends included
    double end_s = 0.0;
};

struct EstimandSearch {
    double centre_s = 0.0;  ///< where the offset is looked for …
    double reach_s = 15.0;  ///< … and how far to either side
    double centreDrift_ppm = 0.0;
    double driftReach_ppm = 0.0;  ///< 0: the drift stays at centreDrift_ppm
};

struct Estimand {
    double offset_s = 0.0;    ///< the contract's sign, at t0
    double drift_ppm = 0.0;   ///< the contract's sign
    double rms_bpm = 0.0;     ///< what is left about the mean difference
    std::size_t seconds = 0;  ///< that were compared at the minimum
    bool atEdge = false;      ///< the least value lies at the edge of the search: no minimum
};

/// Nothing where no offset in the search leaves 60 common seconds.
///
/// The traces are linear between samples at most 10 s apart and nothing elsewhere. A smoothed trace has a
/// value where at least half of the Gaussian's weight lies on sound seconds; a second counts where it is
/// sound in both. Offsets are tried every 0.25 s, then every 0.05 s around the best (the mean square of
/// traces smoothed over 3 s has no narrower valley), drifts every 4 and then every 1 ppm; a parabola places
/// each minimum.
[[nodiscard]] std::optional<Estimand> leastSquaresAlignment(const recording::Recording& reference,
                                                            const recording::Recording& test,
                                                            std::span<const FaultySpan> faultyReference,
                                                            std::span<const FaultySpan> faultyTest,
                                                            const EstimandSearch& search);

/// The same for a generated pair, faults left out as the truth knows them, searched around what was applied;
/// a drift is fitted where one was applied and the session exceeds 2 h.
[[nodiscard]] std::optional<Estimand> estimandOf(const GeneratedPair& pair);

/// Why the offset of a pair cannot be known; empty where it can.
///
/// By the truth alone: unrelated; less than 5 min in common; heart rate p95 - p5 below 15 bpm; fewer than two
/// separate changes of 15 bpm outside the faults; equal periods (a second minimum more than 10 s away, at
/// most 5 % above the least mean square, within +-300 s).
[[nodiscard]] std::string whyNotIdentifiable(const GeneratedPair& pair);

}  // namespace beatwitness::tests
