#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True where a FIT header stands at byte 0, damaged or not.
[[nodiscard]] bool looksLikeFit(std::span<const std::byte> bytes);

[[nodiscard]] Result<Recording> readFit(std::span<const std::byte> bytes, const RunControl& run = {});

}  // namespace beatwitness::recording
