#include "core/alignment/device_smoothing.h"

#include <gtest/gtest.h>

#include <cmath>

using namespace beatwitness;

namespace {

constexpr double halfPeriod_s = 120.0;

/// Closed form of a one-pole low-pass (tau 0: none) over steps between 100 and 160 bpm, long settled.
double stepsSeen(double second, double tau_s) {
    const auto step = static_cast<std::int64_t>(second / halfPeriod_s);
    const double now = step % 2 == 0 ? 100 : 160, before = 260 - now;
    if (tau_s <= 0) return now;
    return now + (before - now) * std::exp(-(second - static_cast<double>(step) * halfPeriod_s) / tau_s);
}

alignment::SecondGrid gridOf(double tau_s) {
    alignment::SecondGrid grid;
    for (int second = 0; second < 1200; ++second)
        grid.values.push_back(stepsSeen(second, tau_s));
    grid.valid.assign(grid.values.size(), 1);
    return grid;
}

}  // namespace

TEST(DeviceSmoothing, TimeConstantOfALowPassIsRecognised) {
    const auto smoothing = alignment::smoothingOf(gridOf(0), gridOf(15), {});

    EXPECT_EQ(smoothing.tau_s, 15);
}

TEST(DeviceSmoothing, ADeviceAsSharpAsTheReferenceSmoothsNothing) {
    const auto smoothing = alignment::smoothingOf(gridOf(0), gridOf(0), {});

    EXPECT_EQ(smoothing.tau_s, 0);
}
