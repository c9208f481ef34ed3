#include "core/foundation/text.h"

#include <gtest/gtest.h>

using namespace beatwitness;

// `date -u -d @1930380000.0005 --iso-8601=ns` for the seconds; milliseconds by hand.
TEST(IsoInstant, RoundsToTheNearestMillisecond) {
    EXPECT_EQ(isoInstant(Micros{1'930'380'000'000'499}), "2031-03-04T08:40:00.000Z");
    EXPECT_EQ(isoInstant(Micros{1'930'380'000'000'500}), "2031-03-04T08:40:00.001Z");
}

TEST(IsoInstant, CountsBackwardsBefore1970) {
    EXPECT_EQ(isoInstant(Micros{-1'000'000}), "1969-12-31T23:59:59.000Z");
}

TEST(SessionClockText, ShowsHoursOnlyWhereThereAreAny) {
    EXPECT_EQ(sessionClockText(245), "4:05");
    EXPECT_EQ(sessionClockText(3723), "1:02:03");
    EXPECT_EQ(sessionClockText(-12), "-0:12");
    EXPECT_EQ(sessionClockText(-0.3), "0:00");
}

TEST(Printable, ReplacesControlCharactersAndBrokenUtf8) {
    EXPECT_EQ(printable("a\nb\xFF\xC3"), "a?b??");
    EXPECT_EQ(printable("caf\xC3\xA9"), "caf\xC3\xA9");
}

TEST(Printable, CutsByCharactersNotBytes) {
    EXPECT_EQ(printable("\xC3\xA9\xC3\xA9\xC3\xA9", 2), "\xC3\xA9\xC3\xA9…");
}
