#pragma once

#include <optional>

#include "core/analysis/session_analysis.h"

namespace beatwitness::widgets {

/// The clock view of a test that a page shows: aligned where asked for and there is one, else as recorded.
[[nodiscard]] const analysis::ClockView& shownView(const analysis::TestAnalysis& test, bool aligned);

/// What stands at one whole second of session time.
///
/// Invariant: error has a value exactly when both traces have one there.
struct CursorReading {
    double seconds = 0.0;
    std::optional<Bpm> reference;
    std::optional<Bpm> test;
    std::optional<BpmDelta> error;
};

/// Values at the whole second nearest to `seconds`. Requires: 0 <= test < session.tests.size(). O(log
/// samples).
[[nodiscard]] CursorReading readingAt(const analysis::SessionAnalysis& session, int test, bool aligned,
                                      double seconds);

}  // namespace beatwitness::widgets
