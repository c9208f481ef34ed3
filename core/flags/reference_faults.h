#pragma once

#include <span>
#include <vector>

#include "core/flags/flag.h"
#include "core/flags/flag_settings.h"
#include "core/trace/pairs.h"
#include "core/trace/session_trace.h"

namespace beatwitness::flags {

/// Faults of the reference by its own evidence: no other trace is looked at, so that no device under test
/// judges its judge.
///
/// Dropouts; jumps that no heart makes, with the plateaus between them (a dry electrode: trains of them;
/// twice or half the heart rate for a while); values that stand still far longer than this trace ever does.
/// All are `excluded`. In the order of time. O(samples).
[[nodiscard]] std::vector<Flag> referenceFaults(const trace::SessionTrace& reference,
                                                std::span<const trace::SessionSpan> pauses,
                                                const trace::PairingSettings& pairing,
                                                const Settings& settings);

}  // namespace beatwitness::flags
