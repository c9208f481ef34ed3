#include "widgets/plots/cursor_reading.h"

#include <cmath>

#include "core/trace/value_at.h"

namespace beatwitness::widgets {

const analysis::ClockView& shownView(const analysis::TestAnalysis& test, bool aligned) {
    return aligned && test.aligned ? *test.aligned : test.asRecorded;
}

CursorReading readingAt(const analysis::SessionAnalysis& session, int test, bool aligned, double seconds) {
    CursorReading reading;
    reading.seconds = std::round(seconds);
    const SessionTime at = sessionTime(reading.seconds);
    reading.reference = trace::valueAt(session.referenceTrace, at);
    reading.test =
        trace::valueAt(shownView(session.tests[static_cast<std::size_t>(test)], aligned).trace, at);
    if (reading.reference && reading.test) reading.error = *reading.test - *reading.reference;
    return reading;
}

}  // namespace beatwitness::widgets
