#include "core/alignment/movement.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace beatwitness::alignment {

namespace {

constexpr std::size_t changeWithin_s = 180;
constexpr std::size_t changeStride_s = 5;

}  // namespace

double range95(const SecondGrid& grid) {
    std::vector<double> values;
    for (std::size_t i = 0; i < grid.values.size(); ++i)
        if (grid.valid[i]) values.push_back(grid.values[i]);
    if (values.empty()) return 0.0;
    const auto at = [&](double p) {
        const auto k = static_cast<std::ptrdiff_t>(p * static_cast<double>(values.size() - 1));
        std::nth_element(values.begin(), values.begin() + k, values.end());
        return values[static_cast<std::size_t>(k)];
    };
    const double high = at(0.95);
    return high - at(0.05);
}

int steps(const SecondGrid& grid, const UsedSeconds& used, double least_bpm) {
    int count = 0;
    std::size_t from = 0;  // the next one begins here or later
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        for (std::size_t j = std::max(from, i - std::min(i, changeWithin_s)); j < i; j += changeStride_s) {
            if (!used[j] || std::abs(grid.values[i] - grid.values[j]) < least_bpm) continue;
            ++count;
            from = i;
            break;
        }
    }
    return count;
}

int swings(const SecondGrid& grid, const UsedSeconds& used, double least_bpm) {
    int count = 0, direction = 0;
    double lowest = 1e9, highest = -1e9;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        const double value = grid.values[i];
        lowest = std::min(lowest, value);
        highest = std::max(highest, value);
        const bool rose = direction <= 0 && value - lowest >= least_bpm;
        const bool fell = direction >= 0 && highest - value >= least_bpm;
        if (rose || fell) {
            ++count;
            direction = rose ? 1 : -1;
        }
        // The next swing is measured from this one's far end.
        if (rose || (direction > 0 && value >= highest)) lowest = highest = value;
        if (fell || (direction < 0 && value <= lowest)) lowest = highest = value;
    }
    return count;
}

double sdAboutLine(const SecondGrid& grid, const UsedSeconds& used) {
    double n = 0, t = 0, v = 0;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        ++n;
        t += static_cast<double>(i);
        v += grid.values[i];
    }
    if (n < 3) return 0.0;
    double tt = 0, tv = 0, vv = 0;
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (!used[i]) continue;
        const double dt = static_cast<double>(i) - t / n, dv = grid.values[i] - v / n;
        tt += dt * dt;
        tv += dt * dv;
        vv += dv * dv;
    }
    return std::sqrt(std::max(0.0, vv - tv * tv / tt) / n);
}

}  // namespace beatwitness::alignment
