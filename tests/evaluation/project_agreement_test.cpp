#include "core/evaluation/project_agreement.h"

#include <gtest/gtest.h>

#include "tests/evaluation/small_evidence.h"

using namespace beatwitness;
using evaluation::Clock;
using evaluation::GroupKey;
using evaluation::SessionEvidence;
using tests::evidence;

namespace {

std::vector<evaluation::AgreementGroup> pooled(const std::vector<SessionEvidence>& evidence,
                                               std::vector<GroupKey> by) {
    evaluation::Question question;
    question.by = std::move(by);
    return evaluation::pooledGroups(evidence, question);
}

std::string label(const evaluation::AgreementGroup& group, GroupKey key) {
    for (const auto& [found, text] : group.by)
        if (found == key) return text;
    return "?";
}

}  // namespace

TEST(PooledGroups, EveryGroupAppearsUnderBothClocks) {
    const auto groups = pooled({evidence(1, "band", "row", {100, 110}, {101, 111})}, {GroupKey::Device});

    ASSERT_EQ(groups.size(), 2u);
    EXPECT_EQ(groups[0].clock, Clock::Aligned);
    EXPECT_EQ(groups[1].clock, Clock::AsRecorded);
}

// By hand: session means of the error 1 and 3; time-weighted (2 x 1 + 4 x 3) / 6.
TEST(PooledGroups, TimeAndSessionWeightsDiffer) {
    const auto groups = pooled({evidence(1, "band", "row", {100, 100}, {101, 101}),
                                evidence(2, "band", "row", {100, 100, 100, 100}, {103, 103, 103, 103})},
                               {GroupKey::Device});

    EXPECT_EQ(groups[0].sessions, 2u);
    EXPECT_NEAR(*groups[0].timeWeighted.bias.value, 14.0 / 6, 1e-12);
    EXPECT_NEAR(*groups[0].sessionWeighted.bias.value, 2.0, 1e-12);
}

TEST(PooledGroups, GroupsSplitByWhatIsAsked) {
    const std::vector all{evidence(1, "band", "row", {100, 100}, {101, 101}),
                          evidence(2, "band", "walk", {100, 100}, {103, 103}),
                          evidence(2, "watch", "walk", {100, 100}, {100, 100})};

    const auto byDevice = pooled(all, {GroupKey::Device});
    const auto byBoth = pooled(all, {GroupKey::Activity, GroupKey::Device});

    EXPECT_EQ(byDevice.size(), 4u);
    ASSERT_EQ(byBoth.size(), 6u);
    EXPECT_EQ(label(byBoth[2], GroupKey::Activity), "walk");
    EXPECT_EQ(label(byBoth[2], GroupKey::Device), "band");
}

TEST(PooledGroups, TwoUnitsInOneSessionAreOneSamplingUnit) {
    const auto groups = pooled({evidence(1, "band", "row", {100, 100}, {101, 101}),
                                evidence(1, "band", "row", {100, 100}, {103, 103})},
                               {GroupKey::Device});

    EXPECT_EQ(groups[0].sessions, 1u);
    EXPECT_FALSE(groups[0].timeWeighted.bias.ci95);
}

TEST(PooledGroups, RangesAreLabelledByTheirEdgesLowerInclusive) {
    const auto groups = pooled({evidence(1, "band", "row", {119, 120}, {121, 121})}, {GroupKey::Range});

    ASSERT_EQ(groups.size(), 4u);
    EXPECT_EQ(label(groups[0], GroupKey::Range), "100-119");
    EXPECT_EQ(label(groups[2], GroupKey::Range), "120-139");
    EXPECT_DOUBLE_EQ(*groups[0].timeWeighted.bias.value, 2);
    EXPECT_DOUBLE_EQ(*groups[2].timeWeighted.bias.value, 1);
}

// By hand: 2 pairs of 8 reference seconds; the device's own recording covers 4 of them.
TEST(PooledGroups, CoverageIsPairsOverReferenceSeconds) {
    const auto one =
        evidence(1, "band", "row", {100, 100, 100, 100, 100, 100, 100, 100}, {0, 0, 101, 0, 0, 101, 0, 0});

    const auto groups = pooled({one}, {GroupKey::Device});

    EXPECT_DOUBLE_EQ(groups[0].coverage->value, 25);
    EXPECT_DOUBLE_EQ(groups[0].ownSpanCoverage->value, 50);
    EXPECT_DOUBLE_EQ(groups[0].lateStartSeconds, 2);
    EXPECT_DOUBLE_EQ(groups[0].earlyStopSeconds, 2);
}

TEST(PooledGroups, RefusedSessionsAreCountedUnderBothClocks) {
    auto one = evidence(1, "band", "row", {100, 100}, {101, 101});
    one.refused = true;

    const auto groups = pooled({one}, {GroupKey::Device});

    EXPECT_EQ(groups[0].sessionsRefused, 1u);
    EXPECT_EQ(groups[1].sessionsRefused, 1u);
}

TEST(PooledGroups, SecondsInsideAPhaseMakeItsGroup) {
    auto one = evidence(1, "band", "row", {100, 100, 100, 100}, {101, 102, 103, 104});
    one.phases = {{"first set", "set", 1, 3}};

    const auto groups = pooled({one}, {GroupKey::Phase});

    ASSERT_EQ(groups.size(), 2u);
    EXPECT_EQ(label(groups[0], GroupKey::Phase), "first set");
    EXPECT_EQ(groups[0].pairs, 2);
    EXPECT_DOUBLE_EQ(*groups[0].timeWeighted.bias.value, 2.5);
}

TEST(PooledGroups, PhasesCanBePickedByLabelOrKind) {
    auto one = evidence(1, "band", "row", {100, 100, 100, 100}, {101, 102, 103, 104});
    one.phases = {{"first set", "set", 0, 1}, {"second set", "set", 3, 4}, {"rest", "rest", 1, 3}};
    evaluation::Question question;
    question.by = {GroupKey::Device};
    question.phases = {"set"};

    const auto byKind = evaluation::pooledGroups({one}, question);
    question.phases = {"second set"};
    const auto byLabel = evaluation::pooledGroups({one}, question);

    EXPECT_DOUBLE_EQ(*byKind[0].timeWeighted.bias.value, 2.5);
    EXPECT_DOUBLE_EQ(*byLabel[0].timeWeighted.bias.value, 4);
}

// By hand, epochs of 2 s: (100, 102) and (110, 114) pair; the third has one pair of two seconds, which is
// half; the fourth none. Means of errors: 1.5, 5, 2.
TEST(PooledGroups, AnEpochCountsWhereHalfOfItsSecondsArePairs) {
    const auto one = evidence(1, "band", "row", {100, 102, 110, 114, 100, 100, 100, 100},
                              {101, 104, 115, 119, 102, 0, 0, 0});
    evaluation::Question question;
    question.by = {GroupKey::Device};
    question.epoch_s = 2;

    const auto groups = evaluation::pooledGroups({one}, question);

    EXPECT_EQ(groups[0].pairs, 3);
    EXPECT_DOUBLE_EQ(*groups[0].timeWeighted.bias.value, (1.5 + 5 + 2) / 3);
    EXPECT_DOUBLE_EQ(groups[0].coverage->value, 75);
}

TEST(PooledGroups, SecondReferencesAreNoDevices) {
    auto one = evidence(1, "second strap", "row", {100, 100}, {101, 101});
    one.secondReference = true;

    EXPECT_TRUE(pooled({one}, {GroupKey::Device}).empty());
}

TEST(PooledGroups, FewWearersAreGivenOneByOneBesideThePooledFigure) {
    auto other = evidence(2, "band", "row", {100, 100}, {104, 104});
    other.wearer = "wearer 2";

    const auto groups =
        pooled({evidence(1, "band", "row", {100, 100}, {101, 101}), other}, {GroupKey::Device});

    ASSERT_EQ(groups[0].byWearer.size(), 2u);
    EXPECT_DOUBLE_EQ(*groups[0].byWearer[1].timeWeighted.bias.value, 4);
    EXPECT_NE(groups[0].timeWeighted.bias.method.find("sessions"), std::string::npos);
}

TEST(PooledGroups, FromSixWearersOnTheWearerIsTheUnit) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 12; ++i) {
        all.push_back(evidence(i, "band", "row", {100, 100}, {100.0 + i, 101}));
        all.back().wearer = "wearer " + std::to_string(i / 2);
    }

    const auto groups = pooled(all, {GroupKey::Device});

    EXPECT_TRUE(groups[0].byWearer.empty());
    EXPECT_NE(groups[0].timeWeighted.bias.method.find("t over wearers, 5 df"), std::string::npos)
        << groups[0].timeWeighted.bias.method;
}
