#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/archive_stream.h"

namespace beatwitness::recording {

/// Unpacks all members of a gzip file, one behind the other, and tests their checksums. `damage` of the
/// result says what stopped it; every byte that could be unpacked before that is kept.
///
/// Faults: TooLong (more than `most` bytes), Cancelled. Source: RFC 1952.
[[nodiscard]] Result<ArchiveFile> gunzip(std::span<const std::byte> bytes, std::size_t most,
                                         const RunControl& run);

/// The same for a bare deflate stream, as zip stores a file; what follows its end is not looked at. Source:
/// RFC 1951.
[[nodiscard]] Result<ArchiveFile> inflateBare(std::span<const std::byte> bytes, std::size_t most,
                                              const RunControl& run);

}  // namespace beatwitness::recording
