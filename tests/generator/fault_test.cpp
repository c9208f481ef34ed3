#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/generator.h"

namespace beatwitness::tests {
namespace {

/// One effort from 80 towards 160 bpm at 300 s, back at 600 s; a noise-free device without delay.
PairPlan quietPlan(FaultPlan fault) {
    PairPlan plan;
    plan.activity.initial_bpm = 80;
    plan.activity.phases = {{"effort", 300, 600, 160, 160, 100, true},
                            {"recovery", 600, 1200, 80, 80, 0, false}};
    plan.activity.fluctuation = {0, 0, 0, 0};
    plan.reference.duration_s = 1200;
    plan.reference.noise_bpm = 0;
    plan.reference.sampling.rounding_bpm = 0;
    plan.test.sampling.rounding_bpm = 0;
    plan.test.end_s = 1200;
    plan.test.restNoise_bpm = plan.test.effortNoise_bpm = 0;
    plan.faults = {fault};
    return plan;
}

/// Values of the recording at whole session seconds; both sides of quietPlan() sample these.
double valueAt(const recording::Recording& recording, const PairPlan& plan, double second_s) {
    const auto* channel = recording.channel(recording::ChannelKind::HeartRate);
    const auto time = RecordingTime{Micros{plan.start_us + static_cast<std::int64_t>(second_s * 1e6)}};
    const auto found = std::ranges::find(channel->times, time);
    if (found == channel->times.end()) return NAN;
    return channel->values[static_cast<std::size_t>(found - channel->times.begin())];
}

TEST(Fault, HalfRateStaysBetween045And055) {
    const auto plan = quietPlan({FaultKind::HalfRate, FaultOn::Test, 350, 450, 0.5});

    const auto pair = generatePair(plan);

    for (int second = 350; second <= 450; ++second) {
        const double ratio = valueAt(pair.test, plan, second) / valueAt(pair.reference, plan, second);
        EXPECT_GE(ratio, 0.45) << second;
        EXPECT_LE(ratio, 0.55) << second;
    }
}

TEST(Fault, MissedRiseGainsLessThan30PercentOfTheRise) {
    const auto plan = quietPlan({FaultKind::MissedRise, FaultOn::Test, 300, 500, 0.2});

    const auto pair = generatePair(plan);

    for (int second = 330; second <= 490; ++second)
        EXPECT_LT(valueAt(pair.test, plan, second) - 80, 0.3 * (valueAt(pair.reference, plan, second) - 80))
            << second;
}

TEST(Fault, DampedReachesLessThan80PercentOfTheChange) {
    const auto plan = quietPlan({FaultKind::Damped, FaultOn::Test, 300, 500, 0.6});

    const auto pair = generatePair(plan);

    const double share = (valueAt(pair.test, plan, 450) - 80) / (valueAt(pair.reference, plan, 450) - 80);
    EXPECT_NEAR(share, 0.6, 0.05);
}

// Exactly: until the release the test shows what the reference showed 20 s before.
TEST(Fault, LagShowsTheReferenceOfItsMagnitudeBefore) {
    const auto plan = quietPlan({FaultKind::Lag, FaultOn::Test, 300, 420, 20});

    const auto pair = generatePair(plan);

    EXPECT_NEAR(valueAt(pair.test, plan, 350), valueAt(pair.reference, plan, 330), 1e-9);
}

// By hand: 160 - 80 exp(-t/25) - (160 - 80 exp(-(t-20)/25)) >= 4 holds from the 2nd second (80(1 -
// exp(-2/25)) = 6.15; the 1st: 3.14) until 80 exp(-t/25)(exp(0.8) - 1) < 4, t = 79.9.
TEST(Fault, LagCoversTheSecondsWithAnErrorOfFourBpm) {
    const auto plan = quietPlan({FaultKind::Lag, FaultOn::Test, 300, 460, 20});

    const auto pair = generatePair(plan);

    ASSERT_EQ(pair.truth.faults.size(), 1u);
    EXPECT_DOUBLE_EQ(pair.truth.faults[0].start_s, 302);
    EXPECT_DOUBLE_EQ(pair.truth.faults[0].end_s, 379);
}

TEST(Fault, CadenceLockShowsItsMultipleOfTheStoredCadence) {
    auto plan = quietPlan({FaultKind::CadenceLock, FaultOn::Test, 400, 500, 2});
    plan.storesStrides = true;

    const auto pair = generatePair(plan);

    for (int second = 410; second <= 500; ++second)
        EXPECT_NEAR(valueAt(pair.test, plan, second), 100, 10) << second;
    const auto* cadence = pair.reference.channel(recording::ChannelKind::Cadence);
    ASSERT_NE(cadence, nullptr);
    EXPECT_NEAR(cadence->values[450], 50, 4);
}

TEST(Fault, StuckShowsOneValue) {
    auto plan = quietPlan({FaultKind::Stuck, FaultOn::Test, 310, 400, 0});
    plan.test.effortNoise_bpm = 3;

    const auto pair = generatePair(plan);

    for (int second = 311; second <= 400; ++second)
        EXPECT_DOUBLE_EQ(valueAt(pair.test, plan, second), valueAt(pair.test, plan, 310));
}

TEST(Fault, DropoutLeavesNoSampleAndIsAsLongAsItsGap) {
    const auto plan = quietPlan({FaultKind::Dropout, FaultOn::Test, 500, 540, 0});

    const auto pair = generatePair(plan);

    for (int second = 500; second <= 540; ++second)
        EXPECT_TRUE(std::isnan(valueAt(pair.test, plan, second)));
    ASSERT_EQ(pair.truth.faults.size(), 1u);
    EXPECT_DOUBLE_EQ(pair.truth.faults[0].start_s, 500);
    EXPECT_DOUBLE_EQ(pair.truth.faults[0].end_s, 540);
    EXPECT_DOUBLE_EQ(pair.truth.faults[0].magnitude, 42);
}

TEST(Fault, SpikeJumpsByItsMagnitudeAndComesBack) {
    const auto plan = quietPlan({FaultKind::Spike, FaultOn::Test, 200, 203, 40});

    const auto pair = generatePair(plan);

    EXPECT_NEAR(valueAt(pair.test, plan, 199), 80, 1e-9);
    EXPECT_NEAR(valueAt(pair.test, plan, 201), 120, 1e-9);
    EXPECT_NEAR(valueAt(pair.test, plan, 204), 80, 1e-9);
}

TEST(Fault, AdriftErrsByMoreThanTenBpmAndTenPercentForAtLeast20Seconds) {
    const auto plan = quietPlan({FaultKind::Adrift, FaultOn::Test, 100, 220, 25});

    const auto pair = generatePair(plan);

    ASSERT_EQ(pair.truth.faults.size(), 1u);
    EXPECT_GE(pair.truth.faults[0].end_s - pair.truth.faults[0].start_s, 20);
    for (double second = pair.truth.faults[0].start_s; second <= pair.truth.faults[0].end_s; ++second)
        EXPECT_GT(valueAt(pair.test, plan, second) - 80, 10);
}

TEST(Fault, NoiseOnTheReferenceLeavesTheTestAlone) {
    const auto plan = quietPlan({FaultKind::Noise, FaultOn::Reference, 5, 90, 0});

    const auto pair = generatePair(plan);

    double highest_bpm = 0;
    for (int second = 5; second <= 90; ++second) {
        highest_bpm = std::max(highest_bpm, valueAt(pair.reference, plan, second));
        EXPECT_NEAR(valueAt(pair.test, plan, second), 80, 1e-9);
    }
    EXPECT_GT(highest_bpm, 95);
}

}  // namespace
}  // namespace beatwitness::tests
