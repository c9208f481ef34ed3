#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/trace/pairs.h"
#include "core/trace/session_trace.h"

namespace beatwitness::flags {

/// Values on every whole second from `first` on, with those that hold none marked.
///
/// Invariants: both vectors have one length; a value that is not valid must not be read.
struct SecondRow {
    std::int64_t first = 0;
    std::vector<double> values;
    std::vector<std::uint8_t> valid;

    [[nodiscard]] std::size_t size() const { return values.size(); }
    [[nodiscard]] bool has(std::int64_t second) const {
        return second >= first && second < first + static_cast<std::int64_t>(size()) &&
               valid[static_cast<std::size_t>(second - first)] != 0;
    }
    [[nodiscard]] double at(std::int64_t second) const {
        return values[static_cast<std::size_t>(second - first)];
    }
};

/// `rates` laid on the seconds `first` to `last`, both included.
[[nodiscard]] SecondRow rowOf(const trace::SecondlyRates& rates, std::int64_t first, std::int64_t last);

/// Lowest and highest value within `reach` seconds to either side; valid where any second of it holds one.
struct Envelope {
    std::vector<double> low, high;
    std::vector<std::uint8_t> valid;
};
[[nodiscard]] Envelope envelopeOf(const SecondRow& row, std::int64_t reach);

/// Both traces of a session on the seconds of the reference's span.
///
/// Index i is session second first + i. `paired`: both hold a value and no excluded span covers the second.
struct SecondTable {
    std::int64_t first = 0;
    SecondRow reference, test;
    std::vector<std::uint8_t> paired;
    double bias_bpm = 0.0;    ///< median error, within FollowSettings::mostBias_bpm
    double noise_bpm = 0.0;   ///< robust sd of the error while the test follows
    std::size_t flank_s = 2;  ///< seconds that a step of the test is smeared over by its sampling, at least 2
    std::vector<double> smoothError;  ///< error less bias, mean over 5 s of paired seconds; 0 where none

    [[nodiscard]] std::size_t size() const { return paired.size(); }
    /// Requires: paired[i].
    [[nodiscard]] double error(std::size_t i) const {
        return test.values[i] - reference.values[i] - bias_bpm;
    }
};

struct FollowSettings;

/// Requires: `reference` not empty.
[[nodiscard]] SecondTable secondTable(const trace::SecondlyRates& reference, const trace::SecondlyRates& test,
                                      std::span<const trace::SessionSpan> excluded,
                                      const FollowSettings& settings);

/// A closed stretch of table seconds, by index.
struct Stretch {
    std::size_t first = 0;
    std::size_t last = 0;
    [[nodiscard]] std::size_t seconds() const { return last - first + 1; }
};

}  // namespace beatwitness::flags
