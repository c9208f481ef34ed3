#include "core/evaluation/narrowed_evidence.h"

#include <gtest/gtest.h>

#include "tests/evaluation/small_evidence.h"
#include "tests/support/small_traces.h"

namespace beatwitness::tests {
namespace {

using namespace evaluation;

std::vector<SessionEvidence> twoDevices() {
    return {evidence(1, "band", "ride", {100, 119, 120, 139, 140}, {101, 119, 118, 139, 0}),
            evidence(1, "watch", "ride", {100, 119, 120, 139, 140}, {100, 120, 121, 140, 141}),
            evidence(2, "band", "rest", {60, 61}, {60, 62})};
}

TEST(NarrowedEvidence, AsksForNothingAndKeepsTheVerySeconds) {
    const auto all = twoDevices();

    const auto same = narrowed(all, {});

    ASSERT_EQ(same.size(), 3U);
    EXPECT_EQ(same[0].aligned.seconds, all[0].aligned.seconds);
}

// By hand: of 100, 119, 120, 139, 140 the range 120-139 holds the third and fourth, errors -2 and 0.
TEST(NarrowedEvidence, TakesTheSecondsOfARangeWithItsLowerEdge) {
    Scope scope;
    scope.ranges = {120};
    scope.devices = {"band"};
    scope.activities = {"ride"};

    const auto kept = narrowed(twoDevices(), scope);

    ASSERT_EQ(kept.size(), 1U);
    EXPECT_DOUBLE_EQ(kept[0].aligned.summary.sums.n, 2);
    EXPECT_DOUBLE_EQ(kept[0].aligned.summary.sums.absolute, 2);
}

// By hand: a phase from 1 s up to but not including 3 s holds seconds 1 and 2, one of them excluded.
TEST(NarrowedEvidence, TakesTheSecondsInsidePhasesByKindOrLabel) {
    auto all = twoDevices();
    all[0].phases = {{"set 1", "set", 1, 3}, {"rest", "recovery", 3, 5}};
    all[0].excluded = {2, 4};
    Scope byKind, byLabel;
    byKind.phases = {"set"};
    byKind.sessions = {1};
    byKind.devices = {"band"};
    byLabel = byKind;
    byLabel.phases = {"set 1"};

    const auto kind = narrowed(all, byKind), label = narrowed(all, byLabel);

    ASSERT_EQ(kind.size(), 1U);
    EXPECT_EQ(kind[0].aligned.seconds->seconds, (std::vector<std::int32_t>{1, 2}));
    EXPECT_EQ(kind[0].excluded, (std::vector<std::int32_t>{2}));
    EXPECT_EQ(label[0].aligned.seconds->seconds, kind[0].aligned.seconds->seconds);
}

TEST(NarrowedEvidence, KeepsSecondReferencesWhateverTheDevice) {
    auto all = twoDevices();
    all[1].secondReference = true;
    Scope scope;
    scope.devices = {"band"};

    const auto kept = narrowed(all, scope);

    EXPECT_EQ(std::ranges::count_if(kept, &SessionEvidence::secondReference), 1);
}

}  // namespace
}  // namespace beatwitness::tests
