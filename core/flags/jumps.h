#pragma once

#include <vector>

#include "core/flags/flag_settings.h"
#include "core/flags/second_table.h"
#include "core/trace/session_trace.h"

namespace beatwitness::flags {

/// An excursion of a trace that no heart makes: away and back.
struct Jump {
    Stretch seconds;        ///< table seconds away from where the trace belongs
    double size_bpm = 0.0;  ///< signed, at its furthest
};

/// Jumps of the test that the reference does not make and that are back within SpikeSettings::back_s.
///
/// The error leaves its local level (median of the 41 s around) by at least `leastJump_bpm`, comes and goes
/// faster than a heart (`within_s`, or one interval between samples), and it is the test that moves.
/// O(seconds).
[[nodiscard]] std::vector<Jump> jumpsOfTest(const SecondTable& table, const trace::SessionTrace& test,
                                            const Settings& settings);

/// Jumps (of either trace) at most `train_s` apart become one stretch each, with the size of the largest.
[[nodiscard]] std::vector<Jump> trainsOf(const std::vector<Jump>& jumps, double train_s);

}  // namespace beatwitness::flags
