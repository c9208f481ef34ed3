#pragma once

#include <QString>
#include <memory>
#include <optional>

#include "core/analysis/context_traces.h"
#include "widgets/plots/line_image.h"

/// Channels other than heart rate as they are shown: speed in km/h, everything else as it is stored.
namespace beatwitness::widgets {

[[nodiscard]] QString contextKindName(recording::ChannelKind kind);  ///< "cadence"
[[nodiscard]] QString contextUnit(recording::ChannelKind kind);      ///< "1/min", "W", "km/h", "m"

/// "cadence, band": what, and the recording it comes from as testName() and referenceName() call it; a
/// context file by its device, else by its name without ending.
[[nodiscard]] QString contextName(const analysis::SessionAnalysis& session,
                                  const analysis::ContextTrace& trace);

/// In the unit shown, at one instant, by the rule of trace::valueAt(). O(log samples).
[[nodiscard]] std::optional<double> contextValueAt(const analysis::ContextTrace& trace, double seconds);

/// "26 /min", "212 W", "12.4 km/h", "318 m"; an em dash where there is none.
[[nodiscard]] QString contextText(recording::ChannelKind kind, std::optional<double> shown);

/// In the unit shown.
[[nodiscard]] DrawnLine contextLineOf(std::shared_ptr<const analysis::ContextTrace> trace);

}  // namespace beatwitness::widgets
