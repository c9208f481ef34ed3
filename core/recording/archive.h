#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True where the bytes begin like gzip (1F 8B 08) or zip (`PK` 3 4 or 5 6).
[[nodiscard]] bool looksLikeArchive(std::span<const std::byte> bytes);

/// Reads the recording in a gzip or zip archive.
///
/// Of several files in a zip the first one that holds a valid heart rate is taken (else the first that reads
/// at all), and a warning names the others that hold one. An archive may lie in an archive once (a .gz within
/// a .zip), no deeper. `guessed` names the file that was taken. An archive that is damaged part-way yields
/// what could be unpacked, with a warning.
///
/// Bounds: 1000 files looked at; what is unpacked, all files together, is at most 1 GiB and at most 200 times
/// the archive plus 64 MiB. Faults: TooLong (beyond these), NotReadable (encrypted), Damaged (nothing could
/// be unpacked), UnknownFormat (no file in it is a recording), Cancelled, and those of readRecording() for
/// the only file. Memory: that of the largest file in it (twice at most in a zip) and of its recording: in
/// proportion to what is unpacked, not to the archive.
[[nodiscard]] Result<Recording> readArchive(std::span<const std::byte> bytes, const ReadOptions& options = {},
                                            const RunControl& run = {});

}  // namespace beatwitness::recording
