#include "core/agreement/magnitude_limits.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

/// A straight line through all pairs, and what is left of each.
struct Line {
    double meanMagnitude = 0.0, spread = 0.0, pairs = 0.0;  ///< spread: sum of squares of the magnitude
    double intercept = 0.0, slope = 0.0;

    [[nodiscard]] double at(double magnitude) const { return intercept + slope * magnitude; }
};

template <class Of>
std::optional<Line> lineThrough(std::span<const MagnitudeErrors> sessions, Of of) {
    Line line;
    double meanValue = 0;
    for (const auto& session : sessions)
        for (std::size_t i = 0; i < session.error.size(); ++i) {
            ++line.pairs;
            line.meanMagnitude += session.magnitude[i];
            meanValue += of(session, i);
        }
    if (line.pairs < 3) return std::nullopt;
    line.meanMagnitude /= line.pairs;
    meanValue /= line.pairs;
    double product = 0;
    for (const auto& session : sessions)
        for (std::size_t i = 0; i < session.error.size(); ++i) {
            const double x = session.magnitude[i] - line.meanMagnitude;
            line.spread += x * x;
            product += x * (of(session, i) - meanValue);
        }
    if (!(line.spread > 1e-9 * line.pairs)) return std::nullopt;
    line.slope = product / line.spread;
    line.intercept = meanValue - line.slope * line.meanMagnitude;
    return line;
}

Coefficient tested(double value, double variance, double k) {
    Coefficient coefficient{value, {}, {}, {}};
    if (k < 2 || !(variance > 0)) return coefficient;
    const double error = std::sqrt(variance), reach = tQuantile(0.975, k - 1) * error;
    coefficient.standardError = error;
    coefficient.p = tTwoSided(value / error, k - 1);
    coefficient.ci95 = Interval{value - reach, value + reach};
    return coefficient;
}

/// Intercept and slope with errors clustered by session. In centred coordinates X'X is diagonal; the
/// intercept at magnitude 0 is the mean less slope times the mean magnitude.
template <class Of>
std::pair<Coefficient, Coefficient> clustered(const Line& line, std::span<const MagnitudeErrors> sessions,
                                              Of of) {
    double mean2 = 0, cross = 0, slope2 = 0;
    for (const auto& session : sessions) {
        double score0 = 0, score1 = 0;
        for (std::size_t i = 0; i < session.error.size(); ++i) {
            const double left = of(session, i) - line.at(session.magnitude[i]);
            score0 += left;
            score1 += left * (session.magnitude[i] - line.meanMagnitude);
        }
        const double u0 = score0 / line.pairs, u1 = score1 / line.spread;
        mean2 += u0 * u0;
        cross += u0 * u1;
        slope2 += u1 * u1;
    }
    const double k = static_cast<double>(sessions.size());
    const double correction = k < 2 ? 0.0 : k / (k - 1) * (line.pairs - 1) / (line.pairs - 2);
    const double m = line.meanMagnitude;
    return {tested(line.intercept, correction * (mean2 - 2 * m * cross + m * m * slope2), k),
            tested(line.slope, correction * slope2, k)};
}

}  // namespace

Interval MagnitudeLimits::constantAt(double magnitude) const {
    const double centre = centreAt(magnitude);
    return {centre - normal975 * residualSd, centre + normal975 * residualSd};
}

std::optional<double> MagnitudeLimits::sdAt(double magnitude) const {
    const double sd = std::sqrt(std::numbers::pi / 2) * (c0.value + c1.value * magnitude);
    return sd > 0 ? std::optional{sd} : std::nullopt;
}

std::optional<Interval> MagnitudeLimits::varyingAt(double magnitude) const {
    const auto sd = sdAt(magnitude);
    if (!sd) return std::nullopt;
    const double centre = centreAt(magnitude);
    return Interval{centre - normal975 * *sd, centre + normal975 * *sd};
}

std::optional<MagnitudeLimits> magnitudeLimits(std::span<const MagnitudeErrors> sessions) {
    const auto error = [](const MagnitudeErrors& s, std::size_t i) { return s.error[i]; };
    const auto line = lineThrough(sessions, error);
    if (!line) return std::nullopt;
    const auto left = [&](const MagnitudeErrors& s, std::size_t i) {
        return std::abs(s.error[i] - line->at(s.magnitude[i]));
    };
    const auto spread = lineThrough(sessions, left);
    MagnitudeLimits limits;
    limits.sessions = sessions.size();
    limits.pairs = line->pairs;
    std::tie(limits.b0, limits.b1) = clustered(*line, sessions, error);
    std::tie(limits.c0, limits.c1) = clustered(*spread, sessions, left);
    double squares = 0;
    limits.lowest = limits.highest = line->meanMagnitude;
    for (const auto& session : sessions)
        for (std::size_t i = 0; i < session.error.size(); ++i) {
            squares += std::pow(left(session, i), 2);
            limits.lowest = std::min(limits.lowest, session.magnitude[i]);
            limits.highest = std::max(limits.highest, session.magnitude[i]);
        }
    limits.residualSd = std::sqrt(squares / (line->pairs - 2));
    return limits;
}

}  // namespace beatwitness::agreement
