#include "core/alignment/clock_correction.h"

#include <gtest/gtest.h>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using alignment::ClockCorrection;

namespace {

constexpr ReferenceTime t0{Micros{1'930'000'000'000'000}};

TestTime testAt(double seconds_s) {
    return TestTime{t0.time_since_epoch() + toMicros(Seconds{seconds_s})};
}

}  // namespace

TEST(ClockCorrection, AddsItsOffsetToTheTestClock) {
    const ClockCorrection correction{t0, Seconds{-4.2}, Ppm{0}};

    EXPECT_NEAR(secondsOf(correction.toSession(testAt(10.0))), 5.8, 1e-9);
}

// t_reference = t_test + offset + drift * 1e-6 * (t_test + offset - t0), by hand: 1003 * (1 + 100e-6).
TEST(ClockCorrection, StretchesByItsDriftFromT0) {
    const ClockCorrection correction{t0, Seconds{3.0}, Ppm{100}};

    EXPECT_NEAR(secondsOf(correction.toSession(testAt(1000.0))), 1003.1003, 1e-9);
}

TEST(ClockCorrection, ThereAndBackIsTheSameMicrosecond) {
    const ClockCorrection correction{t0, Seconds{-1799.123456}, Ppm{-87.5}};

    const auto there = correction.toSession(testAt(86399.999999));

    EXPECT_EQ(correction.toTest(there), testAt(86399.999999));
}

TEST(OnSessionClock, JudgesGapsOnTheTestsOwnClock) {
    const auto test = tests::traceOf<TestClock>({{0, 100}, {10, 110}});

    const auto session = alignment::onSessionClock(test, {ReferenceTime{}, Seconds{0}, Ppm{900}}, {});

    EXPECT_GT(session.seconds[1] - session.seconds[0], 10.0);
    EXPECT_TRUE(session.joined[1]);
}
