#pragma once

#include <vector>

#include "app/document/session_plan.h"

namespace beatwitness::app {

/// A random order of `count` tests.
[[nodiscard]] std::vector<std::size_t> dealtOrder(std::size_t count);

/// What a reviewer may see who must not know which device is which: tests in `order`, files and devices under
/// numbers, in sentences too. Everything else, digests included, stays.
[[nodiscard]] Snapshot blinded(const Snapshot& snapshot, const std::vector<std::size_t>& order);

}  // namespace beatwitness::app
