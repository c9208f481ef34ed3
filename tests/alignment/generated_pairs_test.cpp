// Generated sessions whose estimand is known by brute force. Seeds not used for tuning (those were below
// 400000).

#include <gtest/gtest.h>

#include <cmath>

#include "core/alignment/estimate_alignment.h"
#include "tests/support/generator.h"
#include "tests/support/generator_estimand.h"

using namespace beatwitness;

namespace {

constexpr std::uint64_t firstSeed = 700000;

alignment::Alignment estimated(const tests::GeneratedPair& pair) {
    return *alignment::estimateAlignment(
        trace::laidOn<ReferenceClock>(trace::traceOf(pair.reference), Micros{0}),
        trace::laidOn<TestClock>(trace::traceOf(pair.test), Micros{0}), alignment::ClockKnowledge::Dated, {},
        {}, {});
}

int refusedOf(tests::HardCase hardCase, int count) {
    int refused = 0;
    for (int i = 0; i < count; ++i)
        refused += !estimated(tests::generatePair(
                                  tests::hardPlan(hardCase, firstSeed + static_cast<std::uint64_t>(i))))
                        .applied();
    return refused;
}

}  // namespace

TEST(GeneratedPairs, OffsetsLieWithinASecondAndIntervalsCoverThem) {
    int identifiable = 0, applied = 0, withinHalf = 0, within = 0, covered = 0;
    for (std::uint64_t seed = firstSeed; seed < firstSeed + 200; ++seed) {
        const auto pair = tests::generatePair(tests::randomPlan(seed));
        const auto estimand = tests::estimandOf(pair);
        if (!estimand || estimand->atEdge || !tests::whyNotIdentifiable(pair).empty()) continue;
        ++identifiable;
        const auto found = estimated(pair);
        if (!found.applied()) continue;
        ++applied;
        const double error = std::abs(found.correction->offset.value - estimand->offset_s);
        withinHalf += error <= 0.5;
        within += error <= 1.0;
        covered += found.offsetInterval_s->lower <= estimand->offset_s &&
                   estimand->offset_s <= found.offsetInterval_s->upper;
    }

    ASSERT_GT(identifiable, 180);
    EXPECT_GE(applied, 0.97 * identifiable);
    EXPECT_GE(withinHalf, 0.86 * applied);
    // The share over many pairs is the study's to tell (tests/benchmarks/alignment_study); with a hundred,
    // four stray.
    EXPECT_GE(within, 0.96 * applied);
    EXPECT_GE(covered, 0.92 * applied);
}

TEST(GeneratedPairs, MistakenHoursAreFoundBesideShiftsThatLookAlike) {
    int mistaken = 0, found = 0;
    for (std::uint64_t seed = firstSeed; seed < firstSeed + 100; ++seed) {
        const auto pair = tests::generatePair(tests::randomPlan(seed, {.wholeHours = true}));
        const bool hoursOff = std::abs(pair.truth.clockOffset_s) > 1000;
        if (!hoursOff || !tests::whyNotIdentifiable(pair).empty()) continue;
        ++mistaken;
        const auto alignment = estimated(pair);
        found += alignment.applied() &&
                 std::abs(alignment.correction->offset.value - pair.truth.nominalOffset_s) < 10;
    }

    ASSERT_GT(mistaken, 30);
    EXPECT_GE(found, mistaken - 1);
}

TEST(GeneratedPairs, WhatCannotBeAlignedIsRefused) {
    EXPECT_EQ(refusedOf(tests::HardCase::FlatRest, 20), 20);
    EXPECT_EQ(refusedOf(tests::HardCase::StraightRamp, 20), 20);
    EXPECT_EQ(refusedOf(tests::HardCase::NoOverlap, 20), 20);
    EXPECT_EQ(refusedOf(tests::HardCase::RegularIntervals, 20), 20);
    // By chance a stretch of one workout can look like one of another.
    EXPECT_GE(refusedOf(tests::HardCase::Unrelated, 100), 95);
    EXPECT_GE(refusedOf(tests::HardCase::ShortOverlap, 100), 95);
}

TEST(GeneratedPairs, DriftOfADayIsFoundWithinFivePartsPerMillion) {
    auto plan =
        tests::randomPlan(firstSeed, {.shortest_s = 80000, .longest_s = 86400, .largestOffset_s = 20});
    plan.test.clockDrift_ppm = 40;
    const auto pair = tests::generatePair(plan);
    const auto estimand = tests::estimandOf(pair);

    const auto found = estimated(pair);

    ASSERT_TRUE(found.applied()) << *found.refusedBecause;
    ASSERT_TRUE(estimand);
    EXPECT_NEAR(found.correction->drift.value, estimand->drift_ppm, 5);
    EXPECT_NEAR(found.correction->offset.value, estimand->offset_s, 0.5);
}
