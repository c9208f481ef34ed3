#pragma once

#include <chrono>
#include <string>
#include <string_view>

#include "core/foundation/clocks.h"

namespace beatwitness {

/// "2031-03-02T09:00:00.000Z": UTC, milliseconds rounded to the nearest. Years outside 0000 to 9999 are
/// printed with as many digits as they need.
[[nodiscard]] std::string isoInstant(Micros sinceEpoch);

/// Session time for people: "4:05", "1:02:03", "-0:12"; whole seconds, rounded to the nearest.
[[nodiscard]] std::string sessionClockText(double seconds_s);

/// `bytes` as they can be shown in one line: at most `limit` characters, control characters and broken UTF-8
/// replaced by "?", an ellipsis where cut.
[[nodiscard]] std::string printable(std::string_view bytes, std::size_t limit = 40);

}  // namespace beatwitness
