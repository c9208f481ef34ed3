#include "core/agreement/limits.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

Limits around(double centre, double sd) {
    return {{centre - normal975 * sd, std::nullopt}, {centre + normal975 * sd, std::nullopt}};
}

double squared(double x) {
    return x * x;
}

/// Confidence interval of sigma squared out of those of its two parts.
Interval varianceInterval(double means, double meansDf, double within, double withinDf) {
    const auto part = [](double variance, double df, double p) {
        return squared(variance * (df / chiSquaredQuantile(p, df) - 1));
    };
    const double sigma2 = means + within;
    const double down = std::sqrt(part(means, meansDf, 0.975) + part(within, withinDf, 0.975));
    const double up = std::sqrt(part(means, meansDf, 0.025) + part(within, withinDf, 0.025));
    return {std::max(0.0, sigma2 - down), sigma2 + up};
}

void addIntervals(MoverLimits& mover, double meanReach) {
    const double reach2 = squared(meanReach);
    const double low = std::sqrt(mover.variance.lower), high = std::sqrt(mover.variance.upper);
    const double outward = std::sqrt(reach2 + squared(normal975 * (high - mover.sd)));
    const double inward = std::sqrt(reach2 + squared(normal975 * (mover.sd - low)));
    mover.limits.upper.ci95 = Interval{mover.limits.upper.value - inward, mover.limits.upper.value + outward};
    mover.limits.lower.ci95 = Interval{mover.limits.lower.value - outward, mover.limits.lower.value + inward};
}

// Columns of a session's row in the bootstrap of limits.
enum : std::size_t { Count, Mean, MeanSquared, Inverse, Squares, Size, limitColumns };

std::optional<double> limitOf(std::span<const double> totals, double z) {
    const double k = totals[Count], mean = totals[Mean] / k, free = totals[Size] - k;
    if (free <= 0) return std::nullopt;
    const double means = std::max(0.0, totals[MeanSquared] - k * mean * mean) / (k - 1);
    const double within = totals[Squares] / free;
    return mean + z * std::sqrt(means + (1 - totals[Inverse] / k) * within);
}

}  // namespace

Limits approximateLimits(double n, double bias, double sd) {
    auto limits = around(bias, sd);
    if (n < 3) return limits;
    const double reach = tQuantile(0.975, n - 1) * sd * std::sqrt(1 / n + squared(normal975) / (2 * (n - 1)));
    for (auto* limit : {&limits.lower, &limits.upper})
        limit->ci95 = Interval{limit->value - reach, limit->value + reach};
    return limits;
}

Limits exactLimits(double n, double bias, double sd) {
    auto limits = around(bias, sd);
    if (n < 3) return limits;
    if (sd == 0) {
        limits.lower.ci95 = limits.upper.ci95 = Interval{bias, bias};
        return limits;
    }
    const double unit = sd / std::sqrt(n), shift = normal975 * std::sqrt(n);
    const double low = noncentralTQuantile(0.025, n - 1, shift) * unit,
                 high = noncentralTQuantile(0.975, n - 1, shift) * unit;
    limits.upper.ci95 = Interval{bias + low, bias + high};
    limits.lower.ci95 = Interval{bias - high, bias - low};
    return limits;
}

SessionErrors sessionErrors(const SessionSums& sums, double independent) {
    return {sums.n, sums.error / sums.n, std::max(0.0, sums.squared - sums.error * sums.error / sums.n),
            independent};
}

std::optional<Components> componentsOf(std::span<const SessionErrors> sessions) {
    Components c;
    c.sessions = sessions.size();
    double sum = 0, sizes2 = 0, within = 0;
    for (const auto& session : sessions) {
        c.pairs += session.n;
        sizes2 += session.n * session.n;
        sum += session.n * session.mean;
        within += session.squares;
    }
    const double k = static_cast<double>(c.sessions);
    if (k < 2 || c.pairs <= k) return std::nullopt;
    c.bias = sum / c.pairs;
    double between = 0;
    for (const auto& session : sessions)
        between += session.n * squared(session.mean - c.bias);
    c.betweenMeanSquare = between / (k - 1);
    c.withinMeanSquare = within / (c.pairs - k);
    c.sizeForBetween = (c.pairs - sizes2 / c.pairs) / (k - 1);
    c.between = std::max(0.0, (c.betweenMeanSquare - c.withinMeanSquare) / c.sizeForBetween);
    c.total = std::sqrt(c.between + c.withinMeanSquare);
    return c;
}

Limits repeatedPairsLimits(const Components& components) {
    return around(components.bias, components.total);
}

double pairsWithinDf(std::span<const SessionErrors> sessions) {
    double pairs = 0;
    for (const auto& session : sessions)
        pairs += session.n;
    return pairs - static_cast<double>(sessions.size());
}

double independentWithinDf(std::span<const SessionErrors> sessions) {
    double readings = 0;
    for (const auto& session : sessions)
        readings += session.independent;
    return std::max(1.0, readings - static_cast<double>(sessions.size()));
}

std::optional<MoverLimits> moverLimits(std::span<const SessionErrors> sessions, double withinDf,
                                       MoverQuantile quantile) {
    const auto components = componentsOf(sessions);
    if (!components || withinDf <= 0) return std::nullopt;
    const double k = static_cast<double>(sessions.size());
    MoverLimits mover;
    mover.withinDf = withinDf;
    double inverse = 0;
    for (const auto& session : sessions) {
        mover.mean += session.mean / k;
        inverse += 1 / session.n;
    }
    for (const auto& session : sessions)
        mover.meansVariance += squared(session.mean - mover.mean) / (k - 1);
    mover.harmonicSize = k / inverse;
    const double within = (1 - 1 / mover.harmonicSize) * components->withinMeanSquare;
    mover.sd = std::sqrt(mover.meansVariance + within);
    mover.variance = varianceInterval(mover.meansVariance, k - 1, within, withinDf);
    mover.limits = around(mover.mean, mover.sd);
    const double q = quantile == MoverQuantile::Normal ? normal975 : tQuantile(0.975, k - 1);
    const double reach = q * std::sqrt(mover.meansVariance / k);
    mover.meanCi95 = {mover.mean - reach, mover.mean + reach};
    addIntervals(mover, reach);
    return mover;
}

std::optional<BootstrapLimits> bootstrapLimits(std::span<const SessionErrors> sessions,
                                               const BootstrapSettings& settings) {
    if (sessions.size() < bootstrapFrom) return std::nullopt;
    SummableRows rows{limitColumns, {}};
    std::vector<double> total(limitColumns, 0.0);
    for (const auto& s : sessions) {
        const std::array<double, limitColumns> row{1, s.mean, s.mean * s.mean, 1 / s.n, s.squares, s.n};
        rows.add(row);
        for (std::size_t j = 0; j < limitColumns; ++j)
            total[j] += row[j];
    }
    if (!limitOf(total, normal975)) return std::nullopt;
    const auto resamples = resampled(rows, settings);
    const double level = expandedLevel(sessions.size());
    const auto limit = [&](double z) {
        const BootstrapDistribution values{
            resamples, [z](std::span<const double> totals) { return limitOf(totals, z); }};
        return Limit{*limitOf(total, z), percentileInterval(values, level)};
    };
    return BootstrapLimits{settings, resamples.exact, {limit(-normal975), limit(normal975)}};
}

Limits percentileLimits(std::vector<double>& errors) {
    const auto at = [&](double p) {
        const double place = p * static_cast<double>(errors.size() - 1);
        const auto below = static_cast<std::size_t>(std::floor(place));
        const auto middle = errors.begin() + static_cast<std::ptrdiff_t>(below);
        std::ranges::nth_element(errors, middle);
        const double low = *middle;
        if (below + 1 >= errors.size()) return low;
        const double high = *std::min_element(middle + 1, errors.end());
        return low + (place - static_cast<double>(below)) * (high - low);
    };
    return {{at(0.025), std::nullopt}, {at(0.975), std::nullopt}};
}

std::optional<double> excessKurtosis(std::span<const double> errors) {
    if (errors.size() < 4) return std::nullopt;
    const auto n = static_cast<double>(errors.size());
    double mean = 0, second = 0, fourth = 0;
    for (const double d : errors)
        mean += d / n;
    for (const double d : errors) {
        const double square = squared(d - mean);
        second += square / n;
        fourth += square * square / n;
    }
    if (!(second > 0)) return std::nullopt;
    return fourth / (second * second) - 3;
}

}  // namespace beatwitness::agreement
