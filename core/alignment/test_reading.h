#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/alignment/second_grid.h"

namespace beatwitness::alignment {

/// Offset at t0 and drift of a test clock; session seconds s and uncorrected test seconds u are related by
/// u = s / (1 + drift * 1e-6) - offset.
struct ClockFit {
    double offset_s = 0.0;
    double drift_ppm = 0.0;
};

/// Uncorrected second of the test at a session second.
[[nodiscard]] inline double testSecond(const ClockFit& fit, double session_s) {
    return session_s / (1 + fit.drift_ppm * 1e-6) - fit.offset_s;
}

struct Reading {
    double value;
    double slope;      ///< per second of the test's own clock
    double curvature;  ///< per second squared
};

/// Four-point cubic between whole seconds; a line where a neighbour is missing; nothing in a hole.
[[nodiscard]] std::optional<Reading> readingAt(const SecondGrid& grid, double second);

/// The test's value at each second of the reference grid under `fit`; NaN where there is no pair. The one
/// place where NaN stands for absent, since masks walk over millions of these; it never leaves alignment.
[[nodiscard]] std::vector<double> testOnReference(const SecondGrid& reference, const SecondGrid& test,
                                                  const ClockFit& fit);

}  // namespace beatwitness::alignment
