#include "core/alignment/second_grid.h"

#include <gtest/gtest.h>

#include <cmath>

using namespace beatwitness;

namespace {

trace::SecondlyRates line(std::int64_t n, double slope) {
    trace::SecondlyRates rates;
    for (std::int64_t i = 0; i < n; ++i) {
        rates.seconds.push_back(i);
        rates.rates.push_back(Bpm{100 + slope * static_cast<double>(i)});
    }
    return rates;
}

}  // namespace

TEST(SmoothedGrid, LeavesAStraightLineAloneAwayFromItsEnds) {
    const auto grid = alignment::smoothedGrid(line(60, 0.5), Seconds{3});

    for (std::int64_t s = 9; s < 51; ++s)
        EXPECT_NEAR(grid.at(s), 100 + 0.5 * static_cast<double>(s), 1e-9);
}

TEST(SmoothedGrid, LeftOutSecondsNeitherCountNorLeak) {
    auto rates = line(60, 0);
    for (int s = 30; s <= 35; ++s)
        rates.rates[s] = Bpm{200};
    const std::vector<trace::SessionSpan> leftOut{{sessionTime(30), sessionTime(35)}};

    const auto grid = alignment::smoothedGrid(rates, Seconds{3}, leftOut);

    EXPECT_FALSE(grid.has(30));
    EXPECT_FALSE(grid.has(35));
    for (std::int64_t s = 0; s < 60; ++s)
        EXPECT_TRUE(!grid.has(s) || std::abs(grid.at(s) - 100) < 1e-9) << s;
}

// By hand: of the Gaussian of sigma 3 the half beyond 3 s weighs 16 % (the sum of its terms), beyond 4 s 9.3
// %.
TEST(SmoothedGrid, SecondsBesideAHoleLoseTheirValue) {
    const std::vector<trace::SessionSpan> leftOut{{sessionTime(30), sessionTime(59)}};

    const auto grid = alignment::smoothedGrid(line(60, 0), Seconds{3}, leftOut);

    EXPECT_TRUE(grid.has(25));
    EXPECT_FALSE(grid.has(27));
}

// By hand: a step of 1 through a Gaussian of sigma 3 cut at 9 s; weight of the near half and the middle.
TEST(SmoothedGrid, WeighsAStepByTheGaussian) {
    auto rates = line(60, 0);
    for (int s = 30; s < 60; ++s)
        rates.rates[s] = Bpm{101};
    double above = 0.0, whole = 0.0;
    for (int k = -9; k <= 9; ++k) {
        const double weight = std::exp(-k * k / 18.0);
        whole += weight;
        if (k >= 0) above += weight;
    }

    const auto grid = alignment::smoothedGrid(rates, Seconds{3});

    EXPECT_NEAR(grid.at(30), 100 + above / whole, 1e-12);
}
