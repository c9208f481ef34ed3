#include "app/windows/preview_lines.h"

#include <algorithm>

namespace beatwitness::app {

widgets::DrawnLine previewLine(const trace::Trace<RecordingClock>& trace, const Span<RecordingClock>& part,
                               RecordingTime zero, const QColor& colour, double width) {
    const auto first = std::ranges::lower_bound(trace.times, part.begin) - trace.times.begin();
    const auto last = std::ranges::upper_bound(trace.times, part.end) - trace.times.begin();
    trace::Trace<ReferenceClock> cut;
    for (auto i = first; i < last; ++i) {
        cut.times.emplace_back(trace.times[static_cast<std::size_t>(i)] - zero);
        cut.rates.push_back(trace.rates[static_cast<std::size_t>(i)]);
    }
    // What is sampled every minute is a line too.
    trace::PairingSettings settings;
    settings.maxGap = Seconds{120.0};
    auto owner =
        std::make_shared<const trace::SessionTrace>(trace::onSessionClock(cut, ReferenceTime{}, settings));
    auto line = widgets::lineOf(owner, *owner);
    line.colour = colour;
    line.width = width;
    return line;
}

}  // namespace beatwitness::app
