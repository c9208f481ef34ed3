#pragma once

#include <vector>

#include "core/flags/flag_settings.h"
#include "core/trace/session_trace.h"

namespace beatwitness::flags {

/// A stretch of joined samples in which a trace does not move.
struct StillRun {
    std::size_t first = 0;  ///< sample indices, both included
    std::size_t last = 0;
    double value_bpm = 0.0;
};

/// Chance that the trace stands still for as long as `run` by its own habits: the share of samples, up to 10
/// min to either side of the run, that repeat the one before, to the power of the run's length. Small where a
/// value is held.
[[nodiscard]] double standingChance(const trace::SessionTrace& trace, const StillRun& run);

/// Runs of at least `least_s` (between first and last sample) with one value; a lone sample that strays by at
/// most `span_bpm` and comes back is part of it while `sameShare` of the samples agree. In the order of time.
/// O(samples).
[[nodiscard]] std::vector<StillRun> stillRuns(const trace::SessionTrace& trace,
                                              const StuckSettings& settings);

}  // namespace beatwitness::flags
