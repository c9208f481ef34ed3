#include "core/agreement/density_map.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <map>
#include <random>

using namespace beatwitness;
using agreement::densityMap;

namespace {

struct PairColumns {
    std::vector<Bpm> reference, test;
};

/// Seeded pairs all over the valid range, halves and tenths included.
PairColumns scattered(std::size_t count) {
    std::mt19937 random(11);
    std::uniform_int_distribution<int> tenths(250, 2500);
    PairColumns pairs;
    for (std::size_t i = 0; i < count; ++i) {
        pairs.reference.push_back({tenths(random) / 10.0});
        pairs.test.push_back({tenths(random) / 10.0});
    }
    return pairs;
}

/// Brute force: the cell whose half-open interval holds the rate, found by trying every cell.
int cellByTrying(const agreement::DensityMap& map, Bpm rate) {
    for (int cell = 0; cell < map.cells; ++cell)
        if (rate.value >= map.edge(cell) && rate.value < map.edge(cell + 1)) return cell;
    return -1;
}

class DensityMapOfWidth : public ::testing::TestWithParam<int> {};

}  // namespace

// By hand.
TEST(DensityMap, CountsWholeBeatsInTheirOwnCells) {
    const std::array reference{Bpm{151}, Bpm{151}, Bpm{120}};
    const std::array test{Bpm{76}, Bpm{76}, Bpm{121}};

    const auto map = densityMap(reference, test, 1);

    EXPECT_EQ(map.pairs, 3U);
    EXPECT_EQ(map.largest, 2U);
    EXPECT_EQ(map.at(151 - map.lowest_bpm, 76 - map.lowest_bpm), 2U);
    EXPECT_EQ(map.at(120 - map.lowest_bpm, 121 - map.lowest_bpm), 1U);
    EXPECT_EQ(map.centre(151 - map.lowest_bpm), 151.0);
}

// By hand: edges lie on half-integers and belong to the cell above.
TEST(DensityMap, PutsAnEdgeIntoTheCellAbove) {
    const std::array reference{Bpm{99.4}, Bpm{99.5}};
    const std::array test{Bpm{100.49}, Bpm{100.5}};

    const auto map = densityMap(reference, test, 1);

    EXPECT_EQ(map.at(99 - map.lowest_bpm, 100 - map.lowest_bpm), 1U);
    EXPECT_EQ(map.at(100 - map.lowest_bpm, 101 - map.lowest_bpm), 1U);
}

TEST(DensityMap, HoldsTheWholeValidRange) {
    const std::array ends{Bpm{25}, Bpm{250}};
    for (const int width : {1, 2, 5}) {
        const auto map = densityMap(ends, ends, width);

        EXPECT_EQ(map.pairs, 2U) << width;
        EXPECT_LE(map.edge(0), 25.0) << width;
        EXPECT_GT(map.edge(map.cells), 250.0) << width;
    }
}

TEST(DensityMap, LeavesOutRatesBeyondTheGrid) {
    const std::array reference{Bpm{10}, Bpm{300}, Bpm{100}};
    const std::array test{Bpm{100}, Bpm{100}, Bpm{100}};

    EXPECT_EQ(densityMap(reference, test, 1).pairs, 1U);
}

TEST(DensityMap, IsEmptyWithoutPairs) {
    const auto map = densityMap(std::span<const Bpm>(), std::span<const Bpm>(), 1);

    EXPECT_EQ(map.pairs, 0U);
    EXPECT_EQ(map.largest, 0U);
}

// More pairs than a block, and not a multiple of one.
TEST_P(DensityMapOfWidth, AgreesWithTryingEveryCell) {
    const auto pairs = scattered(5003);

    const auto map = densityMap(pairs.reference, pairs.test, GetParam());

    std::map<std::pair<int, int>, std::uint32_t> expected;
    for (std::size_t i = 0; i < pairs.reference.size(); ++i)
        ++expected[{cellByTrying(map, pairs.reference[i]), cellByTrying(map, pairs.test[i])}];
    for (int r = 0; r < map.cells; ++r)
        for (int t = 0; t < map.cells; ++t) {
            const auto found = expected.find({r, t});
            ASSERT_EQ(map.at(r, t), found == expected.end() ? 0U : found->second) << r << " " << t;
        }
    EXPECT_EQ(map.pairs, 5003U);
}

INSTANTIATE_TEST_SUITE_P(Widths, DensityMapOfWidth, ::testing::Values(1, 2, 5));
