#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/alignment/second_grid.h"
#include "core/foundation/run_control.h"

namespace beatwitness::alignment {

/// One whole-second shift of the test and how badly the traces agree under it.
struct ShiftScore {
    std::int64_t shift_s = 0;  ///< added to the test clock
    double score =
        1.0;  ///< bounded loss over what two unrelated traces would give; 0 same shape, ~1 unrelated
    std::int64_t overlap_s = 0;  ///< common valid seconds, as far as they were looked at

    /// How much speaks for the shift: a few minutes that look alike are found by chance, a whole workout is
    /// not.
    [[nodiscard]] double evidence() const;
};

/// A closed range of shifts to look through.
struct ShiftRange {
    std::int64_t first_s = 0;
    std::int64_t last_s = 0;
};

/// Tukey's biweight at 20 bpm: half-rate stretches and missed rises count as far off, however far.
/// Source: field guide section 4 (smallest worst case of five losses on simulated pairs).
inline constexpr double bitingPoint_bpm = 20.0;

/// Looks through `ranges` in steps of `step_s` and returns every local minimum of the score with at least
/// `leastOverlap_s` of common time, most evidence first, at most `most` of them, each refined to the whole
/// second.
///
/// Score of a shift: mean bounded loss of the level difference about its median, divided by the bounded
/// spread of both traces over the same stretch. The division keeps a shift that leaves nothing but flat rest
/// from winning. Cost: about (shifts) x min(seconds, 2000). Tests `run` between shifts; returns what it has
/// when stopped.
[[nodiscard]] std::vector<ShiftScore> bestShifts(const SecondGrid& reference, const SecondGrid& test,
                                                 const std::vector<ShiftRange>& ranges, std::int64_t step_s,
                                                 std::int64_t leastOverlap_s, std::size_t most,
                                                 const RunControl& run);

}  // namespace beatwitness::alignment
