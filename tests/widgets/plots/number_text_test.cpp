#include "widgets/format/number_text.h"

#include <gtest/gtest.h>

#include "tests/widgets/plots/demo_session.h"

using namespace beatwitness;
using namespace beatwitness::widgets;

TEST(NumberText, WritesErrorsWithARealMinusAndAPlus) {
    EXPECT_EQ(errorText(BpmDelta{-3.14}), "\u22123.1\u00A0bpm");
    EXPECT_EQ(errorText(BpmDelta{0.42}), "+0.4\u00A0bpm");
}

TEST(NumberText, NeverWritesASignedZero) {
    EXPECT_EQ(signedText(-0.04), "0.0");
    EXPECT_EQ(signedText(0.04), "0.0");
}

TEST(NumberText, ShowsWhatCannotBeHadAsADash) {
    EXPECT_EQ(errorText(std::nullopt), "\u2014");
    EXPECT_EQ(percentText(std::nullopt), "\u2014");
    EXPECT_EQ(numberText(std::nan("")), "\u2014");
    EXPECT_EQ(offsetText(alignment::Alignment{}), "\u2014");
}

TEST(NumberText, WritesSessionTimeInMinutesAndFromAnHourInHours) {
    EXPECT_EQ(sessionTimeText(245), "04:05");
    EXPECT_EQ(sessionTimeText(3723.4), "1:02:03");
    EXPECT_EQ(sessionTimeText(-12), "\u221200:12");
    EXPECT_EQ(sessionTimeText(-0.2), "00:00");
    EXPECT_EQ(sessionTimeText(3599.7), "1:00:00");
}

TEST(NumberText, WritesLengthsOfTimeInTheUnitThatFits) {
    EXPECT_EQ(durationText(42), "42\u00A0s");
    EXPECT_EQ(durationText(48 * 60), "48\u00A0min");
    EXPECT_EQ(durationText(3 * 3600 + 5 * 60), "3\u00A0h 05\u00A0min");
}

TEST(NumberText, WritesAnOffsetWithItsInterval) {
    EXPECT_EQ(offsetText(widgets_test::demoAlignment()), "+3.4\u00A0s (3.1 to 3.8)");
}

TEST(NumberText, TellsDevicesOfOneNameApart) {
    auto session = *widgets_test::sessionOf(
        widgets_test::steady(0, 9, 100), {widgets_test::steady(0, 9, 100), widgets_test::steady(0, 9, 100)});
    EXPECT_EQ(testName(session, 1), "watch");

    session.tests[1].file.file = "other/band.csv";

    EXPECT_EQ(testName(session, 0), "band 1");
    EXPECT_EQ(testName(session, 1), "band 2");
}

// 2031-03-02T09:00:00Z is the start of every demo session.
TEST(NumberText, WritesTheWallClockWithItsZone) {
    auto session =
        *widgets_test::sessionOf(widgets_test::steady(0, 9, 100), {widgets_test::steady(0, 9, 100)});
    EXPECT_EQ(wallClockText(session, 65), "09:01:05 UTC");

    session.reference.recording.clock = recording::ClockBasis::None;

    EXPECT_EQ(wallClockText(session, 65), "\u2014");
}
