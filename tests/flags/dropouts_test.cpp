#include "core/flags/dropouts.h"

#include <gtest/gtest.h>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using tests::Sample;

namespace {

std::vector<flags::Flag> dropoutsIn(const std::vector<Sample>& samples,
                                    const std::vector<trace::SessionSpan>& pauses = {},
                                    flags::FlaggedTrace on = flags::FlaggedTrace::Test) {
    const auto trace = tests::traceOf<ReferenceClock>(samples);
    return flags::dropouts(trace::onSessionClock(trace, trace.times.front(), {}), pauses, on, {});
}

}  // namespace

TEST(Dropouts, TenSecondsAreNoneAndMoreIsOne) {
    EXPECT_TRUE(dropoutsIn({{0, 100}, {10, 100}}).empty());
    EXPECT_EQ(dropoutsIn({{0, 100}, {10.001, 100}}).size(), 1u);
}

TEST(Dropouts, CoverTheSecondsBetweenTheSamples) {
    const auto flags = dropoutsIn({{0, 100}, {1, 100}, {31, 100}});

    ASSERT_EQ(flags.size(), 1u);
    EXPECT_EQ(secondsOf(flags[0].span.begin), 2);
    EXPECT_EQ(secondsOf(flags[0].span.end), 30);
    EXPECT_DOUBLE_EQ(flags[0].magnitude, 30);
    EXPECT_NE(flags[0].because.find("30 s"), std::string::npos);
}

TEST(Dropouts, APauseThatTheFileDeclaresIsNone) {
    const std::vector<trace::SessionSpan> pause{{sessionTime(2), sessionTime(29)}};

    EXPECT_TRUE(dropoutsIn({{0, 100}, {1, 100}, {31, 100}}, pause).empty());
}

TEST(Dropouts, WhatAPauseLeavesOfAGapCounts) {
    const std::vector<trace::SessionSpan> pause{{sessionTime(1), sessionTime(15)}};

    const auto flags = dropoutsIn({{0, 100}, {1, 100}, {31, 100}}, pause);

    ASSERT_EQ(flags.size(), 1u);
    EXPECT_DOUBLE_EQ(flags[0].magnitude, 16);
    EXPECT_EQ(secondsOf(flags[0].span.begin), 16);
}

TEST(Dropouts, OnlyThoseOfTheReferenceAreExcluded) {
    EXPECT_TRUE(dropoutsIn({{0, 100}, {31, 100}}, {}, flags::FlaggedTrace::Reference).front().excluded);
    EXPECT_FALSE(dropoutsIn({{0, 100}, {31, 100}}, {}, flags::FlaggedTrace::Test).front().excluded);
}
