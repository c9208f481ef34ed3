#pragma once

#include <cstdint>
#include <vector>

#include "core/alignment/mask_settings.h"
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

/// Which seconds of the reference grid show the two traces following each other under `fit`.
///
/// A second is out where the test, less the median difference, lies more than the noise allows outside all
/// that the reference reads within tolerance_s; the whole episode around it goes, from where it leaves
/// back_bpm to where it returns. Comparing with a range in time, not a point, keeps the sharp turns of a
/// smoothing device in. Lags, missed rises, half-rate stretches and the like go: they must not pull the
/// clock.
[[nodiscard]] UsedSeconds usedSeconds(const SecondGrid& reference, const SecondGrid& test,
                                      const ClockFit& fit, const MaskSettings& settings);

/// One block's part of what the loss does around the fit: sums over its seconds of the difference d, the
/// test's slope x and curvature w, and their products with time z. Blocks add up, so that resampling whole
/// blocks costs sums only.
struct BlockSums {
    double n = 0, d = 0, dd = 0;
    double x = 0, xx = 0, xd = 0, w = 0, wd = 0;       ///< for the offset
    double tx = 0, txx = 0, txd = 0, tw = 0, twd = 0;  ///< times time
    double ttxx = 0, ttw = 0, ttwd = 0;                ///< times time squared
    BlockSums& operator+=(const BlockSums& other);
};

/// The fit and the blocks behind it.
struct FineFit {
    ClockFit fit;
    std::int64_t usedSeconds = 0;
    std::int64_t commonSeconds = 0;  ///< both traces hold a value
    double rms_bpm = 0.0;            ///< of the used differences about their mean
    double referenceSd_bpm = 0.0;    ///< of the reference in the used seconds
    double centre_s = 0.0;           ///< session second about which slope x time is taken
    std::vector<BlockSums> blocks;   ///< at the fit, by stretches of `block_s` of session time
    UsedSeconds used;
};

enum class Drift { None, Fitted };

/// Least squares of the smoothed level difference about its mean over the used seconds, by Newton's method
/// from `start`, masking anew at each round: the contract's estimand with the mask estimated. A better
/// minimum within 10 s of where that ends is taken up.
///
/// The test is read between whole seconds by a four-point cubic. O(rounds x seconds).
[[nodiscard]] FineFit fineFit(const SecondGrid& reference, const SecondGrid& test, const ClockFit& start,
                              Drift drift, const MaskSettings& settings, std::int64_t block_s);

[[nodiscard]] BlockSums total(const std::vector<BlockSums>& blocks);

/// Half the derivatives of the mean square of d about its mean, by the offset at the centre and by the drift.
struct Gradient {
    double offset = 0.0;  ///< bpm^2 per s, sign of the step that lowers the loss
    double drift = 0.0;   ///< times seconds
};
[[nodiscard]] Gradient gradientOf(const BlockSums& sums);

/// Half its second derivatives; offset is 0 where the test has no slopes.
struct Curvature {
    double offset = 0.0;
    double cross = 0.0;
    double drift = 0.0;
};
[[nodiscard]] Curvature curvatureOf(const BlockSums& sums);

/// Correction of (offset at the centre, drift) that goes from the gradient to the bottom of a valley so
/// curved.
struct NewtonStep {
    bool ok = false;         ///< false where there is no valley
    double offset_s = 0.0;   ///< to add to the offset at the centre
    double drift_ppm = 0.0;  ///< to add
};
[[nodiscard]] NewtonStep newtonStep(const Gradient& gradient, const Curvature& curvature, Drift drift);

/// Nats by which following each other describes the two traces better than being unrelated does, over all
/// common seconds: used seconds by their difference, the others as anywhere within a wide band. Compares fits
/// whose common time differs: a shift that leaves only flat rest in common explains little.
[[nodiscard]] double explained(const SecondGrid& reference, const SecondGrid& test, const FineFit& fit);

/// Root mean square of the used differences about their mean when the test is shifted by `offset_s`.
[[nodiscard]] double rmsAt(const SecondGrid& reference, const SecondGrid& test, const UsedSeconds& used,
                           const ClockFit& fit, std::int64_t stride);

}  // namespace beatwitness::alignment
