#pragma once

#include <cstddef>
#include <functional>

namespace beatwitness::widgets {

/// Calls `step(i)` for every i below `count` once, on as many threads as the machine has cores (at most 8),
/// the calling one among them, and returns when all are done. A step that returns false keeps those that have
/// not begun from beginning. Steps must not touch each other's data, nor any widget.
///
/// True where every step was done and returned true.
[[nodiscard]] bool inParallel(std::size_t count, const std::function<bool(std::size_t)>& step);

/// How many steps run at one time.
[[nodiscard]] std::size_t parallelSteps();

}  // namespace beatwitness::widgets
