#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "core/foundation/units.h"
#include "core/trace/pairs.h"
#include "core/trace/session_trace.h"

namespace beatwitness::alignment {

/// A trace at every whole second from `first` on, smoothed, with the seconds that hold no value marked.
///
/// Invariants: values and valid have one length; a value that is not valid is 0 and must not be read.
struct SecondGrid {
    std::int64_t first = 0;           ///< second of index 0
    std::vector<double> values;       ///< bpm
    std::vector<std::uint8_t> valid;  ///< 1 or 0

    [[nodiscard]] std::int64_t size() const { return static_cast<std::int64_t>(values.size()); }
    [[nodiscard]] std::int64_t end() const { return first + size(); }
    [[nodiscard]] bool has(std::int64_t second) const {
        return second >= first && second < end() && valid[static_cast<std::size_t>(second - first)];
    }
    /// Requires: has(second).
    [[nodiscard]] double at(std::int64_t second) const {
        return values[static_cast<std::size_t>(second - first)];
    }
};

/// Longest stretch that a grid is made for, in seconds: two weeks. Absurd dates must not cost memory.
inline constexpr std::int64_t longestGrid_s = 14 * 86400;

/// The trace on whole seconds (pairing rules: linear across joined samples), less the `leftOut` spans,
/// smoothed by a Gaussian of `sigma` cut at three sigma whose weights are renormalised over the seconds that
/// hold a value.
///
/// Requires: seconds.back() - seconds.front() < longestGrid_s; `rates` not empty. O(seconds).
[[nodiscard]] SecondGrid smoothedGrid(const trace::SecondlyRates& rates, Seconds sigma,
                                      std::span<const trace::SessionSpan> leftOut = {});

}  // namespace beatwitness::alignment
