#pragma once

#include <vector>

#include "core/alignment/second_grid.h"
#include "core/alignment/test_reading.h"

namespace beatwitness::alignment {

/// How a device smooths: a one-pole low-pass, told by its time constant. 0: as sharp as the reference.
struct DeviceSmoothing {
    double tau_s = 0.0;
    double delay_s = 0.0;  ///< of the low-pass against the constant shift that the fit has taken up
};

/// What a faithful device would show, at the reference's seconds. Only for telling which seconds follow: the
/// fit itself compares with the reference as it is.
struct Shown {
    std::vector<double> values;   ///< read only where the reference is valid
    std::vector<double> highest;  ///< within the tolerance of each second
    std::vector<double> lowest;
};

[[nodiscard]] Shown shownBy(const SecondGrid& reference, const DeviceSmoothing& smoothing,
                            double tolerance_s);

/// The smoothing under which the reference comes closest to the test near `fit`; none unless that brings the
/// two clearly closer. A device that smooths by half a minute cuts every corner: without this each corner
/// would pass for a fault and leave the fit with slow changes only.
///
/// O(60 x min(seconds, 1000) + 5 x seconds).
[[nodiscard]] DeviceSmoothing smoothingOf(const SecondGrid& reference, const SecondGrid& test,
                                          const ClockFit& fit);

}  // namespace beatwitness::alignment
