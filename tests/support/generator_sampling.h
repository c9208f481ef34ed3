#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "tests/support/generator.h"

namespace beatwitness::tests {

/// A device's clock against session time, by the contract's formula
/// t_reference = t_test + offset + drift * 1e-6 * (t_test + offset - t0).
struct DeviceClock {
    std::int64_t t0_us = 0;
    double offset_s = 0.0;
    double drift_ppm = 0.0;

    [[nodiscard]] double toSession(std::int64_t clock_us) const {
        return (static_cast<double>(clock_us - t0_us) * 1e-6 + offset_s) * (1.0 + drift_ppm * 1e-6);
    }
    [[nodiscard]] std::int64_t fromSession(double session_s) const;
};

/// What is sampled: values and gaps by session time.
struct Sampled {
    std::function<double(double)> value_bpm;
    std::function<bool(double)> lost;
};

struct Samples {
    std::vector<std::int64_t> times_us;
    std::vector<double> values;
    std::vector<std::int64_t> emptyRows_us;
};

/// Samples from `first_s` to `last_s`, session time. The first one is never lost by chance.
[[nodiscard]] Samples sample(const SamplingPlan& plan, const DeviceClock& clock, double first_s,
                             double last_s, const Sampled& source, RandomStream& random);

}  // namespace beatwitness::tests
