#include "widgets/figures/axis_ticks.h"

#include <gtest/gtest.h>

namespace beatwitness::widgets {
namespace {

std::vector<double> places(const std::vector<Tick>& ticks) {
    std::vector<double> at;
    for (const auto& tick : ticks)
        at.push_back(tick.at);
    return at;
}

// By hand: 0 to 100 over 110 points with 20 each has room for 5 steps of 20.
TEST(AxisTicks, StandAtRoundNumbersThatFit) {
    report::Axis axis;
    axis.highest = 100;

    EXPECT_EQ(places(ticksOf(axis, 100, 20)), (std::vector<double>{0, 20, 40, 60, 80, 100}));
}

TEST(AxisTicks, OfSessionTimeStandAtWholeMinutes) {
    report::Axis axis;
    axis.kind = report::Axis::Kind::SessionTime;
    axis.highest = 900;

    const auto ticks = ticksOf(axis, 100, 30);

    EXPECT_EQ(places(ticks), (std::vector<double>{0, 300, 600, 900}));
    EXPECT_EQ(ticks[1].text, QStringLiteral("05:00"));
}

TEST(AxisTicks, OfErrorsCarryTheirSign) {
    report::Axis axis;
    axis.kind = report::Axis::Kind::Signed;
    axis.lowest = -10;
    axis.highest = 10;

    const auto ticks = ticksOf(axis, 40, 20);

    ASSERT_EQ(ticks.size(), 3u);
    EXPECT_EQ(ticks[0].text, QString(QChar(0x2212)) + QStringLiteral("10"));
    EXPECT_EQ(ticks[2].text, QStringLiteral("+10"));
}

TEST(AxisTicks, OfAnAxisWithoutRangeAreNone) {
    report::Axis axis;
    axis.lowest = axis.highest = 5;

    EXPECT_TRUE(ticksOf(axis, 100, 20).empty());
}

}  // namespace
}  // namespace beatwitness::widgets
