#pragma once

#include <cstddef>
#include <vector>

#include "core/flags/flag_settings.h"
#include "core/trace/session_trace.h"

namespace beatwitness::flags {

/// A stretch of samples between jumps that no heart makes.
struct Excursion {
    enum class Shape { Jumps, Doubled, Halved };

    Shape shape = Shape::Jumps;
    std::size_t first = 0;  ///< sample after the first jump
    std::size_t last = 0;   ///< sample before the last jump
    std::size_t jumps = 0;
    double size_bpm = 0.0;  ///< of the largest jump, signed
    double ratio = 1.0;     ///< mean inside over the level at the ends, for Doubled and Halved
};

/// Excursions of a trace by its own evidence.
///
/// A jump is a change of at least `leastJump_bpm` within `within_s`, or between two samples further apart if
/// it is faster than `fastest_bpm_per_s`; where the trace often changes fast (breathing at rest, beat by
/// beat), only what is far beyond its habit. Jumps at most `train_s` apart belong together, and so does a
/// lone jump with the one that takes it back within `longestPlateau_s`. A single jump without return is none:
/// it does not say which side is wrong. O(samples).
[[nodiscard]] std::vector<Excursion> ownExcursions(const trace::SessionTrace& trace,
                                                   const SpikeSettings& spike,
                                                   const ReferenceSettings& reference);

}  // namespace beatwitness::flags
