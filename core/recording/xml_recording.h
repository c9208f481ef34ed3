#pragma once

#include <cstddef>
#include <span>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/recording/recording.h"

namespace beatwitness::recording {

/// True where the first character of the text, behind a byte-order mark and blanks, is `<`.
[[nodiscard]] bool looksLikeXml(std::span<const std::byte> bytes);

/// Reads TCX (tcx_sink.h) or GPX 1.0 and 1.1 (gpx_sink.h), told apart by the root element.
///
/// UTF-8 or UTF-16, whatever the declaration says. Elements count by local name, whatever the namespace or
/// prefix. Points without a time are left out and told of. What stands before damage is returned with a
/// warning that names the byte. Of the options `zone` is used, for times that name none. Faults:
/// UnknownFormat (another root element, or none), Damaged (nothing stands before the damage), WrongUsage (no
/// such zone), Cancelled. Linear time; memory: 16 bytes a value and at most 50 MiB, see xml_walk.h.
[[nodiscard]] Result<Recording> readXml(std::span<const std::byte> bytes, const ReadOptions& options = {},
                                        const RunControl& run = {});

}  // namespace beatwitness::recording
