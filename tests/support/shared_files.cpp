#include "tests/support/shared_files.h"

namespace beatwitness::tests {

std::optional<std::filesystem::path> sharedFile(const std::filesystem::path& name) {
    const auto path = std::filesystem::path{BEATWITNESS_SOURCE_DIR}.parent_path() / "shared" / name;
    if (std::filesystem::exists(path)) return path;
    return std::nullopt;
}

}  // namespace beatwitness::tests
