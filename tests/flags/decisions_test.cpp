#include "core/flags/decisions.h"

#include <gtest/gtest.h>

using namespace beatwitness;
using flags::applyDecisions;
using flags::FlagDecision;
using flags::FlagKind;
using flags::Verdict;

namespace {

flags::Flag flagOn(FlagKind kind, double begin_s, double end_s) {
    flags::Flag flag;
    flag.kind = kind;
    flag.span = {sessionTime(begin_s), sessionTime(end_s)};
    return flag;
}

/// The test's clock is 100 s behind: its 0 is session second 100.
const flags::SessionClocks clocks{{{ReferenceTime{}, Seconds{100}, {}}, Micros{0}}, {{}, Micros{0}}};

RecordingTime ownTime(double seconds_s) {
    return RecordingTime{toMicros({seconds_s})};
}

FlagDecision decisionOn(Verdict verdict, FlagKind kind, double ownBegin_s, double ownEnd_s) {
    FlagDecision decision;
    decision.verdict = verdict;
    decision.kind = kind;
    decision.span = {ownTime(ownBegin_s), ownTime(ownEnd_s)};
    return decision;
}

}  // namespace

TEST(ApplyDecisions, DismissTheFlagUnderThemOnTheTracesOwnClock) {
    const std::vector flags{flagOn(FlagKind::Lag, 110, 150), flagOn(FlagKind::Lag, 300, 340)};
    const std::vector decisions{decisionOn(Verdict::Dismissed, FlagKind::Lag, 12, 49)};

    const auto decided = applyDecisions(flags, decisions, clocks);

    ASSERT_EQ(decided.flags.size(), 1u);
    EXPECT_EQ(secondsOf(decided.flags[0].span.begin), 300);
    EXPECT_EQ(decided.changedByHand, 1u);
    EXPECT_TRUE(decided.unmatched.empty());
}

TEST(ApplyDecisions, ReportADecisionThatFindsNoFlag) {
    const std::vector flags{flagOn(FlagKind::Lag, 110, 150)};
    const std::vector decisions{decisionOn(Verdict::Dismissed, FlagKind::Stuck, 500, 560)};

    const auto decided = applyDecisions(flags, decisions, clocks);

    ASSERT_EQ(decided.unmatched.size(), 1u);
    EXPECT_EQ(decided.unmatched[0], 0u);
    EXPECT_EQ(decided.flags.size(), 1u);
    EXPECT_EQ(decided.changedByHand, 0u);
}

TEST(ApplyDecisions, KeepWhatWasAddedWhateverTheAnalysisSays) {
    const std::vector decisions{decisionOn(Verdict::Added, FlagKind::Spike, 10, 12)};

    const auto decided = applyDecisions({}, decisions, clocks);

    ASSERT_EQ(decided.flags.size(), 1u);
    EXPECT_EQ(decided.flags[0].kind, FlagKind::Spike);
    EXPECT_EQ(decided.flags[0].unit, "bpm");
    EXPECT_EQ(secondsOf(decided.flags[0].span.begin), 110);
    EXPECT_TRUE(decided.flags[0].byHand);
}

TEST(ApplyDecisions, KeepAMovedFlagWhoseOriginalIsGone) {
    auto moved = decisionOn(Verdict::Moved, FlagKind::Lag, 10, 50);
    moved.newSpan = Span<RecordingClock>{ownTime(5), ownTime(60)};

    const auto decided = applyDecisions({}, std::vector{moved}, clocks);

    ASSERT_EQ(decided.flags.size(), 1u);
    EXPECT_EQ(secondsOf(decided.flags[0].span.end), 160);
    EXPECT_EQ(decided.unmatched.size(), 1u);
}

TEST(ApplyDecisions, PreferTheFlagOfTheKindThatWasDecidedOn) {
    const std::vector flags{flagOn(FlagKind::Adrift, 110, 150), flagOn(FlagKind::Lag, 112, 160)};
    auto relabelled = decisionOn(Verdict::Relabelled, FlagKind::Lag, 10, 50);
    relabelled.newKind = FlagKind::MissedRise;

    const auto decided = applyDecisions(flags, std::vector{relabelled}, clocks);

    EXPECT_EQ(decided.flags[0].kind, FlagKind::Adrift);
    EXPECT_EQ(decided.flags[1].kind, FlagKind::MissedRise);
    EXPECT_EQ(decided.flags[1].unit, "ratio");
}

TEST(ApplyDecisions, LetTheLatestRoundStand) {
    const std::vector flags{flagOn(FlagKind::Lag, 110, 150)};
    auto first = decisionOn(Verdict::Dismissed, FlagKind::Lag, 10, 50);
    auto second = decisionOn(Verdict::Kept, FlagKind::Lag, 10, 50);
    second.round = 2;

    const auto decided = applyDecisions(flags, std::vector{first, second}, clocks);

    EXPECT_EQ(decided.flags.size(), 1u);
    EXPECT_EQ(decided.kept, 1u);
    EXPECT_EQ(decided.changedByHand, 0u);
}

TEST(TraceClock, TakesAnInstantToTheSessionAndBack) {
    const auto time = ownTime(12.345678);

    EXPECT_EQ(clocks.test.toRecording(clocks.test.toSession(time)), time);
}

// Cohen 1960 by hand: 100 s, both say lag in 20, neither in 60, one alone in 10 each:
// p_o = 0.8, p_e = 0.3 * 0.3 + 0.7 * 0.7 = 0.58, kappa = 0.22 / 0.42.
TEST(KappaBySecond, MatchesTheHandWorkedExample) {
    const std::vector first{flagOn(FlagKind::Lag, 0, 29)}, second{flagOn(FlagKind::Lag, 10, 39)};

    const auto kappa = flags::kappaBySecond(first, second, 0, 99);

    ASSERT_TRUE(kappa);
    EXPECT_NEAR(*kappa, 0.22 / 0.42, 1e-12);
}

TEST(KappaBySecond, IsAbsentWhereBothSeeNothing) {
    EXPECT_FALSE(flags::kappaBySecond({}, {}, 0, 99));
}
