#pragma once

#include "core/trace/trace.h"

namespace beatwitness::library {

/// True where two files hold one recording, as far as both reach: within `span` nearly all samples of each
/// stand in the other too, at the same instant and with the same rate.
///
/// Exports round: times may have lost their fraction of a second and rates theirs of a beat. Two devices on
/// one wearer never agree that far, unless the heart stood still: rates that hardly change prove nothing, and
/// neither do few samples. `sameDevice` (both files name it) takes the place of that proof.
/// Linear in the samples within `span`.
[[nodiscard]] bool sameSamples(const trace::Trace<RecordingClock>& a, const trace::Trace<RecordingClock>& b,
                               const Span<RecordingClock>& span, bool sameDevice);

}  // namespace beatwitness::library
