#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "core/agreement/session_sums.h"

namespace beatwitness::agreement {

enum class Metric {
    Bias,
    Sd,
    Mae,
    Mape,
    Rmse,
    PearsonR,
    Ccc,
    Icc21,
    Within3Bpm,
    Within5Bpm,
    Within10Bpm,
    Within5Pct,
    Within10Pct,
    Within5BpmOr10Pct,
    HalfRate
};

/// What kind of number a metric is, which decides how its interval is made.
enum class MetricKind {
    Mean,         ///< any number; bpm
    Size,         ///< never negative, skewed: intervals on the log scale
    Share,        ///< 0 to 100 %
    Spread,       ///< a standard deviation: no formula holds for correlated seconds
    Correlation,  ///< -1 to 1: likewise
};

struct MetricFacts {
    Metric metric = Metric::Bias;
    std::string_view key;   ///< as in JSON, with its unit at the end
    std::string_view name;  ///< for people
    std::string_view unit;  ///< "bpm", "%" or ""
    MetricKind kind = MetricKind::Mean;
    double SessionSums::*sum = nullptr;  ///< what is summed over pairs; nullptr for Spread and Correlation
    double scale = 1.0;                  ///< sum to unit: 100 for counts that become shares
    bool moreIsBetter = false;
    std::string_view formula;
    std::string_view source;
};

/// All of them, in the order of the batch contract.
[[nodiscard]] std::span<const MetricFacts> metrics();
[[nodiscard]] const MetricFacts& factsOf(Metric metric);
/// By its JSON key; nullptr where there is none.
[[nodiscard]] const MetricFacts* metricOfKey(std::string_view key);

/// The metric of all pairs behind `sums`; absent as in AgreementBlock.
[[nodiscard]] std::optional<double> valueOf(Metric metric, const SessionSums& sums);

}  // namespace beatwitness::agreement
