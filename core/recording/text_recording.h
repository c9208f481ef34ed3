#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True where `bytes` can be lines of text: no NUL among the first, after a byte-order mark of any width.
[[nodiscard]] bool looksLikeText(std::span<const std::byte> bytes);

[[nodiscard]] Result<Recording> readText(std::span<const std::byte> bytes, const ReadOptions& options = {},
                                         const RunControl& run = {});

}  // namespace beatwitness::recording
