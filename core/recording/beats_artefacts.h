#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace beatwitness::recording {

/// Thresholds of artefactsAmong().
struct ArtefactRules {
    double factor = 5.2;      ///< times the quartile deviation: 99.95 % of normal differences lie within
    std::size_t window = 91;  ///< beats around each that the quartiles are of
    std::size_t medianWindow = 11;     ///< beats around each that its median is of
    double slope = 0.13, lift = 0.17;  ///< border of the ectopic pattern, in thresholds
    double farFromMedian = 3.0;        ///< thresholds from the local median
    double leastThreshold =
        0.05;  ///< of the local median; ours, for intervals rounded so far that quartiles vanish
    double shortest_ms = 240.0, longest_ms = 2400.0;  ///< 250 and 25 bpm: outside no interval is a heart's
};

/// Which beat intervals are no distance of two neighbouring normal beats: missed, extra and ectopic beats.
///
/// Differences of neighbours (dRR) and deviations from the local median (mRR, doubled where negative) are
/// each measured in thresholds that move along: `factor` times the quartile deviation of their neighbourhood.
/// Down, up, down (or the reverse) in dRR is an ectopic beat, and the two intervals that it parts are judged;
/// up and down within two beats is a long interval, down and up a short one; far from the median is either.
///
/// Simplified: the paper tells missed from extra beats in order to correct them, here each is only judged;
/// its quartiles are taken of signed differences, which is what its 99.95 % stands for; the floor of a
/// threshold is ours. `beginsRun` marks intervals that do not follow upon the one before (beats between are
/// absent): no difference is taken there. Empty: one run. Requires: finite intervals, beginsRun empty or of
/// the same size. O(n) for fixed windows; 12 bytes an interval on the way. Source: Lipponen & Tarvainen, J
/// Med Eng Technol 2019;43:173-181.
[[nodiscard]] std::vector<bool> artefactsAmong(std::span<const double> intervals_ms,
                                               const std::vector<bool>& beginsRun = {},
                                               const ArtefactRules& rules = {});

}  // namespace beatwitness::recording
