#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "tests/support/generator_signal.h"
#include "tests/support/scenario.h"

namespace beatwitness::tests {
namespace {

constexpr Fluctuation still{0, 0, 0, 0};

ActivityPlan upAndDown(Kinetics kinetics) {
    ActivityPlan plan;
    plan.initial_bpm = 80;
    plan.phases = {{"effort", 100, 400, 160, 160, 0, true}, {"recovery", 400, 900, 80, 80, 0, false}};
    plan.kinetics = kinetics;
    plan.fluctuation = still;
    return plan;
}

// Closed form: h(t) = 160 - 80 exp(-t/25).
TEST(Kinetics, RiseFollowsTheExponentialOfItsTimeConstant) {
    const auto body = bodyOf(upAndDown({25, 50, 0}), 0, 900);

    const double after30_bpm = body.rateAt(130);

    EXPECT_NEAR(after30_bpm, 160 - 80 * std::exp(-30.0 / 25), 1e-9);
}

// Closed form: from (nearly) 160 down to 80 with 50 s.
TEST(Kinetics, RecoveryFollowsTheExponentialOfItsTimeConstant) {
    const auto body = bodyOf(upAndDown({25, 50, 0}), 0, 900);

    const double after40_bpm = body.rateAt(440);

    EXPECT_NEAR(after40_bpm, 80 + (body.rateAt(400) - 80) * std::exp(-40.0 / 50), 1e-9);
}

// Closed form: a quarter of the change with 6 s, the rest with 25 s.
TEST(Kinetics, FastShareRisesWithinSeconds) {
    const auto body = bodyOf(upAndDown({25, 50, 0.25}), 0, 900);

    const double after10_bpm = body.rateAt(110);

    EXPECT_NEAR(after10_bpm, 160 - 20 * std::exp(-10.0 / 6) - 60 * std::exp(-10.0 / 25), 1e-9);
}

TEST(Kinetics, FluctuationHasTheOrderedSpread) {
    ActivityPlan plan;
    plan.initial_bpm = 120;
    plan.fluctuation = {1.5, 0, 0, 0};

    const auto body = bodyOf(plan, 0, 40000);

    double squares = 0;
    for (const double rate : body.rate_bpm)
        squares += (rate - 120) * (rate - 120);
    EXPECT_NEAR(std::sqrt(squares / static_cast<double>(body.rate_bpm.size())), 1.5, 0.05);
}

// Closed form: behind a one-pole low-pass of tau, a ramp comes out late by tau once settled; the delay is
// taken back.
TEST(Smoothing, OnePoleDelaysARampByItsTimeConstantAndIsMovedBack) {
    Body body{{0, 0.5}, {}, {}};
    for (int i = 0; i < 2000; ++i)
        body.rate_bpm.push_back(60 + 0.05 * i);
    body.cadence_per_min.assign(2000, 0);
    Signal signal = signalOf(body, 1);

    smoothSteadily(signal, {.smoothing = Smoothing::OnePole, .smoothing_s = 6});

    EXPECT_NEAR(signal.steady_bpm[1000], signal.heart_bpm[1000], 1e-6);
}

TEST(Smoothing, MovingAverageOfARampIsMovedBackByHalfItsWidth) {
    Body body{{0, 0.5}, {}, {}};
    for (int i = 0; i < 2000; ++i)
        body.rate_bpm.push_back(60 + 0.05 * i);
    body.cadence_per_min.assign(2000, 0);
    Signal signal = signalOf(body, 1);

    smoothSteadily(signal, {.smoothing = Smoothing::MovingAverage, .smoothing_s = 7});

    EXPECT_NEAR(signal.steady_bpm[1000], signal.heart_bpm[1000], 1e-6);
}

TEST(RandomStream, NormalHasMeanZeroAndSpreadOne) {
    RandomStream random{7, "test"};
    double sum = 0, squares = 0;

    for (int i = 0; i < 100000; ++i) {
        const double value = random.normal();
        sum += value;
        squares += value * value;
    }

    EXPECT_NEAR(sum / 100000, 0, 0.015);
    EXPECT_NEAR(squares / 100000, 1, 0.02);
}

}  // namespace
}  // namespace beatwitness::tests
