#include "core/alignment/test_reading.h"

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

std::vector<double> testOnReference(const SecondGrid& reference, const SecondGrid& test,
                                    const ClockFit& fit) {
    std::vector<double> values(reference.values.size(), std::nan(""));
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (!reference.valid[i]) continue;
        const double session_s = static_cast<double>(reference.first + static_cast<std::int64_t>(i));
        if (const auto reading = readingAt(test, testSecond(fit, session_s))) values[i] = reading->value;
    }
    return values;
}

}  // namespace beatwitness::alignment
