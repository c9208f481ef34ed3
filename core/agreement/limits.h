#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/agreement/session_bootstrap.h"
#include "core/agreement/session_sums.h"

/// Limits of agreement: where 95 % of the errors are expected to lie. Sources: field guide 2.5 and those
/// named below; z is normal975.
namespace beatwitness::agreement {

/// One limit and its confidence interval.
struct Limit {
    double value = 0.0;
    std::optional<Interval> ci95;
};

struct Limits {
    Limit lower, upper;
};

/// Bias +- z sd of n independent errors. Intervals: the approximation of Bland & Altman 1999, and the exact
/// one by noncentral t (Carkeet, Optom Vis Sci 2015;92:e71); none below three errors; both equal the bias
/// where sd is 0.
[[nodiscard]] Limits approximateLimits(double n, double bias, double sd);
[[nodiscard]] Limits exactLimits(double n, double bias, double sd);

/// What limits need of one session.
struct SessionErrors {
    double n = 0.0;
    double mean = 0.0;         ///< of its errors
    double squares = 0.0;      ///< sum of squares of its errors about that mean
    double independent = 0.0;  ///< readings they are worth
};
[[nodiscard]] SessionErrors sessionErrors(const SessionSums& sums, double independent);

/// One-way analysis of variance of the errors on session.
struct Components {
    std::size_t sessions = 0;
    double pairs = 0.0;
    double betweenMeanSquare = 0.0, withinMeanSquare = 0.0;
    double sizeForBetween = 0.0;  ///< m0
    double between = 0.0;         ///< variance between sessions, at least 0
    double bias = 0.0;            ///< mean of all errors
    double total = 0.0;           ///< sd of both together
};
/// Nothing with one session, or where no session has two pairs.
[[nodiscard]] std::optional<Components> componentsOf(std::span<const SessionErrors> sessions);

/// Limits for repeated pairs in sessions, the true value varying: mean +- z sqrt(between + within).
/// Source: Bland & Altman, J Biopharm Stat 2007;17:571-582.
[[nodiscard]] Limits repeatedPairsLimits(const Components& components);

/// Limits on the mean of session means, with confidence limits that recover variance estimates.
struct MoverLimits {
    double mean = 0.0;           ///< of session means
    double meansVariance = 0.0;  ///< of session means, n - 1
    double harmonicSize = 0.0;   ///< m_h
    double sd = 0.0;             ///< sigma, of a single error
    Interval variance;           ///< of sigma squared, 95 %
    Interval meanCi95;
    double withinDf = 0.0;
    Limits limits;
};
enum class MoverQuantile { Normal, StudentT };
/// `withinDf`: N - k for independent pairs; sum of independent readings - k (at least 1) for seconds.
/// Nothing with fewer than two sessions or where no session has two pairs.
/// Source: Zou, Stat Methods Med Res 2013;22:630-642.
[[nodiscard]] std::optional<MoverLimits> moverLimits(std::span<const SessionErrors> sessions, double withinDf,
                                                     MoverQuantile quantile = MoverQuantile::StudentT);
/// N - k, and the degrees of freedom that correlated seconds leave.
[[nodiscard]] double pairsWithinDf(std::span<const SessionErrors> sessions);
[[nodiscard]] double independentWithinDf(std::span<const SessionErrors> sessions);

/// Limits as moverLimits(), intervals by a bootstrap of sessions at expanded percentile levels; nothing below
/// bootstrapFrom sessions.
struct BootstrapLimits {
    BootstrapSettings settings;
    bool exact = false;  ///< every resample
    Limits limits;
};
[[nodiscard]] std::optional<BootstrapLimits> bootstrapLimits(std::span<const SessionErrors> sessions,
                                                             const BootstrapSettings& settings = {});

/// Empirical 2.5th and 97.5th percentiles, between order statistics by a line (n - 1 intervals). Reorders
/// `errors`. Requires: not empty.
[[nodiscard]] Limits percentileLimits(std::vector<double>& errors);

/// Excess kurtosis beyond this says that +- z sd does not describe the errors. A mixture of 97 % N(0, 2) and
/// 3 % N(-25, 5) has some 20; a normal distribution 0.
inline constexpr double burstKurtosis = 3.0;
[[nodiscard]] std::optional<double> excessKurtosis(std::span<const double> errors);

}  // namespace beatwitness::agreement
