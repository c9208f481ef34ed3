#include "core/agreement/attribution.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using agreement::attributionOf;
using agreement::attributionRows;
using flags::FlagKind;

namespace {

flags::Flag flagOn(FlagKind kind, double begin_s, double end_s,
                   flags::FlaggedTrace on = flags::FlaggedTrace::Test) {
    flags::Flag flag;
    flag.kind = kind;
    flag.on = on;
    flag.span = {sessionTime(begin_s), sessionTime(end_s)};
    return flag;
}

/// Errors 0, 5, 12, -60, -60, 20 at session seconds 0 to 5.
trace::Pairs sixPairs() {
    return tests::pairsOf({120, 120, 120, 120, 120, 120}, {120, 125, 132, 60, 60, 140});
}

}  // namespace

// By hand: half-rate 120, lag 20, within tolerance 0 + 5 + 12 (10 % of 120 is 12, inclusive), no flag none.
TEST(Attribution, MatchesTheHandWorkedExample) {
    const std::vector flags{flagOn(FlagKind::HalfRate, 3, 4), flagOn(FlagKind::Lag, 5, 5)};

    const auto rows = attributionRows(attributionOf(sixPairs(), flags));

    ASSERT_EQ(rows.size(), 4u);
    EXPECT_EQ(rows[0].kind, "half-rate");
    EXPECT_DOUBLE_EQ(rows[0].seconds, 2);
    EXPECT_DOUBLE_EQ(rows[0].contribution.value, 20);
    EXPECT_NEAR(rows[0].share.value, 100 * 120.0 / 157, 1e-12);
    EXPECT_EQ(rows[1].kind, "lag");
    EXPECT_NEAR(rows[1].contribution.value, 20.0 / 6, 1e-12);
    EXPECT_EQ(rows[2].kind, "within tolerance");
    EXPECT_NEAR(rows[2].contribution.value, 17.0 / 6, 1e-12);
    EXPECT_EQ(rows[3].kind, "no flag");
    EXPECT_DOUBLE_EQ(rows[3].seconds, 0);
}

TEST(Attribution, AddsUpToTheMeanAbsoluteError) {
    const std::vector flags{flagOn(FlagKind::HalfRate, 2, 4), flagOn(FlagKind::Lag, 4, 5)};

    double sum = 0;
    for (const auto& row : attributionRows(attributionOf(sixPairs(), flags)))
        sum += row.contribution.value;

    EXPECT_NEAR(sum, 157.0 / 6, 1e-12);
}

TEST(Attribution, GivesASecondToTheFirstInTheOrderOfPrecedence) {
    const std::vector flags{flagOn(FlagKind::Adrift, 0, 5), flagOn(FlagKind::HalfRate, 3, 4)};

    const auto sums = attributionOf(sixPairs(), flags);

    EXPECT_DOUBLE_EQ(sums.kinds[static_cast<std::size_t>(FlagKind::HalfRate)].seconds, 2);
    EXPECT_DOUBLE_EQ(sums.kinds[static_cast<std::size_t>(FlagKind::Adrift)].seconds, 4);
}

TEST(Attribution, PassesOverFlagsOnTheReference) {
    const std::vector flags{flagOn(FlagKind::Spike, 0, 5, flags::FlaggedTrace::Reference)};

    const auto rows = attributionRows(attributionOf(sixPairs(), flags));

    ASSERT_EQ(rows.size(), 2u);
    EXPECT_EQ(rows[1].kind, "no flag");
    EXPECT_DOUBLE_EQ(rows[1].seconds, 3);
}

TEST(Attribution, OfTwoSessionsIsThatOfTheirPairsTogether) {
    const std::vector flags{flagOn(FlagKind::HalfRate, 3, 4)};
    auto both = attributionOf(sixPairs(), flags);

    both += attributionOf(tests::pairsOf({100, 100}, {100, 130}), {});

    // By hand: (157 + 30) over 8 pairs.
    double sum = 0;
    for (const auto& row : attributionRows(both))
        sum += row.contribution.value;
    EXPECT_NEAR(sum, 187.0 / 8, 1e-12);
}

TEST(Attribution, OfNoPairsHasNoRows) {
    EXPECT_TRUE(attributionRows(attributionOf(trace::Pairs{}, {})).empty());
}
