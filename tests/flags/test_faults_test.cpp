#include "core/flags/test_faults.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/flags/small_session.h"

using namespace beatwitness;
using flags::FlagKind;
using tests::effort;
using tests::flagsOfCurves;
using tests::restless;

namespace {

double heart(double t) {
    return effort(t) + restless(t);
}

/// Sound but for its own small restlessness.
double sound(double t) {
    return effort(t) + restless(t + 40);
}

bool inside(double t, double begin_s, double end_s) {
    return begin_s <= t && t <= end_s;
}

/// The only flag, as `kind begin-end`; several are listed, which no expectation matches.
std::string described(const std::vector<flags::Flag>& flags) {
    std::string text;
    for (const auto& flag : flags)
        text += std::string{flags::flagKindName(flag.kind)} + " " +
                std::to_string(std::lround(secondsOf(flag.span.begin))) + "-" +
                std::to_string(std::lround(secondsOf(flag.span.end))) + " ";
    return text;
}

void expectOne(const std::vector<flags::Flag>& flags, FlagKind kind, double begin_s, double end_s,
               double slack_s) {
    ASSERT_EQ(flags.size(), 1u) << described(flags);
    EXPECT_EQ(flags[0].kind, kind) << described(flags);
    EXPECT_NEAR(secondsOf(flags[0].span.begin), begin_s, slack_s);
    EXPECT_NEAR(secondsOf(flags[0].span.end), end_s, slack_s);
    EXPECT_EQ(flags[0].unit, flags::magnitudeUnit(kind));
    EXPECT_FALSE(flags[0].because.empty());
}

}  // namespace

TEST(TestFaults, LeaveASoundDeviceAlone) {
    EXPECT_EQ(described(flagsOfCurves(heart, sound)), "");
}

TEST(TestFaults, LeaveASoundDeviceAloneThatSpeaksEveryEightSeconds) {
    EXPECT_EQ(described(flagsOfCurves(heart, sound, {}, 896, 8)), "");
}

TEST(TestFaults, FindHalfTheRate) {
    const auto flags =
        flagsOfCurves(heart, [](double t) { return sound(t) * (inside(t, 400, 460) ? 0.5 : 1.0); });

    expectOne(flags, FlagKind::HalfRate, 400, 460, 1);
    EXPECT_NEAR(flags[0].magnitude, 0.5, 0.01);
}

TEST(TestFaults, FindTwiceTheRate) {
    const auto flags =
        flagsOfCurves(heart, [](double t) { return sound(t) * (inside(t, 100, 130) ? 2.0 : 1.0); });

    expectOne(flags, FlagKind::DoubleRate, 100, 130, 1);
    EXPECT_NEAR(flags[0].magnitude, 2.0, 0.03);
}

TEST(TestFaults, TakeADeviceThatStaysLowForAMissedRiseNotForHalf) {
    // 80 bpm before, 160 in the effort: the ratio comes to one half and stays there.
    const auto low = [](double t) { return t < 300 ? 80.0 : 80.0 + 80.0 * (1 - std::exp(-(t - 300) / 25)); };

    const auto flags = flagsOfCurves([&](double t) { return low(t) + restless(t); },
                                     [&](double t) { return (t < 500 ? 80.0 : low(t)) + restless(t + 40); });

    expectOne(flags, FlagKind::MissedRise, 301, 499, 3);
    EXPECT_NEAR(flags[0].magnitude, 0.0, 0.1);
}

TEST(TestFaults, FindASetOfTwentySecondsThatWasMissed) {
    // Up for 20 s, then back: the device shows nothing of it.
    const auto set = [](double t) {
        const double top = 45.0 * (1 - std::exp(-20.0 / 12));
        if (t < 300) return 100.0;
        return t < 320 ? 100 + 45.0 * (1 - std::exp(-(t - 300) / 12)) : 100 + top * std::exp(-(t - 320) / 30);
    };

    const auto flags = flagsOfCurves([&](double t) { return set(t) + restless(t); },
                                     [](double t) { return 100 + restless(t + 40); });

    expectOne(flags, FlagKind::MissedRise, 302, 390, 12);
}

TEST(TestFaults, TakeTheFallWithinAMissedRiseForTheSameFault) {
    // Up by 40 bpm for a minute, back for half of one, then 40 below where it began; the device shows 17 % of
    // either.
    const auto swing = [](double t) {
        return inside(t, 300, 360) ? 40.0 : inside(t, 390, 460) ? -40.0 : 0.0;
    };

    const auto flags = flagsOfCurves([&](double t) { return 110 + swing(t) + restless(t); },
                                     [&](double t) { return 110 + 0.17 * swing(t) + restless(t + 40); });

    ASSERT_FALSE(flags.empty());
    EXPECT_TRUE(std::ranges::all_of(flags, [](const flags::Flag& flag) {
        return flag.kind == FlagKind::MissedRise;
    })) << described(flags);
    EXPECT_NEAR(secondsOf(flags.back().span.end), 460, 3);
}

TEST(TestFaults, FindARiseThatIsFollowedLate) {
    const auto flags = flagsOfCurves(
        heart, [](double t) { return effort(inside(t, 290, 500) ? t - 25 : t) + restless(t + 40); });

    expectOne(flags, FlagKind::Lag, 302, 392, 8);
    EXPECT_NEAR(flags[0].magnitude, 25, 3);
}

TEST(TestFaults, FindARiseThatIsFollowedInPart) {
    const auto flags = flagsOfCurves(heart, [](double t) {
        return (inside(t, 300, 500) ? 100 + 0.55 * (effort(t) - 100) : effort(t)) + restless(t + 40);
    });

    expectOne(flags, FlagKind::Damped, 305, 500, 5);
    EXPECT_NEAR(flags[0].magnitude, 0.55, 0.05);
}

TEST(TestFaults, FindALockOnTheCadence) {
    const auto steps = [](double t) { return 168 + 4 * std::sin(t / 20); };

    const auto flags = flagsOfCurves(
        heart, [&](double t) { return inside(t, 100, 200) ? steps(t) + 0.3 * restless(t) : sound(t); },
        steps);

    expectOne(flags, FlagKind::CadenceLock, 100, 200, 2);
    EXPECT_DOUBLE_EQ(flags[0].magnitude, 1.0);
}

TEST(TestFaults, FindALockOnTwiceTheStridesThatAFileStores) {
    const auto strides = [](double t) { return 84 + 2 * std::sin(t / 20); };

    const auto flags = flagsOfCurves(
        heart, [&](double t) { return inside(t, 100, 200) ? 2 * strides(t) + 0.3 * restless(t) : sound(t); },
        strides);

    expectOne(flags, FlagKind::CadenceLock, 100, 200, 2);
    EXPECT_DOUBLE_EQ(flags[0].magnitude, 2.0);
}

TEST(TestFaults, SeeNoLockWhereCadenceAndHeartAreTheSame) {
    EXPECT_EQ(described(flagsOfCurves(heart, sound, heart)), "");
}

TEST(TestFaults, FindAValueThatStands) {
    const auto flags = flagsOfCurves(heart, [](double t) { return inside(t, 300, 360) ? 100.0 : sound(t); });

    expectOne(flags, FlagKind::Stuck, 302, 360, 2);
    EXPECT_NEAR(flags[0].magnitude, 61, 3);
}

TEST(TestFaults, FindAJump) {
    const auto flags =
        flagsOfCurves(heart, [](double t) { return sound(t) + (inside(t, 450, 453) ? 30.0 : 0.0); });

    expectOne(flags, FlagKind::Spike, 450, 453, 1);
    EXPECT_NEAR(flags[0].magnitude, 30, 5);
}

TEST(TestFaults, MakeOneFlagOfATrainOfJumps) {
    const auto flags = flagsOfCurves(heart, [](double t) {
        return sound(t) - (inside(t, 450, 453) || inside(t, 470, 472) || inside(t, 495, 497) ? 35.0 : 0.0);
    });

    expectOne(flags, FlagKind::Spike, 450, 497, 1);
}

TEST(TestFaults, CallAdriftWhatNothingElseExplains) {
    const auto flags = flagsOfCurves(heart, [](double t) {
        const double in = std::clamp(std::min(t - 100, 220 - t) / 20, 0.0, 1.0);
        return sound(t) + 24 * in;
    });

    expectOne(flags, FlagKind::Adrift, 109, 211, 3);
    EXPECT_NEAR(flags[0].magnitude, 23, 2);
}

TEST(TestFaults, KeepFlagsOfOneKindMoreThanFiveSecondsApart) {
    const auto flags = flagsOfCurves(
        heart, [](double t) { return sound(t) * (inside(t, 400, 430) || inside(t, 434, 460) ? 0.5 : 1.0); });

    expectOne(flags, FlagKind::HalfRate, 400, 460, 1);
}

TEST(TestFaults, LeaveTheSecondsOfADropoutToIt) {
    const auto flags = flagsOfCurves(heart, [](double t) {
        if (inside(t, 420, 440)) return 0.0;
        return sound(t) * (inside(t, 390, 470) ? 0.5 : 1.0);
    });

    EXPECT_EQ(described(flags), "half-rate 390-419 dropout 420-440 half-rate 441-470 ");
}

TEST(TestFaults, SuspectAReferenceThatStandsWhileTheDeviceMovesAndComesBack) {
    // An effort of 80 s that the reference does not show: 100 bpm before and after.
    const auto hill = [](double t) {
        return 100 + 30 * std::exp(-std::pow((t - 340) / 25, 2)) + restless(t);
    };

    const auto flags = flagsOfCurves([&](double t) { return inside(t, 290, 390) ? 100.0 : hill(t); },
                                     [&](double t) { return hill(t) + 0.3 * restless(t + 40); });

    ASSERT_EQ(flags.size(), 1u) << described(flags);
    EXPECT_EQ(flags[0].kind, FlagKind::Stuck);
    EXPECT_EQ(flags[0].on, flags::FlaggedTrace::Reference);
    EXPECT_FALSE(flags[0].excluded);
    EXPECT_NE(flags[0].because.find("cannot tell"), std::string::npos);
}

TEST(TestFaults, DoNotHangOnTheClock) {
    const auto test = [](double t) { return sound(t) * (inside(t, 400, 460) ? 0.5 : 1.0); };
    auto reference = tests::traceOfCurve(heart, 900), device = tests::traceOfCurve(test, 900);
    for (auto* trace : {&reference, &device})
        for (double& second : trace->seconds)
            second += 5000;

    const auto seconds = trace::atWholeSeconds(reference);
    const auto flags = flags::testFaults({reference, seconds, device, {}, {}, {}}, {}, {});

    expectOne(flags, FlagKind::HalfRate, 5400, 5460, 1);
}
