#include "core/agreement/pair_filter.h"

#include <gtest/gtest.h>

#include <random>

#include "tests/support/small_traces.h"

using namespace beatwitness;
using agreement::PairFilter;

namespace {

trace::SessionSpan span(double begin, double end) {
    return {sessionTime(begin), sessionTime(end)};
}

std::vector<std::int64_t> secondsThrough(const trace::Pairs& pairs, const PairFilter& filter) {
    return agreement::filtered(pairs, filter).seconds;
}

const trace::Pairs& sixPairs() {
    static const auto pairs = tests::pairsOf({100, 110, 120, 130, 140, 150}, {100, 56, 119, 65, 139, 300});
    return pairs;
}

}  // namespace

TEST(PairFilters, WhatAsksForNothingLetsAllThrough) {
    EXPECT_TRUE(PairFilter{}.asksForNothing());
    EXPECT_EQ(agreement::filtered(sixPairs(), {}).size(), 6u);
}

TEST(PairFilters, ARangeHoldsBothItsEnds) {
    PairFilter filter;
    filter.range = span(1, 3);

    EXPECT_EQ(secondsThrough(sixPairs(), filter), (std::vector<std::int64_t>{1, 2, 3}));
}

TEST(PairFilters, APhaseDoesNotHoldItsEnd) {
    PairFilter filter;
    filter.phases = std::vector{span(4, 6), span(0, 2)};

    EXPECT_EQ(secondsThrough(sixPairs(), filter), (std::vector<std::int64_t>{0, 1, 4, 5}));
}

TEST(PairFilters, AnEmptyListLetsNothingThrough) {
    PairFilter filter;
    filter.flags.emplace();

    EXPECT_TRUE(secondsThrough(sixPairs(), filter).empty());
}

// By hand: 56 is 1 off half of 110, 65 is half of 130.
TEST(PairFilters, ABandLiesAlongItsGuide) {
    PairFilter filter;
    filter.band = agreement::GuideBand{0.5, 1.0};

    EXPECT_EQ(secondsThrough(sixPairs(), filter), (std::vector<std::int64_t>{1, 3}));
}

TEST(PairFilters, ABoxHoldsItsEdges) {
    PairFilter filter;
    filter.box = agreement::RateBox{100, 120, 100, 119};

    EXPECT_EQ(secondsThrough(sixPairs(), filter), (std::vector<std::int64_t>{0, 2}));
}

TEST(PairFilters, CombineAsAll) {
    PairFilter filter;
    filter.range = span(2, 5);
    filter.band = agreement::GuideBand{0.5, 1.0};

    EXPECT_EQ(secondsThrough(sixPairs(), filter), (std::vector<std::int64_t>{3}));
}

TEST(PairFilters, OverlappingSpansAreWalkedAsBruteForceFindsThem) {
    std::mt19937 random(3);
    std::uniform_int_distribution<int> draw(0, 200);
    std::vector<trace::SessionSpan> spans;
    for (int i = 0; i < 12; ++i) {
        const int begin = draw(random);
        spans.push_back(span(begin, begin + draw(random) % 15));
    }
    trace::Pairs pairs;
    for (std::int64_t second = 0; second < 220; ++second)
        if (draw(random) > 20) {
            pairs.seconds.push_back(second);
            pairs.reference.push_back(Bpm{120});
            pairs.test.push_back(Bpm{121});
        }
    PairFilter filter;
    filter.flags = spans;

    std::vector<std::int64_t> expected;
    for (const auto second : pairs.seconds)
        for (const auto& one : spans)
            if (secondsOf(one.begin) <= static_cast<double>(second) &&
                static_cast<double>(second) <= secondsOf(one.end)) {
                expected.push_back(second);
                break;
            }

    EXPECT_EQ(secondsThrough(pairs, filter), expected);
}

TEST(PairFilters, NeighbouringSecondsAreOneStretch) {
    PairFilter filter;
    filter.phases = std::vector{span(0, 2), span(4, 6)};

    const auto stretches = agreement::stretchesOf(agreement::filtered(sixPairs(), filter));

    ASSERT_EQ(stretches.size(), 2u);
    EXPECT_EQ(secondsOf(stretches[0].end), 1);
    EXPECT_EQ(secondsOf(stretches[1].begin), 4);
}
