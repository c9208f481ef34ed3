#pragma once

#include <span>
#include <vector>

#include "core/flags/flag.h"
#include "core/trace/session_trace.h"

namespace beatwitness::flags {

/// Stretches without samples inside a trace's own span: neighbours that are not joined (max_gap_s).
///
/// A dropout covers the whole seconds strictly between the two samples; its magnitude is the time from the
/// one to the other, less what `pauses` cover (stretches, in session time, in which the file itself says that
/// recording was stopped). Where at most `maxGap` remains, there is none. Late starts and early stops are not
/// dropouts. In the order of time. O(samples + pauses).
[[nodiscard]] std::vector<Flag> dropouts(const trace::SessionTrace& trace,
                                         std::span<const trace::SessionSpan> pauses, FlaggedTrace on,
                                         const trace::PairingSettings& settings);

}  // namespace beatwitness::flags
