#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/agreement/session_bootstrap.h"

namespace beatwitness::agreement {

/// Errors and the magnitudes they are held against, of one session.
struct MagnitudeErrors {
    std::vector<double> magnitude;  ///< mean of both, or the reference; bpm
    std::vector<double> error;      ///< test - reference
};

/// A coefficient with a test that respects sessions.
struct Coefficient {
    double value = 0.0;
    std::optional<double> standardError;  ///< clustered by session; nothing with one session
    std::optional<double> p;              ///< t on k - 1 df
    std::optional<Interval> ci95;
};

/// d = b0 + b1 A + e, and |e| = c0 + c1 A. Source: Bland & Altman, Stat Methods Med Res 1999;8:135-160,
/// section 3.2; clustered errors with the k/(k-1) (N-1)/(N-2) correction.
struct MagnitudeLimits {
    std::size_t sessions = 0;
    double pairs = 0.0;
    Coefficient b0, b1, c0, c1;
    double residualSd = 0.0;             ///< n - 2
    double lowest = 0.0, highest = 0.0;  ///< magnitudes that occur

    [[nodiscard]] double centreAt(double magnitude) const { return b0.value + b1.value * magnitude; }
    /// Limits of constant spread.
    [[nodiscard]] Interval constantAt(double magnitude) const;
    /// Spread that varies with magnitude; nothing where it would not be positive.
    [[nodiscard]] std::optional<double> sdAt(double magnitude) const;
    [[nodiscard]] std::optional<Interval> varyingAt(double magnitude) const;
};

/// Nothing below three pairs or where the magnitude does not vary.
[[nodiscard]] std::optional<MagnitudeLimits> magnitudeLimits(std::span<const MagnitudeErrors> sessions);

}  // namespace beatwitness::agreement
