#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "core/foundation/units.h"
#include "core/trace/session_trace.h"

namespace beatwitness::trace {

/// A closed stretch of session time, begin <= end.
struct SessionSpan {
    SessionTime begin;
    SessionTime end;
};

/// The seconds of a session in which both traces have a value.
///
/// Invariants: the three vectors have one length; seconds strictly ascending.
struct Pairs {
    std::vector<std::int64_t> seconds;
    std::vector<Bpm> reference;
    std::vector<Bpm> test;
    std::size_t referenceSeconds = 0;  ///< seconds in which the reference has a value and is not excluded

    [[nodiscard]] std::size_t size() const { return seconds.size(); }
    [[nodiscard]] BpmDelta error(std::size_t i) const { return test[i] - reference[i]; }
};

/// Pairs of two traces, less the seconds inside `excluded` (begin <= t <= end; any order, may overlap), which
/// leave the pairs and the reference seconds alike. O(seconds).
[[nodiscard]] Pairs pairSeconds(const SecondlyRates& reference, const SecondlyRates& test,
                                std::span<const SessionSpan> excluded = {});

}  // namespace beatwitness::trace
