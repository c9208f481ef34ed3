#include <gtest/gtest.h>

#include <chrono>
#include <set>

#include "tests/support/generator.h"
#include "tests/support/recording_writer.h"

namespace beatwitness::tests {
namespace {

std::string bytesOf(const GeneratedPair& pair) {
    return writeCsv(pair.reference, CsvDialect::IsoUtc, pair.emptyReferenceRows) +
           writeCsv(pair.test, CsvDialect::IsoUtc, pair.emptyTestRows);
}

TEST(GeneratedPair, SameSeedGivesTheSameBytes) {
    const auto first = generatePair(randomPlan(11));

    const auto second = generatePair(randomPlan(11));

    EXPECT_EQ(bytesOf(first), bytesOf(second));
}

TEST(GeneratedPair, AnotherSeedGivesAnotherPair) {
    const auto first = generatePair(randomPlan(11));

    const auto second = generatePair(randomPlan(12));

    EXPECT_NE(bytesOf(first), bytesOf(second));
}

// The contract's formula, solved for the test clock at t0 + 1000 s: t0 - 12.5 + 1000 / 1.0001.
TEST(GeneratedPair, TestClockReadsWhatTheContractsFormulaSays) {
    PairPlan plan;
    plan.activity.fluctuation = {0, 0, 0, 0};
    plan.reference.duration_s = plan.test.end_s = 1000;
    plan.test.clockOffset_s = 12.5;
    plan.test.clockDrift_ppm = 100;
    plan.test.sampling.phase_s = 0.4;

    const auto pair = generatePair(plan);

    const auto last = pair.test.channel(recording::ChannelKind::HeartRate)->times.back();
    const double reads_s = static_cast<double>(last.time_since_epoch().count() - plan.start_us) * 1e-6;
    EXPECT_LE(reads_s, -12.5 + 1000 / 1.0001);
    EXPECT_GT(reads_s, -12.5 + 1000 / 1.0001 - 1.0);
}

TEST(GeneratedPair, FirstValidSampleOfTheReferenceIsT0WhateverTheSeed) {
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        const auto plan = randomPlan(seed, {.longest_s = 1800});

        const auto pair = generatePair(plan);

        const auto* rates = pair.reference.channel(recording::ChannelKind::HeartRate);
        ASSERT_NE(rates, nullptr);
        EXPECT_EQ(rates->times.front().time_since_epoch().count(),
                  plan.start_us + std::llround(plan.reference.sampling.phase_s * 1e6))
            << seed;
    }
}

TEST(GeneratedPair, RandomPlansMeetEveryKindOfFault) {
    std::set<FaultKind> met;

    for (std::uint64_t seed = 1; seed <= 300; ++seed)
        for (const auto& fault : randomPlan(seed).faults)
            met.insert(fault.kind);

    EXPECT_EQ(met.size(), 11u);
}

TEST(GeneratedPair, FaultsOfRandomPlansNeverOverlap) {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        const auto plan = randomPlan(seed);

        for (std::size_t i = 0; i < plan.faults.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                EXPECT_TRUE(plan.faults[i].end_s < plan.faults[j].start_s ||
                            plan.faults[j].end_s < plan.faults[i].start_s)
                    << seed;
    }
}

TEST(GeneratedPair, ADayTakesLessThanTwoSecondsEvenOnABusyMachine) {
    const auto plan = randomPlan(3, {.shortest_s = 86400, .longest_s = 86400});
    const auto begin = std::chrono::steady_clock::now();

    const auto pair = generatePair(plan);

    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - begin;
    RecordProperty("milliseconds", static_cast<int>(taken.count() * 1000));
    EXPECT_LT(taken.count(), 2.0);
    EXPECT_GT(pair.truth.rate_bpm.size(), 86000u);
}

}  // namespace
}  // namespace beatwitness::tests
