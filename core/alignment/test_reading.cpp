#include "core/alignment/test_reading.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::alignment {

std::optional<Reading> readingAt(const SecondGrid& grid, double second) {
    const double below = std::floor(second);
    const auto j = static_cast<std::int64_t>(below) - grid.first;
    if (j < 0 || j + 1 >= grid.size()) return std::nullopt;
    const auto i = static_cast<std::size_t>(j);
    if (!(grid.valid[i] & grid.valid[i + 1])) return std::nullopt;
    const double f = second - below;
    const double p1 = grid.values[i], p2 = grid.values[i + 1];
    if (j < 1 || j + 2 >= grid.size() || !(grid.valid[i - 1] & grid.valid[i + 2]))
        return Reading{p1 + f * (p2 - p1), p2 - p1, 0.0};
    const double p0 = grid.values[i - 1], p3 = grid.values[i + 2];
    // Lagrange through four points: exact for the cubics that a smoothed trace is between three seconds.
    const double a = (p3 - p0) / 6 + (p1 - p2) / 2, b = (p0 + p2) / 2 - p1, c = p2 - p0 / 3 - p1 / 2 - p3 / 6;
    return Reading{((a * f + b) * f + c) * f + p1, (3 * a * f + 2 * b) * f + c, 6 * a * f + 2 * b};
}

namespace {

/// Without drift every second is read at the same fraction: one set of weights serves all.
std::vector<double> shifted(const SecondGrid& reference, const SecondGrid& test, double offset_s) {
    std::vector<double> values(reference.values.size(), std::nan(""));
    const double below = std::floor(-offset_s), f = -offset_s - below;
    const double before = -f * (f - 1) * (f - 2) / 6, here = (f + 1) * (f - 1) * (f - 2) / 2;
    const double next = -(f + 1) * f * (f - 2) / 2, after = (f + 1) * f * (f - 1) / 6;
    const std::int64_t apart = reference.first + static_cast<std::int64_t>(below) - test.first;
    const std::int64_t begin = std::max<std::int64_t>(0, -apart);
    const std::int64_t end = std::min(reference.size(), test.size() - 1 - apart);
    for (std::int64_t i = begin; i < end; ++i) {
        const auto j = static_cast<std::size_t>(i + apart);
        if (!(reference.valid[static_cast<std::size_t>(i)] & test.valid[j] & test.valid[j + 1])) continue;
        const bool inside = j >= 1 && j + 2 < test.values.size() && (test.valid[j - 1] & test.valid[j + 2]);
        const double* v = test.values.data() + j;
        values[static_cast<std::size_t>(i)] =
            inside ? before * v[-1] + here * v[0] + next * v[1] + after * v[2] : v[0] + f * (v[1] - v[0]);
    }
    return values;
}

}  // namespace

std::vector<double> testOnReference(const SecondGrid& reference, const SecondGrid& test,
                                    const ClockFit& fit) {
    if (fit.drift_ppm == 0.0) return shifted(reference, test, fit.offset_s);
    std::vector<double> values(reference.values.size(), std::nan(""));
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (!reference.valid[i]) continue;
        const double session_s = static_cast<double>(reference.first + static_cast<std::int64_t>(i));
        if (const auto reading = readingAt(test, testSecond(fit, session_s))) values[i] = reading->value;
    }
    return values;
}

}  // namespace beatwitness::alignment
