#pragma once

#include <optional>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/recording/read_recording.h"

namespace beatwitness::library {

/// One recording of a wearing, and the part of it that counts.
struct DrawnRecording {
    recording::RecordingFile file;
    std::optional<Span<RecordingClock>> span;  ///< nothing: all
};

/// What a wearing recorded, as one recording: each cut to its part, one behind the other.
///
/// A single whole file comes back as it is. Otherwise: samples, laps and pauses outside the parts are gone
/// (laps and pauses that reach across an edge end there); `rows` of a cut file are those of its longest
/// channel, since rows without any value have no stored time; format and device are the first file's; names
/// and digests of several files are joined by " + "; the clock is zone-unknown where one of them is.
///
/// Requires: at least one; all with a date or all without.
[[nodiscard]] recording::RecordingFile drawnTogether(std::vector<DrawnRecording> drawn);

}  // namespace beatwitness::library
