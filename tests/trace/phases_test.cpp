#include "core/trace/phases.h"

#include <gtest/gtest.h>

using namespace beatwitness;
using trace::Phase;
using trace::PhaseKind;
using trace::PhasePlan;

namespace {

ReferenceTime at(int second) {
    return ReferenceTime{std::chrono::seconds{second}};
}

Phase phase(int begin, int end, std::string label = {}) {
    Phase result;
    result.span = {at(begin), at(end)};
    result.kind = PhaseKind::Effort;
    result.label = std::move(label);
    return result;
}

std::vector<int> levels(const PhasePlan& plan) {
    std::vector<int> result;
    for (const auto& one : plan)
        result.push_back(one.level);
    return result;
}

PhasePlan plan(std::vector<Phase> phases) {
    auto made = trace::levelled(std::move(phases));
    EXPECT_TRUE(made);
    return made ? *made : PhasePlan{};
}

}  // namespace

TEST(PhasePlans, TouchingPhasesShareALevel) {
    const auto made = plan({phase(100, 200), phase(0, 100)});

    EXPECT_EQ(made.front().span.begin, at(0));
    EXPECT_EQ(levels(made), (std::vector{0, 0}));
}

// By hand: the set lies inside the effort, so under it; the rest beside the set; the overlapping one below.
TEST(PhasePlans, APhaseLiesUnderEveryPhaseThatHoldsIt) {
    const auto made =
        plan({phase(0, 100, "effort"), phase(10, 40, "set"), phase(40, 60, "rest"), phase(50, 120, "late")});

    EXPECT_EQ(levels(made), (std::vector{0, 1, 1, 2}));
}

TEST(PhasePlans, WhatIsHeldNeverLiesBesideItsHolder) {
    const auto made = plan({phase(0, 20), phase(10, 100), phase(30, 40)});

    EXPECT_EQ(levels(made), (std::vector{0, 1, 2}));
}

TEST(PhasePlans, FiveDeepIsRefused) {
    const auto deep =
        trace::levelled({phase(0, 100), phase(1, 99), phase(2, 98), phase(3, 97), phase(4, 96)});

    ASSERT_FALSE(deep);
    EXPECT_EQ(deep.fault().code, FaultCode::WrongUsage);
}

TEST(PhasePlans, APhaseThatEndsBeforeItBeginsIsRefused) {
    EXPECT_FALSE(trace::withPhase({}, phase(50, 40)));
    EXPECT_FALSE(trace::withPhase({}, phase(50, 50)));
}

TEST(PhasePlans, SplittingKeepsKindAndLabelOnBothSides) {
    const auto parts = trace::splitPhase(plan({phase(0, 100, "row")}), 0, at(30));

    ASSERT_TRUE(parts);
    ASSERT_EQ(parts->size(), 2u);
    EXPECT_EQ((*parts)[0].span.end, at(30));
    EXPECT_EQ((*parts)[1].span.begin, at(30));
    EXPECT_EQ((*parts)[1].label, "row");
}

TEST(PhasePlans, SplittingAtAnEndIsRefused) {
    EXPECT_FALSE(trace::splitPhase(plan({phase(0, 100)}), 0, at(0)));
    EXPECT_FALSE(trace::splitPhase(plan({phase(0, 100)}), 0, at(170)));
}

TEST(PhasePlans, JoiningTakesTheNextOfTheSameLevel) {
    const auto joined =
        trace::joinWithNext(plan({phase(0, 100, "one"), phase(10, 20, "inner"), phase(120, 200, "two")}), 0);

    ASSERT_TRUE(joined);
    ASSERT_EQ(joined->size(), 2u);
    EXPECT_EQ((*joined)[0].span.end, at(200));
    EXPECT_EQ((*joined)[0].label, "one");
    EXPECT_EQ((*joined)[1].label, "inner");
}

TEST(PhasePlans, JoiningTheLastIsRefused) {
    EXPECT_FALSE(trace::joinWithNext(plan({phase(0, 100)}), 0));
}

// By hand: 50 s later, cut at 200; what begins at 210 is gone.
TEST(PhasePlans, CopyingCutsAtTheOtherSession) {
    const auto moved = trace::shiftedInto(plan({phase(0, 100), phase(120, 190), phase(160, 180)}),
                                          std::chrono::seconds{50}, {at(0), at(200)});

    ASSERT_EQ(moved.size(), 2u);
    EXPECT_EQ(moved[0].span.begin, at(50));
    EXPECT_EQ(moved[1].span.end, at(200));
    EXPECT_EQ(moved[0].origin, trace::PhaseOrigin::Copy);
}

TEST(PhasePlans, TheInnermostPhaseHoldsItsBeginAndNotItsEnd) {
    const auto made = plan({phase(0, 100), phase(20, 40)});

    EXPECT_EQ(trace::innermostAt(made, at(20)), 1u);
    EXPECT_EQ(trace::innermostAt(made, at(40)), 0u);
    EXPECT_EQ(trace::innermostAt(made, at(100)), std::nullopt);
}

TEST(PhasePlans, EveryKindAndOriginIsFoundByItsName) {
    for (int i = 0; i < trace::phaseKinds; ++i) {
        const auto kind = static_cast<PhaseKind>(i);
        EXPECT_EQ(trace::phaseKindOf(trace::phaseKindName(kind)), kind);
    }
    EXPECT_EQ(trace::phaseKindOf("nap"), std::nullopt);
    EXPECT_EQ(trace::phaseOriginOf("lap"), trace::PhaseOrigin::Lap);
}

TEST(PhasePlans, ALapIsProposedUnderItsLabelOrNumber) {
    const recording::Lap first{
        {RecordingTime{std::chrono::seconds{10}}, RecordingTime{std::chrono::seconds{20}}}, "row"};
    const recording::Lap second{
        {RecordingTime{std::chrono::seconds{20}}, RecordingTime{std::chrono::seconds{50}}}, ""};
    const std::vector laps{first, second};

    const auto phases = trace::lapPhases(laps, std::chrono::seconds{5});

    ASSERT_EQ(phases.size(), 2u);
    EXPECT_EQ(phases[0].label, "row");
    EXPECT_EQ(phases[0].span.begin, at(15));
    EXPECT_EQ(phases[1].label, "lap 2");
}
