#pragma once

#include <cstdint>
#include <vector>

#include "core/agreement/attribution.h"
#include "core/agreement/session_sums.h"
#include "core/trace/pairs.h"

namespace beatwitness::agreement {

/// The seconds of a session in which the reference has a value and is not excluded, and what one device read
/// beside it under one clock: filters by phase, range, epoch and flag all work on this.
///
/// Invariants: all columns have one length; seconds strictly ascending; `test` counts only where `paired`.
struct PairedSeconds {
    std::vector<std::int32_t> seconds;
    std::vector<double> reference;     ///< bpm
    std::vector<double> test;          ///< bpm
    std::vector<std::uint8_t> paired;  ///< 1 where the device has a value too
    std::vector<std::uint8_t> flag;    ///< 0: no flag on the test; else 1 + flags::FlagKind
    double firstSample_s = 0.0;        ///< of the device, session time
    double lastSample_s = 0.0;

    [[nodiscard]] std::size_t size() const { return seconds.size(); }
};

/// Reference seconds by where they lie to the device's own recording.
struct SpanSeconds {
    double own = 0.0;    ///< between its first and last sample
    double late = 0.0;   ///< before its first
    double early = 0.0;  ///< after its last
};

[[nodiscard]] SessionSums sumsOf(const PairedSeconds& seconds);
[[nodiscard]] SpanSeconds spansOf(const PairedSeconds& seconds);
/// Errors of the paired seconds in the order of time.
[[nodiscard]] std::vector<double> errorsOf(const PairedSeconds& seconds);

/// Each pair for the kind of its flag, as attributionOf() of pairs and flags.
[[nodiscard]] Attribution attributionOf(const PairedSeconds& seconds);

/// Seconds with `keep(i)` only.
template <class Keep>
[[nodiscard]] PairedSeconds filtered(const PairedSeconds& all, Keep keep) {
    PairedSeconds kept;
    kept.firstSample_s = all.firstSample_s;
    kept.lastSample_s = all.lastSample_s;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!keep(i)) continue;
        kept.seconds.push_back(all.seconds[i]);
        kept.reference.push_back(all.reference[i]);
        kept.test.push_back(all.test[i]);
        kept.paired.push_back(all.paired[i]);
        kept.flag.push_back(all.flag[i]);
    }
    return kept;
}

/// Means over epochs of `epoch_s` seconds from t0, in place of seconds. An epoch has a reference value where
/// at least half of its seconds have one, and is a pair where at least half of its seconds are pairs; then
/// both means go over the paired seconds. Its flag is the one that most of its pairs have.
/// Requires: 1 <= epoch_s <= 60.
[[nodiscard]] PairedSeconds inEpochs(const PairedSeconds& seconds, int epoch_s);

/// How many independent readings n neighbouring errors are worth: n / (1 + 2 sum (1 - l/n) rho_l), up to
/// before the first rho_l <= 0. A series that never changes is worth one reading; fewer than three its
/// length. Source: field guide section 2.2.
[[nodiscard]] double independentReadings(const std::vector<double>& errors);

}  // namespace beatwitness::agreement
