#pragma once

#include <memory>

#include "core/library/read_file.h"
#include "core/trace/trace.h"

namespace beatwitness::library {

/// A file that was read and may be imported, with what a plan looks at.
struct OfferedFile {
    std::shared_ptr<const ReadFile> file;
    trace::RecordingSummary summary;
    std::shared_ptr<const trace::Trace<RecordingClock>> trace;
    double blemishes = 1.0;  ///< blemishShare() (reference_guess.h)

    [[nodiscard]] const recording::RecordingFile& read() const { return file->read; }
    [[nodiscard]] const recording::Recording& recording() const { return file->read.recording; }
    [[nodiscard]] bool hasHeartRate() const { return summary.span.has_value(); }
};

/// Linear in the samples: done where the file is read, off the GUI thread. Requires: a file.
[[nodiscard]] OfferedFile offered(std::shared_ptr<const ReadFile> file);

}  // namespace beatwitness::library
