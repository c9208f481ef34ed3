#pragma once

#include <span>
#include <string>
#include <variant>

#include "core/foundation/fault.h"
#include "core/recording/read_recording.h"

namespace beatwitness::report {

/// One file of an inspection: what it holds, or why it could not be read (Fault::file says which).
using Inspected = std::variant<recording::RecordingFile, Fault>;

/// `beatwitness.inspect/1` of the batch contract, indented, with a closing newline.
[[nodiscard]] std::string inspectionJson(std::span<const Inspected> files);

/// The same for people.
[[nodiscard]] std::string inspectionText(const recording::RecordingFile& file);

/// `{"error": {"code", "message", "file"}}` of the batch contract.
[[nodiscard]] std::string errorJson(const Fault& fault);

}  // namespace beatwitness::report
