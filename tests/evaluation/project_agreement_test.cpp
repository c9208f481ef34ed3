#include "core/evaluation/project_agreement.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using evaluation::Clock;
using evaluation::GroupKey;
using evaluation::SessionEvidence;

namespace {

/// One wearing whose pairs are the same under both clocks.
SessionEvidence evidence(std::int64_t session, std::string device, std::string activity,
                         const std::vector<double>& reference_bpm, const std::vector<double>& test_bpm) {
    SessionEvidence one;
    one.session = session;
    one.sessionName = "session " + std::to_string(session);
    one.device = std::move(device);
    one.activity = std::move(activity);
    one.wearer = "wearer 1";
    one.aligned.sums = agreement::sumsOf(tests::pairsOf(reference_bpm, test_bpm));
    one.aligned.byRange = {{100, one.aligned.sums}};
    one.aligned.ownSpanSeconds = one.aligned.sums.n;
    one.asRecorded = one.aligned;
    return one;
}

std::string label(const evaluation::AgreementGroup& group, GroupKey key) {
    for (const auto& [found, text] : group.by)
        if (found == key) return text;
    return "?";
}

}  // namespace

TEST(PooledGroups, EveryGroupAppearsUnderBothClocks) {
    const auto groups =
        evaluation::pooledGroups({evidence(1, "band", "row", {100, 110}, {101, 111})}, {GroupKey::Device});

    ASSERT_EQ(groups.size(), 2u);
    EXPECT_EQ(groups[0].clock, Clock::Aligned);
    EXPECT_EQ(groups[1].clock, Clock::AsRecorded);
}

// By hand: session means of the error 1 and 3; time-weighted (2 x 1 + 4 x 3) / 6.
TEST(PooledGroups, TimeAndSessionWeightsDiffer) {
    const auto groups =
        evaluation::pooledGroups({evidence(1, "band", "row", {100, 100}, {101, 101}),
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

    const auto byDevice = evaluation::pooledGroups(all, {GroupKey::Device});
    const auto byBoth = evaluation::pooledGroups(all, {GroupKey::Activity, GroupKey::Device});

    EXPECT_EQ(byDevice.size(), 4u);
    ASSERT_EQ(byBoth.size(), 6u);
    EXPECT_EQ(label(byBoth[2], GroupKey::Activity), "walk");
    EXPECT_EQ(label(byBoth[2], GroupKey::Device), "band");
}

TEST(PooledGroups, TwoUnitsInOneSessionAreOneSamplingUnit) {
    const auto groups = evaluation::pooledGroups({evidence(1, "band", "row", {100, 100}, {101, 101}),
                                                  evidence(1, "band", "row", {100, 100}, {103, 103})},
                                                 {GroupKey::Device});

    EXPECT_EQ(groups[0].sessions, 1u);
    EXPECT_FALSE(groups[0].timeWeighted.bias.ci95);
}

TEST(PooledGroups, RangesAreLabelledByTheirEdgesAndHaveNoCoverage) {
    const auto groups =
        evaluation::pooledGroups({evidence(1, "band", "row", {100, 110}, {101, 111})}, {GroupKey::Range});

    EXPECT_EQ(label(groups[0], GroupKey::Range), "100-119");
    EXPECT_FALSE(groups[0].coverage);
}

TEST(PooledGroups, CoverageIsPairsOverReferenceSeconds) {
    auto one = evidence(1, "band", "row", {100, 100}, {101, 101});
    one.aligned.sums.referenceSeconds = 8;
    one.aligned.ownSpanSeconds = 4;

    const auto groups = evaluation::pooledGroups({one}, {GroupKey::Device});

    EXPECT_DOUBLE_EQ(groups[0].coverage->value, 25);
    EXPECT_DOUBLE_EQ(groups[0].ownSpanCoverage->value, 50);
}

TEST(PooledGroups, RefusedSessionsAreCountedUnderBothClocks) {
    auto one = evidence(1, "band", "row", {100, 100}, {101, 101});
    one.refused = true;

    const auto groups = evaluation::pooledGroups({one}, {GroupKey::Device});

    EXPECT_EQ(groups[0].sessionsRefused, 1u);
    EXPECT_EQ(groups[1].sessionsRefused, 1u);
}
