#include "core/trace/session_trace.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using tests::Sample;

namespace {

trace::SecondlyRates sampled(const std::vector<Sample>& samples) {
    const auto trace = tests::traceOf<ReferenceClock>(samples);
    return trace::atWholeSeconds(trace::onSessionClock(trace, trace.times.front(), {}));
}

/// The contract read literally, second by second.
std::vector<std::optional<double>> bruteForce(const std::vector<Sample>& samples, int seconds) {
    std::vector<std::optional<double>> out(static_cast<std::size_t>(seconds));
    for (int s = 0; s < seconds; ++s) {
        for (std::size_t i = 0; i < samples.size(); ++i) {
            const double t = samples[i].time_s - samples.front().time_s;
            if (std::abs(t - s) <= 1e-6) out[s] = samples[i].rate_bpm;
            if (i == 0 || out[s]) continue;
            const double before = samples[i - 1].time_s - samples.front().time_s;
            if (before < s && s < t && t - before <= 10 + 1e-6)
                out[s] = samples[i - 1].rate_bpm +
                         (samples[i].rate_bpm - samples[i - 1].rate_bpm) * (s - before) / (t - before);
        }
    }
    return out;
}

}  // namespace

TEST(AtWholeSeconds, JoinsSamplesExactlyTenSecondsApart) {
    const auto rates = sampled({{0, 100}, {10, 120}});

    ASSERT_EQ(rates.seconds.size(), 11u);
    EXPECT_DOUBLE_EQ(rates.rates[5].value, 110);
}

TEST(AtWholeSeconds, LeavesAHoleAboveTenSeconds) {
    const auto rates = sampled({{0, 100}, {10.001, 120}, {11, 120}});

    ASSERT_EQ(rates.seconds.size(), 2u);
    EXPECT_EQ(rates.seconds[1], 11);
}

TEST(AtWholeSeconds, ALoneSampleBetweenTwoHolesHasItsOwnInstant) {
    const auto rates = sampled({{0, 100}, {20, 130}, {40, 100}});

    ASSERT_EQ(rates.seconds.size(), 3u);
    EXPECT_EQ(rates.seconds[1], 20);
    EXPECT_DOUBLE_EQ(rates.rates[1].value, 130);
}

TEST(AtWholeSeconds, FollowsTheContractReadLiterally) {
    std::mt19937_64 random{20310303};
    for (int round = 0; round < 200; ++round) {
        std::vector<Sample> samples;
        double time_s = 0.0;
        for (int i = 0; i < 60; ++i) {
            samples.push_back({time_s, 60.0 + static_cast<double>(random() % 120)});
            time_s += static_cast<double>(random() % 120 + 1) / (random() % 2 ? 10.0 : 8.0);
        }
        const int seconds = static_cast<int>(time_s) + 2;

        const auto rates = sampled(samples);

        const auto expected = bruteForce(samples, seconds);
        std::size_t k = 0;
        for (int s = 0; s < seconds; ++s) {
            const bool has = k < rates.seconds.size() && rates.seconds[k] == s;
            ASSERT_EQ(has, expected[s].has_value()) << "round " << round << ", second " << s;
            if (!has) continue;
            ASSERT_NEAR(rates.rates[k++].value, *expected[s], 1e-9);
        }
    }
}
