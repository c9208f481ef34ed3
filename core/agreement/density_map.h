#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/foundation/units.h"
#include "core/trace/pairs.h"

namespace beatwitness::agreement {

/// How many pairs fall into each cell of a square grid of whole-bpm cells.
///
/// Cell i of either axis holds the rates r with lowest_bpm - 0.5 <= r - i * cellWidth_bpm < lowest_bpm - 0.5
/// + cellWidth_bpm: edges lie on half-integers, so that a device that reports whole beats never straddles
/// one. Rates outside the grid (valid heart rates are never) are not counted. Invariants: counts.size() ==
/// cells * cells; row by row from the lowest test rate, along the reference.
struct DensityMap {
    int lowest_bpm = 0;
    int cellWidth_bpm = 1;
    int cells = 0;  ///< along either axis
    std::vector<std::uint32_t> counts;
    std::uint64_t pairs = 0;    ///< sum of counts
    std::uint32_t largest = 0;  ///< greatest count

    [[nodiscard]] std::uint32_t at(int referenceCell, int testCell) const {
        return counts[static_cast<std::size_t>(testCell) * static_cast<std::size_t>(cells) +
                      static_cast<std::size_t>(referenceCell)];
    }
    /// Centre of a cell, in bpm.
    [[nodiscard]] double centre(int cell) const { return lowest_bpm - 0.5 + (cell + 0.5) * cellWidth_bpm; }
    /// Lower edge of a cell, in bpm.
    [[nodiscard]] double edge(int cell) const { return lowest_bpm - 0.5 + cell * cellWidth_bpm; }
};

/// Counts the pairs (reference[i], test[i]) in cells `cellWidth_bpm` wide over all valid heart rates (25 to
/// 250 bpm).
///
/// Requires: equal lengths; finite rates; cellWidth_bpm 1 to 50. Linear time: cell numbers for a block of
/// pairs first, which vectorises, then the count.
[[nodiscard]] DensityMap densityMap(std::span<const Bpm> reference, std::span<const Bpm> test,
                                    int cellWidth_bpm);

[[nodiscard]] inline DensityMap densityMap(const trace::Pairs& pairs, int cellWidth_bpm) {
    return densityMap(pairs.reference, pairs.test, cellWidth_bpm);
}

}  // namespace beatwitness::agreement
