#pragma once

#include <optional>
#include <string_view>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::text {

/// True for a column of bare numbers that begins with a start (an epoch, or a date and time) and a rate in
/// samples a second, then values.
[[nodiscard]] bool looksPaced(std::string_view text);

/// Reads such a column: value k stands at start + k / rate.
///
/// `zone` is for a start that names none. Faults: UnknownFormat where the values are no heart rates,
/// Cancelled. Requires: looksPaced().
[[nodiscard]] Result<Recording> readPaced(std::string_view text, const std::optional<Zone>& zone,
                                          const RunControl& run);

}  // namespace beatwitness::recording::text
