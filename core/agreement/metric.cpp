#include "core/agreement/metric.h"

#include <algorithm>
#include <array>
#include <cassert>

namespace beatwitness::agreement {
namespace {

using enum MetricKind;
using S = SessionSums;

constexpr std::string_view lin = "Lin, Biometrics 1989;45:255-268";
constexpr std::string_view shrout = "Shrout & Fleiss, Psychol Bull 1979;86:420-428";
constexpr std::string_view bland = "Bland & Altman, Lancet 1986;327:307-310";
constexpr std::string_view guide = "recommendations for wearables, Br J Sports Med 2021;55:767-779";

constexpr std::array<MetricFacts, 15> table{{
    {Metric::Bias, "bias_bpm", "bias", "bpm", Mean, &S::error, 1, false, "mean of d = test - reference",
     bland},
    {Metric::Sd, "sd_bpm", "SD of the error", "bpm", Spread, nullptr, 1, false,
     "square root of the sum of (d - bias)^2 over N - 1", bland},
    {Metric::Mae, "mae_bpm", "MAE", "bpm", Size, &S::absolute, 1, false, "mean of |d|", guide},
    {Metric::Mape, "mape_pct", "MAPE", "%", Size, &S::relative_pct, 1, false,
     "mean of 100 |d| / reference of the same pair", guide},
    {Metric::Rmse, "rmse_bpm", "RMSE", "bpm", Size, &S::squared, 1, false, "square root of the mean of d^2",
     guide},
    {Metric::PearsonR, "pearson_r", "correlation r", "", Correlation, nullptr, 1, true,
     "covariance over the product of the standard deviations", bland},
    {Metric::Ccc, "ccc", "concordance CCC", "", Correlation, nullptr, 1, true,
     "2 s_xy / (s_x^2 + s_y^2 + (mean x - mean y)^2), 1/n moments", lin},
    {Metric::Icc21, "icc_2_1", "ICC(2,1)", "", Correlation, nullptr, 1, true,
     "(MSR - MSE) / (MSR + MSE + 2 (MSC - MSE) / n)", shrout},
    {Metric::Within3Bpm, "within_3_bpm_pct", "within 3 bpm", "%", Share, &S::within3, 100, true,
     "share of pairs with |d| <= 3 bpm", guide},
    {Metric::Within5Bpm, "within_5_bpm_pct", "within 5 bpm", "%", Share, &S::within5, 100, true,
     "share of pairs with |d| <= 5 bpm", guide},
    {Metric::Within10Bpm, "within_10_bpm_pct", "within 10 bpm", "%", Share, &S::within10, 100, true,
     "share of pairs with |d| <= 10 bpm", guide},
    {Metric::Within5Pct, "within_5_pct_pct", "within 5 %", "%", Share, &S::within5Pct, 100, true,
     "share of pairs with |d| <= 5 % of the reference", guide},
    {Metric::Within10Pct, "within_10_pct_pct", "within 10 %", "%", Share, &S::within10Pct, 100, true,
     "share of pairs with |d| <= 10 % of the reference", guide},
    {Metric::Within5BpmOr10Pct, "within_5_bpm_or_10_pct_pct", "within 5 bpm or 10 %", "%", Share,
     &S::within5Or10, 100, true, "share of pairs with |d| <= max(5 bpm, 10 % of the reference)", guide},
    {Metric::HalfRate, "half_rate_pct", "at half rate", "%", Share, &S::half, 100, false,
     "share of pairs with 0.45 <= test/reference <= 0.55", "batch contract"},
}};

}  // namespace

std::span<const MetricFacts> metrics() {
    return table;
}

const MetricFacts& factsOf(Metric metric) {
    return *std::ranges::find(table, metric, &MetricFacts::metric);
}

const MetricFacts* metricOfKey(std::string_view key) {
    const auto found = std::ranges::find(table, key, &MetricFacts::key);
    return found == table.end() ? nullptr : &*found;
}

std::optional<double> valueOf(Metric metric, const SessionSums& sums) {
    if (sums.n < 1) return std::nullopt;
    switch (metric) {
        case Metric::Sd:
            return sdOf(sums);
        case Metric::Rmse:
            return rmseOf(sums);
        case Metric::PearsonR:
            return pearsonOf(sums);
        case Metric::Ccc:
            return cccOf(sums);
        case Metric::Icc21:
            return iccOf(sums);
        default:
            break;
    }
    const auto& facts = factsOf(metric);
    assert(facts.sum != nullptr);
    return facts.scale * (sums.*facts.sum) / sums.n;
}

}  // namespace beatwitness::agreement
