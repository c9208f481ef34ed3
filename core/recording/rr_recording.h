#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// Beats as text: intervals, intervals with times, or times of beats with labels (rr_layout.h tells them
/// apart).
///
/// Bare intervals follow one another from `start`, or from 0 of no date. A time beside an interval is that of
/// its closing beat, unless the intervals fit the other way; times so coarse that beats share one are refined
/// by the intervals. Where times leave room for further beats a new run begins. Beats labelled X spoil the
/// intervals on both sides. `rows` counts closing beats; of a list of beat times, all beats. Artefacts:
/// beats_artefacts.h. Faults: UnknownFormat, NoTimeColumn, WrongUsage, Cancelled. Linear time.
[[nodiscard]] Result<Recording> readRr(std::span<const std::byte> bytes, const ReadOptions& options = {},
                                       const RunControl& run = {});

/// A text without a grammar of its own: a table of heart rates where it is one (text_recording.h), else
/// beats.
[[nodiscard]] Result<Recording> readTableOrBeats(std::span<const std::byte> bytes,
                                                 const ReadOptions& options = {}, const RunControl& run = {});

}  // namespace beatwitness::recording
