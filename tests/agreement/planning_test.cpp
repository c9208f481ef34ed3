#include "core/agreement/planning.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

using namespace beatwitness;
using agreement::Criterion;
using agreement::Expectation;
using agreement::Metric;
using agreement::Sense;
using agreement::Verdict;

namespace {

Criterion criterion(Metric metric, double limit, Sense sense, double confidence = 0.95) {
    return {metric, limit, sense, {}, {}, confidence, {}};
}

}  // namespace

// By hand with t(0.975, 8) = 2.306004 from a table: bias 1, spread 1.5: 1 +- 2.306004 * 1.5 / 3.
TEST(Planning, AnIntervalIsThatOfTheTTable) {
    const auto planned = agreement::plannedInterval(criterion(Metric::Bias, 3, Sense::Within), {1.0, 1.5}, 9);

    EXPECT_NEAR(planned.interval.lower, 1 - 1.153002, 1e-6);
    EXPECT_NEAR(planned.interval.upper, 1 + 1.153002, 1e-6);
    EXPECT_EQ(planned.verdict, Verdict::Meets);
}

// By hand with t(0.975, 3) = 3.182446: MAE 4, spread 2, half a log unit: 4 exp(+- 3.182446 * 0.5 / 2).
TEST(Planning, SizesHaveTheirIntervalOnTheLogScale) {
    const auto planned = agreement::plannedInterval(criterion(Metric::Mae, 5, Sense::AtMost), {4.0, 2.0}, 4);

    EXPECT_NEAR(planned.interval.upper, 4 * std::exp(0.7956115), 1e-5);
    EXPECT_NEAR(planned.interval.lower, 4 / std::exp(0.7956115), 1e-5);
    EXPECT_EQ(planned.verdict, Verdict::CannotTellYet);
}

TEST(Planning, SharesStayBetweenNothingAndAll) {
    const auto planned =
        agreement::plannedInterval(criterion(Metric::Within5Bpm, 80, Sense::AtLeast), {95, 20}, 3);

    EXPECT_EQ(planned.interval.upper, 100);
}

// Brute force: the first number of sessions whose interval decides.
TEST(Planning, FewestSessionsAreThoseThatFirstDecide) {
    const std::array<std::pair<Criterion, Expectation>, 5> cases{
        {{criterion(Metric::Mae, 5, Sense::AtMost), {4, 2}},
         {criterion(Metric::Mae, 5, Sense::AtMost), {7, 3}},
         {criterion(Metric::Bias, 3, Sense::Within, 0.9), {-1.5, 2.5}},
         {criterion(Metric::Within5Bpm, 80, Sense::AtLeast), {88, 10}},
         {criterion(Metric::Mape, 10, Sense::AtMost, 0.99), {3, 1}}}};

    for (const auto& [required, expected] : cases) {
        std::size_t first = 2;
        while (agreement::plannedInterval(required, expected, first).verdict == Verdict::CannotTellYet)
            ++first;
        EXPECT_EQ(agreement::unitsPlanned(required, expected), first) << agreement::criterionWords(required);
    }
}

TEST(Planning, WhatLiesOnTheLimitIsNeverDecided) {
    EXPECT_FALSE(agreement::unitsPlanned(criterion(Metric::Mae, 5, Sense::AtMost), {5, 1}));
}

// Round trip: what judged sessions amount to as an expectation gives their own interval back.
TEST(Planning, JudgedSessionsGiveTheirOwnIntervalBack) {
    agreement::CriterionResult result;
    result.criterion = criterion(Metric::Mae, 5, Sense::AtMost);
    result.figure = {4.0, agreement::Interval{2.5, 6.4}, "t"};

    const auto expectation = agreement::expectationOf(result, 6);

    ASSERT_TRUE(expectation);
    const auto planned = agreement::plannedInterval(result.criterion, *expectation, 6);
    EXPECT_NEAR(planned.interval.upper, 6.4, 1e-9);
    EXPECT_NEAR(planned.interval.lower, 2.5, 1e-9);
}

TEST(Planning, NonsenseIsNamed) {
    const auto mae = criterion(Metric::Mae, 5, Sense::AtMost);

    EXPECT_TRUE(agreement::wrongWith(mae, Expectation{0, 1}));
    EXPECT_TRUE(agreement::wrongWith(mae, Expectation{4, 0}));
    EXPECT_TRUE(agreement::wrongWith(criterion(Metric::Within5Bpm, 80, Sense::AtLeast), Expectation{101, 5}));
    EXPECT_TRUE(agreement::wrongWith(mae, Expectation{std::nan(""), 1}));
    EXPECT_FALSE(agreement::wrongWith(mae, Expectation{4, 1}));
}
