#pragma once

#include <cstddef>
#include <optional>

#include "core/foundation/units.h"
#include "core/trace/pairs.h"

namespace beatwitness::agreement {

/// What pooling needs of one session's pairs. Sums add up over sessions, so that pooled figures need no
/// pairs.
///
/// Error d is test minus reference; moments are taken about `originRate_bpm`, near every heart rate, so that
/// squares of long sessions keep their digits.
struct SessionSums {
    static constexpr double originRate_bpm = 120.0;

    double n = 0;
    double referenceSeconds = 0;     ///< seconds in which the reference has a value and is not excluded
    double error = 0, absolute = 0;  ///< sum of d and of |d|, bpm
    double squared = 0;              ///< sum of d^2, bpm^2
    double relative_pct = 0;         ///< sum of 100 |d| / reference
    double reference = 0, test = 0;  ///< sums about the origin
    double reference2 = 0, test2 = 0, product = 0;
    double within3 = 0, within5 = 0, within10 = 0;  ///< seconds with |d| at most 3, 5, 10 bpm
    double within5Pct = 0, within10Pct = 0,
           within5Or10 = 0;  ///< ... 5 %, 10 %, max(5 bpm, 10 %) of the reference
    double half = 0;         ///< seconds with 0.45 <= test/reference <= 0.55

    SessionSums& operator+=(const SessionSums& other);
};

[[nodiscard]] SessionSums sumsOf(const trace::Pairs& pairs);

/// Figures of sums; absent as in AgreementBlock.
[[nodiscard]] std::optional<double> biasOf(const SessionSums& sums);
[[nodiscard]] std::optional<double> sdOf(const SessionSums& sums);  ///< n - 1
[[nodiscard]] std::optional<double> rmseOf(const SessionSums& sums);
[[nodiscard]] std::optional<double> pearsonOf(const SessionSums& sums);
[[nodiscard]] std::optional<double> cccOf(const SessionSums& sums);  ///< 1/n moments
/// Two-way single-measure absolute agreement. Source: Shrout & Fleiss, Psychol Bull 1979;86:420-428,
/// ICC(2,1), k = 2.
[[nodiscard]] std::optional<double> iccOf(const SessionSums& sums);

}  // namespace beatwitness::agreement
