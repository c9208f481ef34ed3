#include "core/report/figures/offset_scene.h"

#include <gtest/gtest.h>

namespace beatwitness::tests {
namespace {

using namespace report;

template <class Wanted>
std::vector<Wanted> marksOf(const Scene& scene) {
    std::vector<Wanted> found;
    for (const auto& mark : scene.rows.at(0).panels.at(0).marks)
        if (const auto* one = std::get_if<Wanted>(&mark)) found.push_back(*one);
    return found;
}

TEST(OffsetScene, WholeHalfHoursAreSplitOff) {
    EXPECT_EQ(splitOffset(3603.5).halfHours_s, 3600);
    EXPECT_DOUBLE_EQ(splitOffset(3603.5).rest_s, 3.5);
    EXPECT_EQ(splitOffset(-1802).halfHours_s, -1800);
    EXPECT_DOUBLE_EQ(splitOffset(-1802).rest_s, -2);
    EXPECT_EQ(splitOffset(12).halfHours_s, 0);
}

TEST(OffsetScene, ARefusedSessionIsNamedAndNotDrawn) {
    const std::vector<SessionOffset> offsets{{"one", "band", 0, 2.0}, {"two", "band", 0, std::nullopt}};

    const auto scene = offsetsScene(offsets, {});

    EXPECT_EQ(marksOf<Points>(scene).size(), 1u);
    EXPECT_EQ(marksOf<Word>(scene).at(0).text, "band not aligned");
    EXPECT_EQ(scene.rows[0].panels[0].y.categories, (std::vector<std::string>{"one", "two"}));
}

// Of 1, 2 and 3603 (3 after its hour) the middle is 2.
TEST(OffsetScene, TheMedianOfADeviceIsThatOfTheRests) {
    const std::vector<SessionOffset> offsets{
        {"one", "band", 0, 1.0}, {"two", "band", 0, 3603.0}, {"three", "band", 0, 2.0}};

    const auto scene = offsetsScene(offsets, {});

    EXPECT_DOUBLE_EQ(marksOf<Rule>(scene).at(0).shift, 2.0);
    EXPECT_EQ(scene.legend.at(0).label, "band, median +2.0 s");
}

}  // namespace
}  // namespace beatwitness::tests
