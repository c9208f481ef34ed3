#pragma once

#include <QColor>

#include "core/trace/trace.h"
#include "widgets/plots/line_image.h"

namespace beatwitness::app {

/// The samples of `trace` within `part`, in seconds from `zero` on, for a TraceStrip.
[[nodiscard]] widgets::DrawnLine previewLine(const trace::Trace<RecordingClock>& trace,
                                             const Span<RecordingClock>& part, RecordingTime zero,
                                             const QColor& colour, double width);

}  // namespace beatwitness::app
