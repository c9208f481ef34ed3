#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <vector>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/read_recording.h"

namespace beatwitness::library {

/// A file as it is stored: what it says and its bytes.
struct ReadFile {
    recording::RecordingFile read;
    std::vector<std::byte> bytes;
};

/// Reads the file at `path` once, for both. Faults: those of recording::readRecordingFile().
[[nodiscard]] Result<std::shared_ptr<const ReadFile>> readForLibrary(
    const std::filesystem::path& path, const recording::ReadOptions& options = {},
    const RunControl& run = {});

}  // namespace beatwitness::library
