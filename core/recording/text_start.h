#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/foundation/clocks.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::text {

/// When a recording began, as the lines above its table say.
struct PreambleStart {
    std::optional<Micros> instant;   ///< date and clock
    std::optional<Micros> midnight;  ///< of the date alone
    bool isZoned = false;            ///< both are UTC
};

/// Looks for "start: 2031-03-02T09:00:00Z", "Start time,1930381200", "Date: 02.03.2031" with "Time: 9:00".
/// `zone` is for times written without one. Keys are lower case.
[[nodiscard]] PreambleStart preambleStart(const std::vector<std::pair<std::string, std::string>>& preamble,
                                          const std::optional<Zone>& zone);

}  // namespace beatwitness::recording::text
