#pragma once

#include <cstddef>
#include <functional>
#include <optional>

namespace beatwitness::tests {

/// By how many bytes the memory of this process rose at most while `work` ran, whoever allocated it. Nothing
/// where the system does not tell (it does on Linux) and under a sanitizer, which has memory of its own.
[[nodiscard]] std::optional<std::size_t> peakMemoryOf(const std::function<void()>& work);

}  // namespace beatwitness::tests
