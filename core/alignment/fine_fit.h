#pragma once

#include <cstdint>
#include <vector>

#include "core/alignment/block_sums.h"
#include "core/alignment/follow_mask.h"

namespace beatwitness::alignment {

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

/// Least squares of the smoothed level difference about its mean over the used seconds, by Newton's method
/// from `start`, masking anew at each round: the contract's estimand with the mask estimated. A better
/// minimum within 10 s of where that ends is taken up.
///
/// The test is read between whole seconds by a four-point cubic. O(rounds x seconds).
[[nodiscard]] FineFit fineFit(const SecondGrid& reference, const Shown& shown, const SecondGrid& test,
                              const ClockFit& start, Drift drift, const MaskSettings& settings,
                              std::int64_t block_s);

/// Nats by which following each other describes the two traces better than being unrelated does, over all
/// common seconds: used seconds by their difference, the others as anywhere within a wide band. Compares fits
/// whose common time differs: a shift that leaves only flat rest in common explains little.
[[nodiscard]] double explained(const SecondGrid& reference, const SecondGrid& test, const FineFit& fit);

/// Root mean square of the used differences about their mean when the test is shifted by `offset_s`.
[[nodiscard]] double rmsAt(const SecondGrid& reference, const SecondGrid& test, const UsedSeconds& used,
                           const ClockFit& fit, std::int64_t stride);

}  // namespace beatwitness::alignment
