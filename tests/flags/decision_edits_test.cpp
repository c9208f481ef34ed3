#include "core/flags/decision_edits.h"

#include <gtest/gtest.h>

#include "core/flags/review_passes.h"

using namespace beatwitness;
using namespace beatwitness::flags;

namespace {

Flag flagOn(FlagKind kind, double begin_s, double end_s) {
    Flag flag;
    flag.kind = kind;
    flag.span = {sessionTime(begin_s), sessionTime(end_s)};
    return flag;
}

/// The test's clock is 100 s behind: its 0 is session second 100.
Deciding deciding(std::int64_t nextId) {
    return {false, 1, Micros{5}, {{ReferenceTime{}, Seconds{100}, {}}, Micros{0}}, nextId};
}

DecidedFlags applied(const std::vector<Flag>& found, const std::vector<FlagDecision>& decisions) {
    const auto clock = deciding(1).clock;
    return applyDecisions(found, decisions, {clock, clock});
}

FlagDecision ofRoundNumber(int round) {
    FlagDecision decision;
    decision.round = round;
    return decision;
}

}  // namespace

TEST(DecisionEdits, MovingARelabelledFlagKeepsItsNewKind) {
    const std::vector found{flagOn(FlagKind::Lag, 110, 150)};
    const auto relabelled =
        decided({}, found[0], {Verdict::Relabelled, FlagKind::Stuck, {}, {}, {}}, deciding(1));
    const auto shown = applied(found, relabelled).flags.at(0);

    const auto moved = decided(
        relabelled, shown,
        {Verdict::Moved, {}, trace::SessionSpan{sessionTime(112), sessionTime(160)}, {}, {}}, deciding(2));
    const auto flag = applied(found, moved).flags.at(0);

    ASSERT_EQ(moved.size(), 1u);
    EXPECT_EQ(flag.kind, FlagKind::Stuck);
    EXPECT_DOUBLE_EQ(secondsOf(flag.span.end), 160);
}

TEST(DecisionEdits, KeepingADismissedFlagBringsItBackAsItWasFound) {
    const std::vector found{flagOn(FlagKind::Lag, 110, 150)};
    const auto dismissed = decided({}, found[0], {Verdict::Dismissed, {}, {}, {}, {}}, deciding(1));
    ASSERT_TRUE(applied(found, dismissed).flags.empty());

    const auto kept = decided(dismissed, applied(found, dismissed).dismissed.at(0),
                              {Verdict::Kept, {}, {}, {}, {}}, deciding(2));
    const auto decidedFlags = applied(found, kept);

    ASSERT_EQ(decidedFlags.flags.size(), 1u);
    EXPECT_FALSE(decidedFlags.flags[0].byHand);
    EXPECT_EQ(decidedFlags.kept, 1u);
}

TEST(DecisionEdits, DismissingAnAddedFlagLeavesNoDecision) {
    const auto added =
        withAdded({}, FlaggedTrace::Test, FlagKind::Spike, {sessionTime(200), sessionTime(210)}, deciding(1));

    const auto after =
        decided(added, applied({}, added).flags.at(0), {Verdict::Dismissed, {}, {}, {}, {}}, deciding(2));

    EXPECT_TRUE(after.empty());
}

TEST(DecisionEdits, StandOnTheTracesOwnClock) {
    const auto added =
        withAdded({}, FlaggedTrace::Test, FlagKind::Spike, {sessionTime(200), sessionTime(210)}, deciding(1));

    // By hand: 100 s less, in microseconds.
    EXPECT_EQ(added.at(0).span.begin.time_since_epoch().count(), 100'000'000);
}

TEST(ReviewPasses, AnOpenPassChangesNothingUntilItIsFinished) {
    const std::vector decisions{ofRoundNumber(1), ofRoundNumber(2)};
    std::vector<ReviewPass> passes{{2, false, Micros{1}, {}}};

    const auto during = inForce(decisions, passes);
    passes[0].finished = Micros{9};
    const auto after = inForce(decisions, passes);

    ASSERT_EQ(during.size(), 1u);
    EXPECT_EQ(during[0].round, 1);
    EXPECT_EQ(after.size(), 2u);
}

TEST(ReviewPasses, AnOpenPassHidesWhatWasDecidedBefore) {
    const std::vector decisions{ofRoundNumber(1), ofRoundNumber(2)};

    const auto seen = inSight(decisions, std::vector<ReviewPass>{{2, false, Micros{1}, {}}});

    ASSERT_EQ(seen.size(), 1u);
    EXPECT_EQ(seen[0].round, 2);
}
