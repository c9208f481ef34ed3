#include "tests/support/shared_files.h"

namespace beatwitness::tests {

std::filesystem::path projectFolder() {
    return BEATWITNESS_SOURCE_DIR;
}

std::optional<std::filesystem::path> sharedFile(const std::filesystem::path& name) {
    const auto path = projectFolder().parent_path() / "shared" / name;
    if (std::filesystem::exists(path)) return path;
    return std::nullopt;
}

}  // namespace beatwitness::tests
