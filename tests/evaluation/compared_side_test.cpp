#include "core/evaluation/compared_side.h"

#include <gtest/gtest.h>

#include "core/evaluation/project_agreement.h"
#include "tests/evaluation/small_evidence.h"

using namespace beatwitness;
using evaluation::ComparedSide;
using evaluation::SessionEvidence;
using tests::evidence;

namespace {

/// 2031-03-02T09:00:00Z and a year of 365 days, both by the calendar.
constexpr Micros march2031{std::int64_t{1930208400} * 1'000'000};
constexpr Micros year{std::int64_t{365} * 86400 * 1'000'000};

SessionEvidence band(std::int64_t session, std::string firmware, double error, int years = 0) {
    auto one = evidence(session, "band", "row", {100, 110}, {100 + error, 110 + error});
    one.firmware = std::move(firmware);
    one.start = march2031 + years * year;
    return one;
}

std::vector<std::string> names(const std::vector<ComparedSide>& sides) {
    std::vector<std::string> list;
    for (const auto& side : sides)
        list.push_back(sideName(side));
    return list;
}

}  // namespace

TEST(ComparedSide, VersionsAndYearsAreOfferedWhereThereAreTwo) {
    const std::vector all{band(1, "2.10", 1), band(2, "2.9", 1), band(3, "2.10", 1, 1)};

    const auto sides = names(evaluation::sidesIn(all));

    EXPECT_EQ(sides, (std::vector<std::string>{"band", "band firmware 2.9", "band firmware 2.10",
                                               "band in 2031", "band in 2032"}));
}

TEST(ComparedSide, ADeviceOfOneFirmwareAndYearIsOneSide) {
    const std::vector all{band(1, "2.4", 1), band(2, "2.4", 1)};

    EXPECT_EQ(names(evaluation::sidesIn(all)), std::vector<std::string>{"band"});
}

TEST(ComparedSide, ASecondReferenceIsNone) {
    auto second = band(1, "", 1);
    second.secondReference = true;

    EXPECT_TRUE(evaluation::sidesIn({second}).empty());
    EXPECT_FALSE(evaluation::sideOf("band", {second}));
}

TEST(ComparedSide, EveryOfferedNameIsUnderstood) {
    const std::vector all{band(1, "2.4", 1), band(2, "2.5 firmware b", 1, 1)};

    for (const auto& side : evaluation::sidesIn(all))
        EXPECT_EQ(evaluation::sideOf(sideName(side), all), side) << sideName(side);
}

TEST(ComparedSide, ADeviceThatIsCalledLikeAVersionIsMeantItself) {
    auto odd = band(1, "2.4", 1);
    odd.device = "band firmware 2.4";

    const auto side = evaluation::sideOf("band firmware 2.4", {odd, band(2, "2.4", 1)});

    ASSERT_TRUE(side);
    EXPECT_EQ(side->device, "band firmware 2.4");
}

TEST(ComparedSide, AVersionThatWasNeverWornIsUnknown) {
    EXPECT_FALSE(evaluation::sideOf("band firmware 9", {band(1, "2.4", 1)}));
}

TEST(ComparedSide, VersionsCountTheirNumbers) {
    EXPECT_TRUE(evaluation::versionBefore("2.9", "2.10"));
    EXPECT_FALSE(evaluation::versionBefore("2.10", "2.9"));
    EXPECT_TRUE(evaluation::versionBefore("2", "2.1"));
    EXPECT_TRUE(evaluation::versionBefore("2.4a", "2.4b"));
    EXPECT_FALSE(evaluation::versionBefore("2.4", "2.4"));
}

// By hand: session errors 3 and 5 of the old firmware, 1 and 2 of the new: means 4 and 1.5. Welch by hand:
// variances 2 and 0.5, standard error sqrt(2/2 + 0.5/2) = 1.118034; t at 1.4706 df from scipy.stats.t.ppf.
TEST(ComparedSide, FirmwareVersionsOfADeviceAreComparedUnpaired) {
    const std::vector all{band(1, "2.4", 3), band(2, "2.4", 5), band(3, "2.5", 1), band(4, "2.5", 2)};
    evaluation::Question question;
    question.compare = {{"band firmware 2.4", "band firmware 2.5"}};

    const auto found = evaluation::comparisonsUnderBothClocks(all, question);

    ASSERT_EQ(found.size(), 2u) << "aligned and as recorded";
    EXPECT_FALSE(found[0].paired);
    EXPECT_FALSE(found[0].warning.empty());
    const auto& mae = *std::ranges::find(found[0].metrics, "mae_bpm", &evaluation::MetricDifference::key);
    EXPECT_DOUBLE_EQ(*mae.difference, 2.5);
    ASSERT_TRUE(mae.ci95);
    EXPECT_NEAR((mae.ci95->upper - mae.ci95->lower) / 2, 6.918522834776818, 1e-7);
}

TEST(ComparedSide, OneDeviceStandsOnBothSidesOfDifferentPairs) {
    const std::vector all{band(1, "2.4", 3), band(2, "2.5", 1)};
    evaluation::Question question;
    question.compare = {{"band firmware 2.4", "band"}, {"band", "band firmware 2.5"}};

    const auto found = evaluation::comparisonsUnderBothClocks(all, question);

    EXPECT_EQ(found.size(), 4u);
    EXPECT_EQ(found[0].sessionsA, 1u);
    EXPECT_EQ(found[0].sessionsB, 2u);
}
