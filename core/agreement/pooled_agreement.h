#pragma once

#include <optional>
#include <span>
#include <string>

#include "core/agreement/session_sums.h"

namespace beatwitness::agreement {

/// One pooled figure. `method` names how the interval was made, or why there is none.
struct PooledFigure {
    std::optional<double> value;
    struct Interval {
        double lower = 0.0;
        double upper = 0.0;
    };
    std::optional<Interval> ci95;
    std::string method;
};

/// The figures of the batch contract, in its units (bpm, %, none).
struct PooledFigures {
    PooledFigure bias, sd, mae, mape, rmse, pearsonR, ccc, icc21;
    PooledFigure within3Bpm, within5Bpm, within10Bpm, within5Pct, within10Pct, within5BpmOr10Pct, halfRate;
};

/// Sessions pooled into one figure each, with intervals that respect sessions: the session, not the second,
/// is the unit.
///
/// Time-weighted: over all pairs; intervals by the linearised ratio of session sums, t on k - 1.
/// Session-weighted: the mean of session values; t on k - 1. MAE, MAPE and RMSE on the log scale, RMSE by
/// half the log interval of the squares. Shares are clipped to 0 to 100; where every session is at 0 or at
/// 100 % Wilson's interval with n = k stands instead. One session gives no interval; fewer than five are
/// called very few. sd, r, concordance and ICC have no formula that holds for correlated seconds and get none
/// here. Sessions without pairs do not count. O(sessions). Source: field guide section 2.3.
[[nodiscard]] PooledFigures timeWeighted(std::span<const SessionSums> sessions);
[[nodiscard]] PooledFigures sessionWeighted(std::span<const SessionSums> sessions);

}  // namespace beatwitness::agreement
