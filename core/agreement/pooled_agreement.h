#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/agreement/metric.h"
#include "core/agreement/session_bootstrap.h"
#include "core/agreement/session_sums.h"

namespace beatwitness::agreement {

/// One pooled figure. `method` names how the interval was made, or why there is none.
struct PooledFigure {
    std::optional<double> value;
    std::optional<Interval> ci95;
    std::string method;
};

/// The figures of the batch contract, in its units (bpm, %, none).
struct PooledFigures {
    PooledFigure bias, sd, mae, mape, rmse, pearsonR, ccc, icc21;
    PooledFigure within3Bpm, within5Bpm, within10Bpm, within5Pct, within10Pct, within5BpmOr10Pct, halfRate;

    [[nodiscard]] const PooledFigure& of(Metric metric) const;
    [[nodiscard]] PooledFigure& of(Metric metric);
};

/// What is sampled: sessions, or from 6 wearers on wearers with their sessions in them.
struct SamplingUnits {
    std::string_view name = "sessions";  ///< "sessions" or "wearers"
    std::vector<std::vector<SessionSums>> units;

    SamplingUnits() = default;
    /// Each session a unit; those without pairs do not count.
    explicit SamplingUnits(std::span<const SessionSums> sessions);
    [[nodiscard]] std::size_t size() const { return units.size(); }
    /// All sessions of a unit in one sum.
    [[nodiscard]] std::vector<SessionSums> totals() const;
};

/// Sessions pooled into one figure each, with intervals that respect the sampling unit.
///
/// Time-weighted: over all pairs; intervals by the linearised ratio of unit sums, t on k - 1.
/// Session-weighted: the mean of unit values (of a wearer: the mean of its sessions); t on k - 1.
/// MAE, MAPE and RMSE on the log scale, RMSE by half the log interval of the squares. Shares are clipped to 0
/// to 100; where every unit is at 0 or at 100 % Wilson's interval with n = k stands instead. sd, r,
/// concordance and ICC, time-weighted, by a bootstrap of units at expanded percentile levels, from 6 units
/// on. One unit gives no interval; fewer than five are called very few.
/// Sources: field guide sections 2.3 and 2.4.
[[nodiscard]] PooledFigures timeWeighted(const SamplingUnits& units, const BootstrapSettings& settings = {});
[[nodiscard]] PooledFigures sessionWeighted(const SamplingUnits& units);
[[nodiscard]] PooledFigures timeWeighted(std::span<const SessionSums> sessions,
                                         const BootstrapSettings& settings = {});
[[nodiscard]] PooledFigures sessionWeighted(std::span<const SessionSums> sessions);

/// One figure alone, at any confidence (0.95 for the above): for criteria.
[[nodiscard]] PooledFigure timeWeightedFigure(const SamplingUnits& units, Metric metric,
                                              double confidence = 0.95,
                                              const BootstrapSettings& settings = {});

/// Row of `sums` as sd, r, concordance and ICC need it in a bootstrap, and back.
[[nodiscard]] std::vector<double> momentRow(const SessionSums& sums);
[[nodiscard]] SessionSums sumsOfMoments(std::span<const double> row);

}  // namespace beatwitness::agreement
