#pragma once

#include <optional>
#include <string_view>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording::text {

/// True for a column of bare numbers that begins with an epoch and a rate: start, samples a second, then
/// values.
[[nodiscard]] bool looksPaced(std::string_view text);

/// Reads such a column: value k stands at start + k / rate.
///
/// Faults: UnknownFormat where the values are no heart rates, Cancelled. Requires: looksPaced().
[[nodiscard]] Result<Recording> readPaced(std::string_view text, const RunControl& run);

}  // namespace beatwitness::recording::text
