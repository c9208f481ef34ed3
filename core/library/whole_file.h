#pragma once

#include <filesystem>
#include <string_view>

#include "core/foundation/result.h"

namespace beatwitness::library {

/// Writes the file whole or not at all: beside its place first, then renamed; folders on the way are made.
/// Faults: NotWritable.
[[nodiscard]] Result<Done> writeWholeFile(const std::filesystem::path& path, std::string_view bytes);

}  // namespace beatwitness::library
