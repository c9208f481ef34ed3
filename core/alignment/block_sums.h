#pragma once

#include <cstdint>
#include <vector>

#include "core/alignment/follow_mask.h"

namespace beatwitness::alignment {

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

/// Sums over the used seconds, by stretches of `block_s` of session time; time counts from `centre_s`.
[[nodiscard]] std::vector<BlockSums> blockSums(const SecondGrid& reference, const SecondGrid& test,
                                               const UsedSeconds& used, const ClockFit& fit, double centre_s,
                                               std::int64_t block_s);

enum class Drift { None, Fitted };

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

}  // namespace beatwitness::alignment
