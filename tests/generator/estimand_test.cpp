#include "tests/support/generator_estimand.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

namespace beatwitness::tests {
namespace {

// The traces of align.analytic in the shared oracles: h(t) = 90 + 50/(1+exp(-(t-200)/20)) -
// 30/(1+exp(-(t-500)/35)).
double heart(double t_s) {
    return 90 + 50 / (1 + std::exp(-(t_s - 200) / 20)) - 30 / (1 + std::exp(-(t_s - 500) / 35));
}

/// Samples at true times 0, 1, … 799, stamped by `clock`.
recording::Recording recorded(const std::function<double(double)>& value,
                              const std::function<double(double)>& clock) {
    recording::Recording recording;
    recording::Channel channel;
    for (int t = 0; t < 800; ++t) {
        channel.times.emplace_back(Micros{std::llround(clock(t) * 1e6)});
        channel.values.push_back(value(t));
    }
    recording.rows = channel.times.size();
    recording.channels.push_back(std::move(channel));
    return recording;
}

double ownClock(double t_s) {
    return t_s;
}

TEST(LeastSquaresAlignment, PureShiftIsUndone) {
    const auto reference = recorded(heart, ownClock);
    const auto test = recorded(heart, [](double t) { return t + 7.5; });

    const auto estimand = leastSquaresAlignment(reference, test, {}, {}, {.centre_s = -4});

    ASSERT_TRUE(estimand);
    EXPECT_NEAR(estimand->offset_s, -7.5, 0.05);
    EXPECT_NEAR(estimand->rms_bpm, 0, 0.05);
}

TEST(LeastSquaresAlignment, ConstantShiftOnADriftingClockLiesWhereTheOracleSays) {
    const auto reference = recorded(heart, ownClock);
    const auto test = recorded(heart, [](double t) { return 1.0002 * t + 3; });

    const auto estimand = leastSquaresAlignment(reference, test, {}, {}, {});

    ASSERT_TRUE(estimand);
    EXPECT_LT(estimand->offset_s, -3.0);
    EXPECT_GT(estimand->offset_s, -3.16);
}

TEST(LeastSquaresAlignment, FindsOffsetAndDriftOfTheOracle) {
    const auto reference = recorded(heart, ownClock);
    const auto test = recorded(heart, [](double t) { return 1.0002 * t + 3; });

    const auto estimand = leastSquaresAlignment(reference, test, {}, {}, {.driftReach_ppm = 400});

    ASSERT_TRUE(estimand);
    EXPECT_NEAR(estimand->offset_s, -3.0, 0.05);
    EXPECT_NEAR(estimand->drift_ppm, -199.96000799837876, 20);
}

// Oracle: delay and clock offset add up to -13.5 +- 0.7.
TEST(LeastSquaresAlignment, SmoothingCountsAsDelay) {
    const auto reference = recorded(heart, ownClock);
    double slow = heart(0);
    const auto lowPass = [&](double t) {
        for (double s = t - 1; s < t; s += 0.01)
            slow += (heart(s) - slow) * (1 - std::exp(-0.01 / 6));
        return slow;
    };
    const auto test = recorded(lowPass, [](double t) { return t + 7.5; });

    const auto estimand = leastSquaresAlignment(reference, test, {}, {}, {.centre_s = -7.5});

    ASSERT_TRUE(estimand);
    EXPECT_NEAR(estimand->offset_s, -13.5, 0.7);
}

TEST(LeastSquaresAlignment, FaultySecondsDoNotCount) {
    const auto reference = recorded(heart, ownClock);
    const auto brokenFrom = [](double t) { return t >= 180 && t <= 260 ? 95.0 : heart(t); };
    const auto test = recorded(brokenFrom, [](double t) { return t + 7.5; });
    const FaultySpan faulty{179, 261};

    const auto estimand = leastSquaresAlignment(reference, test, {}, {&faulty, 1}, {.centre_s = -7.5});

    ASSERT_TRUE(estimand);
    EXPECT_NEAR(estimand->offset_s, -7.5, 0.05);
}

TEST(Estimand, OfAQuietDeviceIsWhatWasApplied) {
    PairPlan plan;
    RandomStream random{5, "test"};
    plan.activity = planActivity(Activity::RowingIntervals, 2700, random);
    plan.test.clockOffset_s = 23.4;
    plan.test.delay_s = 3.0;
    plan.test.restNoise_bpm = plan.test.effortNoise_bpm = 0.1;

    const auto estimand = estimandOf(generatePair(plan));

    ASSERT_TRUE(estimand);
    EXPECT_NEAR(estimand->offset_s, 20.4, 0.1);
}

// Smoothing, noise and what faults leave behind move the best fit, but never far.
TEST(Estimand, OfRandomPairsLiesNearTheNominalOffset) {
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        const auto pair = generatePair(randomPlan(seed));
        if (!whyNotIdentifiable(pair).empty()) continue;

        const auto estimand = estimandOf(pair);

        ASSERT_TRUE(estimand) << seed;
        EXPECT_FALSE(estimand->atEdge) << seed;
        EXPECT_NEAR(estimand->offset_s, pair.truth.nominalOffset_s, 2.5) << seed;
    }
}

class Unidentifiable : public testing::TestWithParam<HardCase> {};

TEST_P(Unidentifiable, SaysWhy) {
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        const auto pair = generatePair(hardPlan(GetParam(), seed));

        EXPECT_NE(whyNotIdentifiable(pair), "") << seed;
    }
}

INSTANTIATE_TEST_SUITE_P(HardCases, Unidentifiable,
                         testing::Values(HardCase::Unrelated, HardCase::FlatRest, HardCase::StraightRamp,
                                         HardCase::NoOverlap, HardCase::ShortOverlap,
                                         HardCase::RegularIntervals));

}  // namespace
}  // namespace beatwitness::tests
