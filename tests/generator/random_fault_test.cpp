#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>

#include "tests/support/generator.h"

// What random plans order must be what the contract and the field guide (part 3) call by that name, in the
// samples as they are written: the truth's heart against the test's samples, laid on session time by the
// nominal offset.
namespace beatwitness::tests {
namespace {

struct SampleInFault {
    double heart_bpm, test_bpm;
};

std::vector<SampleInFault> samplesIn(const TrueFault& fault, const GeneratedPair& pair) {
    const auto* rates = pair.test.channel(recording::ChannelKind::HeartRate);
    const auto t0 = pair.reference.channel(recording::ChannelKind::HeartRate)->times.front();
    std::vector<SampleInFault> samples;
    for (std::size_t i = 0; i < rates->times.size(); ++i) {
        const double clock_s = static_cast<double>((rates->times[i] - t0).count()) * 1e-6;
        const double session_s = clock_s + pair.truth.nominalOffset_s;
        if (session_s < fault.start_s || session_s > fault.end_s) continue;
        samples.push_back({pair.truth.rate_bpm[static_cast<std::size_t>(session_s)], rates->values[i]});
    }
    return samples;
}

/// Checks each fault of a kind in 200 random pairs without drift.
void forEach(FaultKind kind,
             const std::function<void(const TrueFault&, const GeneratedPair&, std::uint64_t)>& check) {
    int met = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        const auto plan = randomPlan(seed);
        const bool orders = std::ranges::any_of(plan.faults, [&](const FaultPlan& fault) {
            return fault.kind == kind && fault.on == FaultOn::Test;
        });
        if (!orders) continue;
        const auto pair = generatePair(plan);
        for (const auto& fault : pair.truth.faults) {
            if (fault.plan.kind != kind || fault.plan.on != FaultOn::Test) continue;
            check(fault, pair, seed);
            ++met;
        }
    }
    EXPECT_GE(met, 10);
}

double share(const std::vector<SampleInFault>& samples,
             const std::function<bool(const SampleInFault&)>& holds) {
    const auto count = std::ranges::count_if(samples, holds);
    return samples.empty() ? 0.0 : static_cast<double>(count) / static_cast<double>(samples.size());
}

TEST(RandomFault, HalfRateHasARatioOf045To055InFourOfFiveSeconds) {
    forEach(FaultKind::HalfRate, [](const TrueFault& fault, const GeneratedPair& pair, std::uint64_t seed) {
        const auto inside = [](const SampleInFault& s) {
            return s.test_bpm >= 0.45 * s.heart_bpm && s.test_bpm <= 0.55 * s.heart_bpm;
        };
        EXPECT_GE(share(samplesIn(fault, pair), inside), 0.8) << seed;
    });
}

TEST(RandomFault, DoubleRateHasARatioOf185To215InFourOfFiveSecondsAndALowHeart) {
    forEach(FaultKind::DoubleRate, [](const TrueFault& fault, const GeneratedPair& pair, std::uint64_t seed) {
        const auto inside = [](const SampleInFault& s) {
            return s.heart_bpm <= 125 && s.test_bpm >= 1.85 * s.heart_bpm && s.test_bpm <= 2.15 * s.heart_bpm;
        };
        EXPECT_GE(share(samplesIn(fault, pair), inside), 0.8) << seed;
    });
}

TEST(RandomFault, CadenceLockErrsByMoreThanTenBpmInFourOfFiveSeconds) {
    forEach(
        FaultKind::CadenceLock, [](const TrueFault& fault, const GeneratedPair& pair, std::uint64_t seed) {
            const auto wrong = [](const SampleInFault& s) { return std::abs(s.test_bpm - s.heart_bpm) > 10; };
            EXPECT_GE(share(samplesIn(fault, pair), wrong), 0.8) << seed;
            EXPECT_GE(fault.end_s - fault.start_s, 20) << seed;
        });
}

TEST(RandomFault, StuckSpansAtMostOneBpmWhileTheHeartSpansEight) {
    forEach(FaultKind::Stuck, [](const TrueFault& fault, const GeneratedPair& pair, std::uint64_t seed) {
        auto ordered = fault;
        ordered.start_s = fault.plan.start_s + 1;
        ordered.end_s = fault.plan.end_s - 1;
        const auto samples = samplesIn(ordered, pair);
        ASSERT_FALSE(samples.empty());
        const auto [low, high] = std::ranges::minmax(samples, {}, &SampleInFault::test_bpm);
        const auto [calm, busy] = std::ranges::minmax(samples, {}, &SampleInFault::heart_bpm);
        EXPECT_LE(high.test_bpm - low.test_bpm, 1) << seed;
        EXPECT_GE(busy.heart_bpm - calm.heart_bpm, 8) << seed;
    });
}

TEST(RandomFault, MissedRiseNeverGainsThirtyPercentOfTheHeartsHighestRise) {
    forEach(FaultKind::MissedRise, [](const TrueFault& fault, const GeneratedPair& pair, std::uint64_t seed) {
        auto held = fault;
        held.end_s = fault.plan.end_s - 6;
        const auto samples = samplesIn(held, pair);
        ASSERT_FALSE(samples.empty());
        const double before_bpm = pair.truth.steadyTest_bpm[static_cast<std::size_t>(fault.plan.start_s)];
        const double rise_bpm =
            std::ranges::max(samples, {}, &SampleInFault::heart_bpm).heart_bpm - before_bpm;
        double gain_bpm = 0;
        for (const auto& sample : samples)
            gain_bpm += (sample.test_bpm - before_bpm) / static_cast<double>(samples.size());
        EXPECT_GE(rise_bpm, 18) << seed;
        EXPECT_LT(gain_bpm, 0.3 * rise_bpm) << seed;
    });
}

TEST(RandomFault, DropoutLeavesNoSampleInsideForMoreThanTenSeconds) {
    forEach(FaultKind::Dropout, [](const TrueFault& fault, const GeneratedPair& pair, std::uint64_t seed) {
        EXPECT_TRUE(samplesIn(fault, pair).empty()) << seed;
        EXPECT_GT(fault.magnitude, 10) << seed;
    });
}

}  // namespace
}  // namespace beatwitness::tests
