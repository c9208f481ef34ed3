#include "core/trace/trace.h"

#include <gtest/gtest.h>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using tests::recordingOf;

TEST(TraceOf, LeavesOutWhatIsNoHeartRate) {
    const auto trace = trace::traceOf(recordingOf("24.9 25 250 250.1 9999 100"));

    ASSERT_EQ(trace.rates.size(), 3u);
    EXPECT_EQ(trace.rates[0].value, 25);
    EXPECT_EQ(trace.rates[1].value, 250);
    EXPECT_EQ(trace.rates[2].value, 100);
}

TEST(TraceOf, LetsTheLastOfSeveralSamplesAtOneTimeStand) {
    const auto trace = trace::traceOf(recordingOf({{0, 100}, {1, 110}, {1, 120}, {1, 999}, {2, 130}}));

    ASSERT_EQ(trace.rates.size(), 3u);
    EXPECT_EQ(trace.rates[1].value, 120);
}

TEST(TraceOf, PutsAFileThatGoesBackInTimeInOrder) {
    const auto trace = trace::traceOf(recordingOf({{5, 105}, {3, 103}, {5, 115}, {1, 101}}));

    ASSERT_EQ(trace.times.size(), 3u);
    EXPECT_EQ(trace.rates[0].value, 101);
    EXPECT_EQ(trace.rates[2].value, 115) << "the later of two in the file stands";
}

TEST(Summarise, CountsRowsWithoutAValidRateAsMissing) {
    const auto summary = trace::summarise(recordingOf(". 120 9999 121 ."));

    EXPECT_EQ(summary.samples, 5u);
    EXPECT_EQ(summary.missing, 3u);
    EXPECT_DOUBLE_EQ(summary.mean->value, 120.5);
    EXPECT_DOUBLE_EQ(summary.duration->value, 2.0);
}

TEST(Summarise, MedianOfAnEvenNumberOfIntervalsIsTheMiddleOfTwo) {
    const auto summary = trace::summarise(recordingOf({{0, 100}, {1, 100}, {4, 100}}));

    EXPECT_DOUBLE_EQ(summary.medianInterval->value, 2.0);
}

TEST(Summarise, SaysNothingOfARecordingWithoutHeartRate) {
    const auto summary = trace::summarise(recordingOf(". . ."));

    EXPECT_EQ(summary.missing, 3u);
    EXPECT_FALSE(summary.span);
    EXPECT_FALSE(summary.medianInterval);
    EXPECT_TRUE(summary.parts.empty());
}

TEST(Summarise, SplitsWorkoutsMoreThanHalfAnHourApart) {
    const auto summary = trace::summarise(recordingOf({{0, 100}, {1800, 100}, {3601, 100}, {3602, 100}}));

    ASSERT_EQ(summary.parts.size(), 2u);
    EXPECT_EQ(summary.parts[0].samples, 2u);
    EXPECT_EQ(summary.parts[1].samples, 2u);
}
