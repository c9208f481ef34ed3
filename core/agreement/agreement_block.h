#pragma once

#include <cstddef>
#include <optional>

#include "core/foundation/units.h"
#include "core/trace/pairs.h"

namespace beatwitness::agreement {

/// Agreement of one session's pairs.
///
/// Error is test minus reference. A number that cannot be had is absent: all without pairs; sd, limits and r
/// with one pair; r with two pairs or a constant trace. Neighbouring seconds are correlated, so no interval
/// is offered here: for intervals, pool whole sessions.
struct AgreementBlock {
    std::size_t pairs = 0;
    std::optional<Percent> coverage;   ///< pairs over the seconds in which the reference has a value
    std::optional<BpmDelta> bias;      ///< mean error
    std::optional<BpmDelta> sd;        ///< n - 1 standard deviation of the error
    std::optional<BpmDelta> mae;       ///< mean absolute error
    std::optional<Percent> mape;       ///< mean of |error| / reference of the same pair
    std::optional<BpmDelta> rmse;      ///< root mean square error
    std::optional<BpmDelta> loaLower;  ///< bias - z sd, z = 1.959963984540054
    std::optional<BpmDelta> loaUpper;  ///< bias + z sd
    std::optional<double> pearsonR;
    std::optional<double> ccc;          ///< Lin's concordance, 1/n moments
    std::optional<Percent> within5Bpm;  ///< |error| <= 5 bpm, inclusive
    std::optional<Percent> within10Bpm;
    std::optional<Percent> within10Pct;  ///< |error| <= 10 % of the pair's reference
    std::optional<Percent> halfRate;     ///< 0.45 <= test/reference <= 0.55
};

/// Two passes (means first), so that long sessions far from zero lose no digits.
///
/// Source: Bland & Altman, Lancet 1986;327:307-310 (limits); Lin, Biometrics 1989;45:255-268 (concordance).
[[nodiscard]] AgreementBlock agreementOf(const trace::Pairs& pairs);

}  // namespace beatwitness::agreement
