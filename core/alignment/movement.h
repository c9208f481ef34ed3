#pragma once

#include "core/alignment/follow_mask.h"
#include "core/alignment/second_grid.h"

/// How much a trace moves: without movement there is nothing to align by.
namespace beatwitness::alignment {

/// 95th less 5th percentile, bpm; 0 without values.
[[nodiscard]] double range95(const SecondGrid& grid);

/// Changes of at least `least_bpm` within three minutes, one after the other, over the used seconds: a
/// staircase has several, though it never turns.
[[nodiscard]] int steps(const SecondGrid& grid, const UsedSeconds& used, double least_bpm);

/// Swings of at least `least_bpm` from one turn to the next, however slow, over the used seconds.
[[nodiscard]] int swings(const SecondGrid& grid, const UsedSeconds& used, double least_bpm);

/// Standard deviation of the trace about its straight line in time, over the used seconds.
[[nodiscard]] double sdAboutLine(const SecondGrid& grid, const UsedSeconds& used);

}  // namespace beatwitness::alignment
