#pragma once

#include <chrono>
#include <cstdint>

#include "core/foundation/units.h"

/// Clocks that cannot be mixed.
///
/// Each clock has time points of its own, so that the difference of a test device's time and a session time
/// does not compile. Only alignment::ClockCorrection converts between them.
namespace beatwitness {

using Micros = std::chrono::duration<std::int64_t, std::micro>;

/// The clock that one file was written by. Microseconds; where the file knows its date they count from
/// 1970-01-01T00:00:00Z, elsewhere from a zero of the file's own (Recording::clock says which).
struct RecordingClock {};
/// The clock of the reference of a session, after a file without a date was laid on its partner's.
struct ReferenceClock {};
/// The clock of one test device of a session, likewise.
struct TestClock {};
/// Seconds since t0, the first valid sample of the reference, on the reference clock.
struct SessionClock {};

template <class Clock>
using Instant = std::chrono::time_point<Clock, Micros>;

using RecordingTime = Instant<RecordingClock>;
using ReferenceTime = Instant<ReferenceClock>;
using TestTime = Instant<TestClock>;
using SessionTime = std::chrono::time_point<SessionClock, std::chrono::duration<double>>;

[[nodiscard]] constexpr Seconds toSeconds(Micros span) {
    return {static_cast<double>(span.count()) * 1e-6};
}

/// Nearest microsecond. Requires: |seconds| < 9e12.
[[nodiscard]] constexpr Micros toMicros(Seconds seconds) {
    const double scaled = seconds.value * 1e6;
    return Micros{static_cast<std::int64_t>(scaled < 0 ? scaled - 0.5 : scaled + 0.5)};
}

[[nodiscard]] constexpr SessionTime sessionTime(double seconds_s) {
    return SessionTime{std::chrono::duration<double>{seconds_s}};
}

[[nodiscard]] constexpr double secondsOf(SessionTime time) {
    return time.time_since_epoch().count();
}

/// A closed stretch on one clock, begin <= end.
template <class Clock>
struct Span {
    Instant<Clock> begin;
    Instant<Clock> end;
};

}  // namespace beatwitness
