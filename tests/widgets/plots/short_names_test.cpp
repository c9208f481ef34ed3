#include "widgets/format/short_names.h"

#include <gtest/gtest.h>

using namespace beatwitness::widgets;

TEST(ShortNames, DropTheWordsThatAllFilesBeginWith) {
    EXPECT_EQ(shortNames({"ergometer-5x4-band", "ergometer-5x4-strap"}), (QStringList{"band", "strap"}));
    EXPECT_EQ(shortNames({"Hill walk band", "hill_walk.strap"}), (QStringList{"band", "strap"}));
}

TEST(ShortNames, KeepWordsThatOnlySomeFilesShare) {
    EXPECT_EQ(shortNames({"walk-strap", "walk-band-left", "walk-band-right"}),
              (QStringList{"strap", "band-left", "band-right"}));
}

TEST(ShortNames, NeverDropAWholeName) {
    EXPECT_EQ(shortNames({"walk-band", "walk-band-2"}), (QStringList{"band", "band-2"}));
    EXPECT_EQ(shortNames({"band", "band"}), (QStringList{"band", "band"}));
}

TEST(ShortNames, KeepAWordWhereOnlyFiguresWouldBeLeft) {
    EXPECT_EQ(shortNames({"walk-band-1", "walk-band-2"}), (QStringList{"band-1", "band-2"}));
}

TEST(ShortNames, LeaveASingleNameAndNamesWithoutWordsAlone) {
    EXPECT_EQ(shortNames({"ergometer-band"}), (QStringList{"ergometer-band"}));
    EXPECT_EQ(shortNames({"", "---"}), (QStringList{"", "---"}));
}

TEST(ShortNames, NumberNamesThatStandThereTwice) {
    EXPECT_EQ(numberedWhereAlike({"strap", "band", "band"}), (QStringList{"strap", "band 1", "band 2"}));
}
