#pragma once

#include <filesystem>
#include <optional>

namespace beatwitness::tests {

/// The folder that holds everything: the top of the tree.
[[nodiscard]] std::filesystem::path projectFolder();

/// `../shared/<name>` beside the project, where it is there. Tests that use it skip where it is not.
[[nodiscard]] std::optional<std::filesystem::path> sharedFile(const std::filesystem::path& name);

}  // namespace beatwitness::tests
