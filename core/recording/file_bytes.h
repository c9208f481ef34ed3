#pragma once

#include <cstddef>
#include <filesystem>
#include <vector>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"

namespace beatwitness::recording {

/// The whole of a regular file.
///
/// Faults: NotFound, NotAFile (folder, device, socket), NotReadable, Empty, TooLong (over 2 GiB), Cancelled;
/// each with the path as given.
[[nodiscard]] Result<std::vector<std::byte>> fileBytes(const std::filesystem::path& path,
                                                       const RunControl& run = {});

}  // namespace beatwitness::recording
