#pragma once

#include <filesystem>
#include <optional>

namespace beatwitness::tests {

/// `../shared/<name>` beside the project, where it is there. Tests that use it skip where it is not.
[[nodiscard]] std::optional<std::filesystem::path> sharedFile(const std::filesystem::path& name);

}  // namespace beatwitness::tests
