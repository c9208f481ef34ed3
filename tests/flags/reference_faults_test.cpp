#include "core/flags/reference_faults.h"

#include <gtest/gtest.h>

#include "tests/flags/small_session.h"

using namespace beatwitness;
using flags::FlagKind;
using tests::effort;
using tests::restless;

namespace {

std::vector<flags::Flag> faultsOf(const tests::Curve& curve, double every_s = 1.0) {
    return flags::referenceFaults(tests::traceOfCurve(curve, 900, every_s), {}, {}, {});
}

double heart(double t) {
    return effort(t) + restless(t);
}

bool inside(double t, double begin_s, double end_s) {
    return begin_s <= t && t <= end_s;
}

}  // namespace

TEST(ReferenceFaults, LeaveASoundReferenceAlone) {
    EXPECT_TRUE(faultsOf(heart).empty());
    EXPECT_TRUE(faultsOf(heart, 4).empty());
}

TEST(ReferenceFaults, ExcludeThePlateausOfADryElectrode) {
    // Plateaus of 5 s, 1.3 to 1.7 times the heart rate, with the heart in between, in the first minute.
    const auto dry = [](double t) {
        const auto k = static_cast<int>(t / 5);
        return heart(t) * (inside(t, 5, 59) && k % 2 == 1 ? 1.3 + 0.1 * (k % 5) : 1.0);
    };

    const auto flags = faultsOf(dry);

    ASSERT_EQ(flags.size(), 1u);
    EXPECT_EQ(flags[0].kind, FlagKind::Spike);
    EXPECT_TRUE(flags[0].excluded);
    EXPECT_NEAR(secondsOf(flags[0].span.begin), 5, 1);
    EXPECT_NEAR(secondsOf(flags[0].span.end), 59, 1);
}

TEST(ReferenceFaults, ExcludeADoubledStretch) {
    const auto flags = faultsOf([](double t) { return heart(t) * (inside(t, 100, 190) ? 2.0 : 1.0); });

    ASSERT_EQ(flags.size(), 1u);
    EXPECT_EQ(flags[0].kind, FlagKind::DoubleRate);
    EXPECT_NEAR(flags[0].magnitude, 2.0, 0.05);
    EXPECT_EQ(secondsOf(flags[0].span.begin), 100);
    EXPECT_EQ(secondsOf(flags[0].span.end), 190);
}

TEST(ReferenceFaults, ExcludeAHalvedStretch) {
    const auto flags = faultsOf([](double t) { return heart(t) * (inside(t, 400, 440) ? 0.5 : 1.0); });

    ASSERT_EQ(flags.size(), 1u);
    EXPECT_EQ(flags[0].kind, FlagKind::HalfRate);
}

TEST(ReferenceFaults, ExcludeAHeldValueThatIsLetGoWithAStep) {
    const auto flags = faultsOf([](double t) { return inside(t, 300, 380) ? 100.0 : heart(t); });

    ASSERT_EQ(flags.size(), 1u);
    EXPECT_EQ(flags[0].kind, FlagKind::Stuck);
    EXPECT_NEAR(secondsOf(flags[0].span.end), 380, 1);
}

TEST(ReferenceFaults, TakeSteadyRidingForWhatItIs) {
    // Slow and smooth: minutes on one value, and no step at any end.
    const auto steady = [](double t) { return 138 + 1.4 * std::sin(t / 70); };

    EXPECT_TRUE(faultsOf(steady).empty());
}

TEST(ReferenceFaults, TakeBreathingForWhatItIs) {
    // Beat by beat at rest a young heart swings by 16 bpm in 2 s.
    const auto breathing = [](double t) { return 60 + 10 * std::sin(t * 2 * 3.14159265 / 4); };

    EXPECT_TRUE(faultsOf(breathing).empty());
}

TEST(ReferenceFaults, TakeAFastRiseAndASlowFallForAHeart) {
    // 70 bpm with a time constant of 15 s, and back with 22 s: faster than most.
    const auto fast = [](double t) {
        if (t < 300) return 70 + restless(t);
        const double top = 90 * (1 - std::exp(-20.0));
        return restless(t) +
               (t < 600 ? 70 + 90 * (1 - std::exp(-(t - 300) / 15)) : 70 + top * std::exp(-(t - 600) / 22));
    };

    EXPECT_TRUE(faultsOf(fast).empty());
}
