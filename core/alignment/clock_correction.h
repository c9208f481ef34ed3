#pragma once

#include "core/foundation/clocks.h"
#include "core/foundation/units.h"
#include "core/trace/session_trace.h"
#include "core/trace/trace.h"

namespace beatwitness::alignment {

/// Takes a test clock to the reference clock; nothing else converts between the two.
///
/// `offset` is what must be added to the test clock at t0 so that it reads the reference clock:
/// t_reference = t_test + offset + drift * 1e-6 * (t_test + offset - t0).  Source: the batch contract.
/// Requires: |drift| below 1e5 ppm, so that time never turns round.
struct ClockCorrection {
    ReferenceTime t0;  ///< first valid sample of the reference
    Seconds offset{0.0};
    Ppm drift{0.0};

    [[nodiscard]] SessionTime toSession(TestTime time) const {
        const double uncorrected_s = toSeconds(time.time_since_epoch() - t0.time_since_epoch()).value;
        return sessionTime((uncorrected_s + offset.value) * (1.0 + drift.value * 1e-6));
    }
    /// To the nearest microsecond.
    [[nodiscard]] TestTime toTest(SessionTime time) const {
        const double uncorrected_s = secondsOf(time) / (1.0 + drift.value * 1e-6) - offset.value;
        return TestTime{t0.time_since_epoch() + toMicros({uncorrected_s})};
    }
};

/// A test trace in session time. Gaps are judged on the test's own clock.
[[nodiscard]] trace::SessionTrace onSessionClock(const trace::Trace<TestClock>& test,
                                                 const ClockCorrection& correction,
                                                 const trace::PairingSettings& settings);

}  // namespace beatwitness::alignment
