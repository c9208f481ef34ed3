#pragma once

#include <cstdint>
#include <vector>

#include "core/alignment/device_smoothing.h"
#include "core/alignment/mask_settings.h"
#include "core/alignment/second_grid.h"
#include "core/alignment/test_reading.h"

namespace beatwitness::alignment {

/// Seconds of the reference grid (index as there) that are used: both traces hold a value and follow each
/// other.
using UsedSeconds = std::vector<std::uint8_t>;

/// Which seconds of the reference grid show the two traces following each other under `fit`.
///
/// A second is out where the test, less the median difference, lies more than the noise allows outside all
/// that a faithful device shows (`shown`) within tolerance_s; the whole episode around it goes, from where it
/// leaves back_bpm to where it returns. Comparing with a range in time, not a point, keeps the sharp turns of
/// a smoothing device in. Lags, missed rises, half-rate stretches and the like go: they must not pull the
/// clock.
[[nodiscard]] UsedSeconds usedSeconds(const SecondGrid& reference, const Shown& shown, const SecondGrid& test,
                                      const ClockFit& fit, const MaskSettings& settings);

}  // namespace beatwitness::alignment
