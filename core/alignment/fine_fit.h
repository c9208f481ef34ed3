#pragma once

#include <cstdint>
#include <vector>

#include "core/alignment/second_grid.h"
#include "core/foundation/units.h"

namespace beatwitness::alignment {

/// Offset at t0 and drift of a test clock; session seconds s and uncorrected test seconds u are related by
/// u = s / (1 + drift * 1e-6) - offset.
struct ClockFit {
    double offset_s = 0.0;
    double drift_ppm = 0.0;
};

/// Seconds of the reference grid (index as there) that are used: both traces hold a value and follow each
/// other.
using UsedSeconds = std::vector<std::uint8_t>;

/// What masking needs to know; see usedSeconds().
struct MaskSettings {
    double tolerance_s =
        4.0;               ///< a test value may lie where the reference is within this long; covers smoothing
    double out_bpm = 8.0;  ///< further outside that range: the device does not follow
    double back_bpm = 3.0;     ///< an episode lasts until the test is back within this
    std::int64_t guard_s = 3;  ///< seconds taken away on either side of an episode
};

/// Which seconds of the reference grid show the two traces following each other under `fit`.
///
/// A second is out where the test, less the median difference, lies more than out_bpm outside all that the
/// reference reads within tolerance_s; the whole episode around it goes, from where it leaves back_bpm to
/// where it returns. Comparing with a range in time, not a point, keeps the sharp turns of a smoothing device
/// in. Lags, missed rises, half-rate stretches and the like go: they must not pull the clock.
[[nodiscard]] UsedSeconds usedSeconds(const SecondGrid& reference, const SecondGrid& test,
                                      const ClockFit& fit, const MaskSettings& settings);

/// One block's part of the normal equations of the difference on (1, slope, slope x time): sums over its
/// seconds. Blocks add up, so that resampling whole blocks costs nothing but sums.
struct NormalSums {
    double n = 0, x = 0, xx = 0, z = 0, zz = 0, xz = 0, d = 0, xd = 0, zd = 0, dd = 0;
    NormalSums& operator+=(const NormalSums& other);
};

/// The fit and the blocks behind it.
struct FineFit {
    ClockFit fit;
    std::int64_t usedSeconds = 0;
    std::int64_t commonSeconds = 0;  ///< both traces hold a value
    double rms_bpm = 0.0;            ///< of the used differences about their mean
    double referenceSd_bpm = 0.0;    ///< of the reference in the used seconds
    double centre_s = 0.0;           ///< session second about which slope x time is taken
    std::vector<NormalSums> blocks;  ///< at the fit, by stretches of `block_s` of session time
    UsedSeconds used;
};

enum class Drift { None, Fitted };

/// Least squares of the smoothed level difference about its mean over the used seconds, by Gauss-Newton from
/// `start`, masking anew at each round: the contract's estimand with the mask estimated.
///
/// The test is read between whole seconds by a four-point cubic. O(rounds x seconds).
[[nodiscard]] FineFit fineFit(const SecondGrid& reference, const SecondGrid& test, const ClockFit& start,
                              Drift drift, const MaskSettings& settings, std::int64_t block_s);

/// Correction of (offset at the centre, drift) that `sums` ask for. nullopt-like: ok is false where the
/// slopes carry no information.
struct NewtonStep {
    bool ok = false;
    double offset_s = 0.0;   ///< to add to the offset at the centre
    double drift_ppm = 0.0;  ///< to add
};
[[nodiscard]] NewtonStep newtonStep(const NormalSums& sums, Drift drift);

/// Root mean square of the used differences about their mean when the test is shifted by `offset_s`.
[[nodiscard]] double rmsAt(const SecondGrid& reference, const SecondGrid& test, const UsedSeconds& used,
                           const ClockFit& fit, std::int64_t stride);

}  // namespace beatwitness::alignment
