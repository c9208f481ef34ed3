// Judged by the generator, which knows when its wearer set out and stopped.
#include "core/trace/suggest_phases.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/trace/trace.h"
#include "tests/support/generator.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using trace::PhaseKind;

namespace {

double seconds(ReferenceTime time, ReferenceTime t0) {
    return toSeconds(time - t0).value;
}

struct Session {
    trace::SessionTrace reference;
    ReferenceTime t0;
};

Session sessionOf(const recording::Recording& recording) {
    const auto trace = trace::laidOn<ReferenceClock>(trace::traceOf(recording), Micros{0});
    return {trace::onSessionClock(trace, trace.times.front(), {}), trace.times.front()};
}

Session steadyThenUp(const std::vector<std::pair<int, double>>& parts) {
    std::vector<tests::Sample> samples;
    double second = 0;
    for (const auto& [length, rate] : parts)
        for (int i = 0; i < length; ++i)
            samples.push_back({second++, rate});
    return sessionOf(tests::recordingOf(samples));
}

std::vector<PhaseKind> kinds(const std::vector<trace::Phase>& phases) {
    std::vector<PhaseKind> result;
    for (const auto& phase : phases)
        result.push_back(phase.kind);
    return result;
}

/// Rows without faults, so that what the reference says is what the heart did.
tests::GeneratedPair rowing(std::uint64_t seed) {
    tests::PlanLimits limits;
    limits.activity = tests::Activity::RowingIntervals;
    limits.referenceFaults = false;
    limits.mostFaults = 0;
    limits.shortest_s = 1800;
    return tests::generatePair(tests::randomPlan(seed, limits));
}

bool beginsNear(const std::vector<trace::Phase>& phases, PhaseKind kind, double when_s, ReferenceTime t0,
                double reach_s) {
    return std::ranges::any_of(phases, [&](const trace::Phase& phase) {
        return phase.kind == kind && std::abs(seconds(phase.span.begin, t0) - when_s) <= reach_s;
    });
}

}  // namespace

// A slope over 31 s sees a step up to 15 s beforehand.
TEST(SuggestedPhases, AStepUpIsRestThenRiseThenSteady) {
    const auto session = steadyThenUp({{200, 80}, {200, 150}});

    const auto phases = trace::suggestedPhases(session.reference, session.t0);

    EXPECT_EQ(kinds(phases), (std::vector{PhaseKind::Rest, PhaseKind::Rise, PhaseKind::Steady}));
    EXPECT_NEAR(seconds(phases[1].span.begin, session.t0), 200, 16);
    EXPECT_EQ(seconds(phases[0].span.begin, session.t0), 0);
    EXPECT_EQ(seconds(phases[2].span.end, session.t0), 399);
}

TEST(SuggestedPhases, AFallIsARecovery) {
    const auto session = steadyThenUp({{200, 160}, {200, 100}});

    EXPECT_EQ(kinds(trace::suggestedPhases(session.reference, session.t0)),
              (std::vector{PhaseKind::Steady, PhaseKind::Recovery, PhaseKind::Rest}));
}

TEST(SuggestedPhases, AChangeBelowTwelveBeatsIsNone) {
    const auto session = steadyThenUp({{200, 120}, {200, 130}});

    EXPECT_EQ(trace::suggestedPhases(session.reference, session.t0).size(), 1u);
}

TEST(SuggestedPhases, TouchFromFirstToLastSecond) {
    const auto session = sessionOf(rowing(11).reference);

    const auto phases = trace::suggestedPhases(session.reference, session.t0);

    ASSERT_FALSE(phases.empty());
    for (std::size_t i = 1; i < phases.size(); ++i)
        EXPECT_EQ(phases[i - 1].span.end, phases[i].span.begin);
    EXPECT_TRUE(trace::levelled(phases));
}

TEST(SuggestedPhases, AGapPartsThem) {
    const auto whole = steadyThenUp({{100, 80}, {100, 80}});
    std::vector<tests::Sample> samples;
    for (int i = 0; i < 300; ++i)
        if (i < 100 || i >= 150) samples.push_back({static_cast<double>(i), 80});
    const auto parted = sessionOf(tests::recordingOf(samples));

    EXPECT_EQ(trace::suggestedPhases(whole.reference, whole.t0).size(), 1u);
    EXPECT_EQ(trace::suggestedPhases(parted.reference, parted.t0).size(), 2u);
}

TEST(SuggestedPhases, ATraceOfSecondsGivesNone) {
    const auto session = steadyThenUp({{10, 80}});

    EXPECT_TRUE(trace::suggestedPhases(session.reference, session.t0).empty());
}

TEST(SuggestedPhases, SeeTheEffortsOfRowingIntervals) {
    int efforts = 0, rises = 0, recoveries = 0;
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const auto pair = rowing(seed);
        const auto session = sessionOf(pair.reference);
        const auto phases = trace::suggestedPhases(session.reference, session.t0);
        const auto& rates = pair.truth.rate_bpm;
        for (const auto& phase : pair.truth.phases) {
            const auto begin = static_cast<std::size_t>(std::max(0.0, phase.start_s)),
                       end = static_cast<std::size_t>(phase.end_s);
            // Only efforts that the heart answered, and was let rest after, can be seen.
            if (!phase.effort || end + 90 >= rates.size() || rates[end] - rates[begin] < 25 ||
                rates[end] - rates[end + 90] < 25)
                continue;
            ++efforts;
            rises += beginsNear(phases, PhaseKind::Rise, phase.start_s, session.t0, 20);
            recoveries += beginsNear(phases, PhaseKind::Recovery, phase.end_s, session.t0, 20);
        }
    }

    ASSERT_GT(efforts, 60);
    EXPECT_GE(rises, efforts * 95 / 100) << efforts;
    EXPECT_GE(recoveries, efforts * 95 / 100) << efforts;
}
