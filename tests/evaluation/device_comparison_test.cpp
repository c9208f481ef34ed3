#include "core/evaluation/device_comparison.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/evaluation/small_evidence.h"

using namespace beatwitness;
using evaluation::Clock;
using evaluation::DeviceComparison;
using evaluation::MetricDifference;
using evaluation::SessionEvidence;
using tests::evidence;

namespace {

std::vector<DeviceComparison> compared(const std::vector<SessionEvidence>& all,
                                       std::optional<double> margin = {}) {
    evaluation::Question question;
    question.compare = {{"band", "watch"}};
    question.margin_bpm = margin;
    return evaluation::compareDevices(all, question, Clock::Aligned);
}

const MetricDifference& metric(const DeviceComparison& comparison, std::string_view key) {
    return *std::ranges::find(comparison.metrics, key, &MetricDifference::key);
}

/// Both devices in one session with errors of their own.
void addShared(std::vector<SessionEvidence>& all, std::int64_t session, double band, double watch,
               const std::string& activity = "row") {
    all.push_back(evidence(session, "band", activity, {100, 110}, {100 + band, 110 + band}));
    all.push_back(evidence(session, "watch", activity, {100, 110}, {100 + watch, 110 + watch}));
}

}  // namespace

// By hand: band has 1 and 9 where both measure 1 and 9 - but the third second, without the watch, is left
// out.
TEST(DeviceComparison, OnlySecondsInWhichBothMeasureCount) {
    std::vector<SessionEvidence> all{evidence(1, "band", "row", {100, 100, 100}, {101, 101, 140}),
                                     evidence(1, "watch", "row", {100, 100, 100}, {103, 103, 0})};
    addShared(all, 2, 1, 3);

    const auto found = compared(all);

    ASSERT_EQ(found.size(), 1u);
    EXPECT_TRUE(found[0].paired);
    EXPECT_EQ(found[0].seconds, 4);
    EXPECT_DOUBLE_EQ(*metric(found[0], "mae_bpm").difference, -2);
    EXPECT_EQ(found[0].ownA.pairs, 5) << "each also on its own pairs";
}

// By hand: differences 1, 2, 3: mean 2, 2 +- 4.302653 / sqrt(3); all of one sign: p = 2 / 8.
TEST(DeviceComparison, SharedSessionsArePaired) {
    std::vector<SessionEvidence> all;
    for (int i = 1; i <= 3; ++i)
        addShared(all, i, 2.0 * i, i);

    const auto found = compared(all);

    const auto& mae = metric(found[0], "mae_bpm");
    EXPECT_DOUBLE_EQ(*mae.difference, 2);
    EXPECT_NEAR(mae.ci95->lower, 2 - 4.302652730 / std::sqrt(3.0), 1e-8);
    EXPECT_DOUBLE_EQ(*mae.signFlipP, 0.25);
    EXPECT_NE(mae.method.find("no lower than 0.25"), std::string::npos) << mae.method;
    EXPECT_TRUE(found[0].warning.empty());
}

TEST(DeviceComparison, SwappedDevicesTurnTheSign) {
    std::vector<SessionEvidence> all;
    for (int i = 1; i <= 4; ++i)
        addShared(all, i, 2.0 * i, 5 - i);
    evaluation::Question question;
    question.compare = {{"watch", "band"}};

    const auto there = compared(all), back = evaluation::compareDevices(all, question, Clock::Aligned);

    for (const auto& facts : agreement::metrics()) {
        const auto difference = metric(there[0], facts.key).difference;
        const auto turned = metric(back[0], facts.key).difference;
        EXPECT_NEAR(turned.value_or(0), -difference.value_or(0), 1e-12) << facts.key;
    }
}

TEST(DeviceComparison, DifferentSessionsAreComparedWithAWarning) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 3; ++i) {
        all.push_back(evidence(i, "band", "row", {100, 110}, {102.0 + i, 112.0 + i}));
        all.push_back(evidence(10 + i, "watch", "row", {100, 110}, {101.0 + i, 111.0 + i}));
    }

    const auto found = compared(all);

    EXPECT_FALSE(found[0].paired);
    EXPECT_FALSE(found[0].warning.empty());
    EXPECT_DOUBLE_EQ(*metric(found[0], "mae_bpm").difference, 1);
    EXPECT_NE(metric(found[0], "mae_bpm").method.find("Welch"), std::string::npos);
    EXPECT_FALSE(metric(found[0], "mae_bpm").signFlipP);
}

// By hand: rowing differs by 1 in four sessions, walking by 5 in two: equal weights give 3, not 14 / 6.
TEST(DeviceComparison, ActivitiesWeighAlikeInTheirMean) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 4; ++i)
        addShared(all, i, 2.0 + 0.1 * i, 1.0 + 0.1 * i, "row");
    for (int i = 4; i < 6; ++i)
        addShared(all, i, 6.0 + 0.5 * i, 1.0 + 0.5 * i, "walk");

    const auto found = compared(all);

    ASSERT_EQ(found.size(), 4u);
    EXPECT_TRUE(found[3].allActivities);
    EXPECT_FALSE(found[3].bySession);
    EXPECT_NEAR(*metric(found[3], "mae_bpm").difference, 3, 1e-9);
}

// By hand: the same: each session alike gives (4 x 1 + 2 x 5) / 6; sample sd sqrt((4 x (4/3)^2 + 2 x (8/3)^2)
// / 5) = 2.0655911, t(0.975, 5) = 2.5705818 from a table: half-width 2.1677.
TEST(DeviceComparison, SessionsWeighAlikeBeside) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 4; ++i)
        addShared(all, i, 2.0, 1.0, "row");
    for (int i = 4; i < 6; ++i)
        addShared(all, i, 6.0, 1.0, "walk");

    const auto found = compared(all);

    EXPECT_TRUE(found[2].bySession);
    EXPECT_EQ(found[2].sessions, 6u);
    const auto& mae = metric(found[2], "mae_bpm");
    EXPECT_NEAR(*mae.difference, 14.0 / 6, 1e-9);
    ASSERT_TRUE(mae.ci95);
    EXPECT_NEAR(mae.ci95->upper - *mae.difference, 2.5705818 * 2.0655911 / std::sqrt(6.0), 1e-6);
}

// By hand: 1, 2, ... differences of one sign: p 0.25 with 3 and 0.125 with 4 sessions; Holm: 2 x 0.125, then
// 0.25.
TEST(DeviceComparison, SeveralActivitiesAreAdjustedByHolm) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 3; ++i)
        addShared(all, i, 3.0 + i, 1, "row");
    for (int i = 3; i < 7; ++i)
        addShared(all, i, 3.0 + i, 1, "walk");

    const auto found = compared(all);

    EXPECT_DOUBLE_EQ(*metric(found[0], "mae_bpm").holmP, 0.25);
    EXPECT_DOUBLE_EQ(*metric(found[1], "mae_bpm").holmP, 0.25);
    EXPECT_FALSE(metric(found[2], "mae_bpm").holmP);
}

TEST(DeviceComparison, OneComparisonIsNotAdjusted) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 3; ++i)
        addShared(all, i, 3.0 + i, 1);

    EXPECT_FALSE(metric(compared(all)[0], "mae_bpm").holmP);
}

TEST(DeviceComparison, AMarginAsksForEquivalence) {
    std::vector<SessionEvidence> all;
    for (int i = 0; i < 6; ++i)
        addShared(all, i, 2.0 + 0.1 * i, 2.0);

    const auto wide = compared(all, 3.0), narrow = compared(all, 0.2);

    EXPECT_TRUE(metric(wide[0], "mae_bpm").equivalence->equivalent);
    EXPECT_FALSE(metric(narrow[0], "mae_bpm").equivalence->equivalent);
}
