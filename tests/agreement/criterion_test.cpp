#include "core/agreement/criterion.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using agreement::Criterion;
using agreement::Metric;
using agreement::SamplingUnits;
using agreement::Sense;
using agreement::SessionSums;
using agreement::Verdict;

namespace {

/// A session of two pairs whose errors are all `error`.
SessionSums session(double error) {
    return agreement::sumsOf(tests::pairsOf({100, 120}, {100 + error, 120 + error}));
}

SamplingUnits units(std::initializer_list<double> errors) {
    std::vector<SessionSums> sessions;
    for (const double error : errors)
        sessions.push_back(session(error));
    return SamplingUnits{sessions};
}

}  // namespace

// By hand: biases 1, 2, 3: mean 2, interval 2 +- 4.302653 / sqrt(3) = -0.484 to 4.484.
TEST(Criterion, TheIntervalDecidesNotTheEstimate) {
    const auto three = units({1, 2, 3});

    const auto wide = agreement::judge({Metric::Bias, 4.5, Sense::Within, {}, {}, 0.95, {}}, three, {});
    const auto tight = agreement::judge({Metric::Bias, 4.4, Sense::Within, {}, {}, 0.95, {}}, three, {});

    EXPECT_EQ(wide.verdict, Verdict::Meets);
    EXPECT_EQ(tight.verdict, Verdict::CannotTellYet);
}

TEST(Criterion, AnIntervalBeyondTheLimitDoesNotMeet) {
    const auto result =
        agreement::judge({Metric::Mae, 2, Sense::AtMost, {}, {}, 0.95, {}}, units({7, 7.1, 7.2}), {});

    EXPECT_EQ(result.verdict, Verdict::DoesNotMeet);
    EXPECT_EQ(result.unitsNeeded, 0u);
}

TEST(Criterion, OneSessionCannotTell) {
    const auto result = agreement::judge({Metric::Mae, 2, Sense::AtMost, {}, {}, 0.95, {}}, units({1}), {});

    EXPECT_EQ(result.verdict, Verdict::CannotTellYet);
    EXPECT_FALSE(result.unitsNeeded);
}

TEST(Criterion, SharesAskForAtLeast) {
    const Criterion criterion{Metric::Within5Bpm, 60, Sense::AtLeast, {}, {}, 0.95, {}};

    EXPECT_EQ(agreement::judge(criterion, units({1, 1, 1, 1, 1, 1}), {}).verdict, Verdict::Meets);
    EXPECT_EQ(agreement::judge(criterion, units({1, 1, 1}), {}).verdict, Verdict::CannotTellYet);
}

// By hand: Wilson of n of n: n / (n + z^2) >= 0.6 from n = 5.76 on, so 6 in all.
TEST(Criterion, SharesThatAreAllAlikeNeedWhatWilsonNeeds) {
    const auto result =
        agreement::judge({Metric::Within5Bpm, 60, Sense::AtLeast, {}, {}, 0.95, {}}, units({1, 1, 1}), {});

    EXPECT_EQ(result.unitsNeeded, 3u);
}

// By table: t(0.975, 9) = 2.262157: half-width 2.262157 / sqrt(10) = 0.71536; with 9: 2.306004 / 3 = 0.76867.
TEST(Criterion, UnitsForADistanceComeFromTheTTable) {
    EXPECT_NEAR(agreement::halfWidth(10, 1.0), 0.715357, 1e-6);
    EXPECT_EQ(agreement::unitsFor(0.72, 1.0), 10u);
    EXPECT_EQ(agreement::unitsFor(0.76, 1.0), 10u);
    EXPECT_EQ(agreement::unitsFor(0.77, 1.0), 9u);
    EXPECT_FALSE(agreement::unitsFor(0, 1.0));
    EXPECT_FALSE(agreement::unitsFor(1e-6, 1.0));
}

TEST(Criterion, WithTheUnitsItAskedForItDecides) {
    const Criterion criterion{Metric::Bias, 3, Sense::Within, {}, {}, 0.95, {}};
    const auto few = agreement::judge(criterion, units({0, 2, 4}), {});
    ASSERT_EQ(few.verdict, Verdict::CannotTellYet);
    const std::size_t all = 3 + *few.unitsNeeded;

    // The same mean and standard deviation over as many sessions as asked for: mean 2, n - 1 sd 2.
    EXPECT_LE(agreement::halfWidth(all, 2.0), 1.0);
    EXPECT_GT(agreement::halfWidth(all - 1, 2.0), 1.0);
}

TEST(Criterion, BeforeDataComparesInstants) {
    Criterion criterion{Metric::Mae, 5, Sense::AtMost, {}, {}, 0.95, Micros{1000}};
    const auto two = units({1, 2});

    EXPECT_EQ(agreement::judge(criterion, two, Micros{1001}).beforeData, true);
    EXPECT_EQ(agreement::judge(criterion, two, Micros{999}).beforeData, false);
    EXPECT_FALSE(agreement::judge(criterion, two, {}).beforeData);
}

TEST(Criterion, NonsenseIsNamed) {
    EXPECT_TRUE(agreement::wrongWith({Metric::Mae, -1, Sense::AtMost, {}, {}, 0.95, {}}));
    EXPECT_TRUE(agreement::wrongWith({Metric::Within5Bpm, 101, Sense::AtLeast, {}, {}, 0.95, {}}));
    EXPECT_TRUE(agreement::wrongWith({Metric::Mae, 5, Sense::AtMost, {}, {}, 95, {}}));
    EXPECT_FALSE(agreement::wrongWith({Metric::Mae, 5, Sense::AtMost, {}, {}, 0.9, {}}));
}
