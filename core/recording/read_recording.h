#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// A recording and the file it came from.
struct RecordingFile {
    std::string file;    ///< the path as the user named it
    std::string sha256;  ///< of the bytes as they stand on disk
    Recording recording;
};

/// What `bytes` say, by their content: names and endings of files are not looked at.
///
/// Damage part-way is a warning, not a fault. A file that reads but holds no heart rate is no fault either.
/// Faults: Empty, UnknownFormat, Damaged, NoTimeColumn, WrongUsage (an option names a column that is not
/// there), Cancelled; with byte or line, without a file name. Linear time and memory.
[[nodiscard]] Result<Recording> readRecording(std::span<const std::byte> bytes,
                                              const ReadOptions& options = {}, const RunControl& run = {});

/// Reads the file at `path`. Faults: those of fileBytes() and readRecording(), with the path as given.
[[nodiscard]] Result<RecordingFile> readRecordingFile(const std::filesystem::path& path,
                                                      const ReadOptions& options = {},
                                                      const RunControl& run = {});

}  // namespace beatwitness::recording
