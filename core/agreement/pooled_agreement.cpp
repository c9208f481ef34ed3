#include "core/agreement/pooled_agreement.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/agreement/proportion.h"
#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

constexpr std::size_t fewUnits = 5;

using Sessions = std::span<const SessionSums>;

/// How a figure is to be pooled: which units, what they are called, how sure its interval is to be.
struct Pooling {
    const SamplingUnits& units;
    double confidence = 0.95;

    [[nodiscard]] std::size_t k() const { return units.size(); }
    [[nodiscard]] double quantile() const {
        return tQuantile(0.5 + confidence / 2, static_cast<double>(k() - 1));
    }
    [[nodiscard]] std::string one() const {
        return fmt::format("one {}: no interval", units.name.substr(0, units.name.size() - 1));
    }
    [[nodiscard]] std::string byT(std::string_view more, std::size_t k) const {
        return fmt::format("t over {}{}, {} df{}", units.name, more, k - 1,
                           k < fewUnits ? fmt::format("; very few {}", units.name) : "");
    }
};

/// A mean or ratio, its standard error over k units, and how the two become an interval.
PooledFigure withInterval(const Pooling& pooling, const MetricFacts& facts, double value,
                          double standardError, std::size_t k) {
    PooledFigure figure{value, std::nullopt, {}};
    if (k < 2) {
        figure.method = pooling.one();
        return figure;
    }
    const double reach = tQuantile(0.5 + pooling.confidence / 2, static_cast<double>(k - 1)) * standardError;
    if (facts.kind == MetricKind::Size) {
        if (!(value > 0)) {
            figure.method = "no error at all: no interval on the log scale";
            return figure;
        }
        figure.ci95 = Interval{value * std::exp(-reach / value), value * std::exp(reach / value)};
        figure.method = pooling.byT(" on the log scale", k);
        return figure;
    }
    Interval interval{value - reach, value + reach};
    if (facts.kind == MetricKind::Share)
        interval = {std::max(0.0, interval.lower), std::min(100.0, interval.upper)};
    if (facts.kind == MetricKind::Spread) interval.lower = std::max(0.0, interval.lower);
    if (facts.kind == MetricKind::Correlation)
        interval = {std::max(-1.0, interval.lower), std::min(1.0, interval.upper)};
    figure.ci95 = interval;
    figure.method = pooling.byT("", k);
    return figure;
}

bool everyShareAlike(Sessions totals, double SessionSums::*count) {
    return std::ranges::all_of(totals, [=](const SessionSums& s) { return s.*count == 0; }) ||
           std::ranges::all_of(totals, [=](const SessionSums& s) { return s.*count == s.n; });
}

/// Wilson's interval of a share that is 0 or 100 % in each of k units, which are all there is to go by.
PooledFigure allAlike(const Pooling& pooling, double value_pct) {
    const std::size_t k = pooling.k();
    if (k < 2) return {value_pct, std::nullopt, pooling.one()};
    const double z = normalQuantile(0.5 + pooling.confidence / 2), n = static_cast<double>(k);
    const double reach = 100 * z * z / (n + z * z);
    return {value_pct, value_pct > 0 ? Interval{100 - reach, 100} : Interval{0, reach},
            fmt::format("Wilson over {} {}, all alike{}", k, pooling.units.name,
                        k < fewUnits ? fmt::format("; very few {}", pooling.units.name) : "")};
}

/// Sum of `of` over sum of n, with the linearised standard error of a ratio over units.
PooledFigure ratioFigure(const Pooling& pooling, const MetricFacts& facts, Sessions totals) {
    double sum = 0, n = 0;
    for (const auto& unit : totals) {
        sum += unit.*facts.sum;
        n += unit.n;
    }
    const double ratio = sum / n, k = static_cast<double>(totals.size());
    if (facts.kind == MetricKind::Share && everyShareAlike(totals, facts.sum))
        return allAlike(pooling, facts.scale * ratio);
    double squares = 0;
    for (const auto& unit : totals)
        squares += std::pow(unit.*facts.sum - ratio * unit.n, 2);
    const double error = k < 2 ? 0.0 : std::sqrt(k / (k - 1) * squares) / n;
    auto figure = withInterval(pooling, facts, facts.scale * ratio, facts.scale * error, totals.size());
    if (facts.metric != Metric::Rmse) return figure;
    figure.value = std::sqrt(*figure.value);
    if (figure.ci95) figure.ci95 = Interval{std::sqrt(figure.ci95->lower), std::sqrt(figure.ci95->upper)};
    return figure;
}

/// Level of either side: expanded for few units, beyond the plain percentile.
double bootstrapLevel(const Pooling& pooling) {
    const auto k = static_cast<double>(pooling.k());
    return normalBelow(-std::sqrt(k / (k - 1)) * pooling.quantile());
}

std::string bootstrapMethod(const Pooling& pooling, const Resamples& resamples,
                            const BootstrapSettings& settings) {
    const auto how = resamples.exact
                         ? std::string{"every resample"}
                         : fmt::format("{} resamples, seed {}", settings.replicates, settings.seed);
    return fmt::format("bootstrap of {} {}, expanded percentile, {}{}", pooling.k(), pooling.units.name, how,
                       pooling.k() < bootstrapGoodFrom ? "; approximate" : "");
}

PooledFigure bootstrapFigure(const Pooling& pooling, Metric metric, const SessionSums& all,
                             const Resamples& resamples, const BootstrapSettings& settings) {
    PooledFigure figure{valueOf(metric, all), std::nullopt, {}};
    if (!figure.value) {
        figure.method = "not to be had: too few pairs, or a trace that does not vary";
        return figure;
    }
    if (pooling.k() < bootstrapFrom) {
        figure.method = pooling.k() < 2
                            ? pooling.one()
                            : fmt::format(
                                  "{} {}: a bootstrap needs {}, and no formula holds for seconds that "
                                  "repeat each other",
                                  pooling.k(), pooling.units.name, bootstrapFrom);
        return figure;
    }
    const BootstrapDistribution values{
        resamples, [metric](std::span<const double> row) { return valueOf(metric, sumsOfMoments(row)); }};
    if (values.empty() || values.undefined() > 0.05) {
        figure.method = "no interval: the figure cannot be had in many resamples";
        return figure;
    }
    figure.ci95 = percentileInterval(values, bootstrapLevel(pooling));
    figure.method = bootstrapMethod(pooling, resamples, settings);
    return figure;
}

Resamples resampledMoments(Sessions totals, const BootstrapSettings& settings) {
    SummableRows rows{momentRow({}).size(), {}};
    for (const auto& unit : totals)
        rows.add(momentRow(unit));
    return resampled(rows, settings);
}

bool needsBootstrap(const MetricFacts& facts) {
    return facts.kind == MetricKind::Spread || facts.kind == MetricKind::Correlation;
}

SessionSums sumOf(Sessions sessions) {
    SessionSums total;
    for (const auto& session : sessions)
        total += session;
    return total;
}

/// Mean over sessions of one unit; nothing where none has the value.
std::optional<double> meanOver(Sessions sessions, Metric metric) {
    double sum = 0, count = 0;
    for (const auto& session : sessions)
        if (const auto value = valueOf(metric, session)) {
            sum += *value;
            ++count;
        }
    if (count == 0) return std::nullopt;
    return sum / count;
}

PooledFigure meanFigure(const Pooling& pooling, const MetricFacts& facts, Sessions totals) {
    if (facts.kind == MetricKind::Share && everyShareAlike(totals, facts.sum))
        return allAlike(pooling, totals.front().*facts.sum > 0 ? 100 : 0);
    std::vector<double> values;
    for (const auto& unit : pooling.units.units)
        if (const auto value = meanOver(unit, facts.metric)) values.push_back(*value);
    if (values.empty()) return {std::nullopt, std::nullopt, "not to be had in any session"};
    const double k = static_cast<double>(values.size());
    double mean = 0, squares = 0;
    for (const double value : values)
        mean += value / k;
    for (const double value : values)
        squares += (value - mean) * (value - mean);
    const double error = values.size() < 2 ? 0.0 : std::sqrt(squares / (k - 1) / k);
    return withInterval(pooling, facts, mean, error, values.size());
}

PooledFigures withoutPairs() {
    PooledFigures figures;
    for (const auto& facts : metrics())
        figures.of(facts.metric).method = "no pairs";
    return figures;
}

}  // namespace

const PooledFigure& PooledFigures::of(Metric metric) const {
    switch (metric) {
        case Metric::Bias:
            return bias;
        case Metric::Sd:
            return sd;
        case Metric::Mae:
            return mae;
        case Metric::Mape:
            return mape;
        case Metric::Rmse:
            return rmse;
        case Metric::PearsonR:
            return pearsonR;
        case Metric::Ccc:
            return ccc;
        case Metric::Icc21:
            return icc21;
        case Metric::Within3Bpm:
            return within3Bpm;
        case Metric::Within5Bpm:
            return within5Bpm;
        case Metric::Within10Bpm:
            return within10Bpm;
        case Metric::Within5Pct:
            return within5Pct;
        case Metric::Within10Pct:
            return within10Pct;
        case Metric::Within5BpmOr10Pct:
            return within5BpmOr10Pct;
        case Metric::HalfRate:
            return halfRate;
    }
    return bias;
}

PooledFigure& PooledFigures::of(Metric metric) {
    return const_cast<PooledFigure&>(std::as_const(*this).of(metric));
}

SamplingUnits::SamplingUnits(Sessions sessions) {
    for (const auto& session : sessions)
        if (session.n > 0) units.push_back({session});
}

std::vector<SessionSums> SamplingUnits::totals() const {
    std::vector<SessionSums> sums;
    for (const auto& unit : units)
        sums.push_back(sumOf(unit));
    return sums;
}

std::vector<double> momentRow(const SessionSums& s) {
    return {s.n, s.error, s.squared, s.reference, s.test, s.reference2, s.test2, s.product};
}

SessionSums sumsOfMoments(std::span<const double> row) {
    SessionSums s;
    s.n = row[0];
    s.error = row[1];
    s.squared = row[2];
    s.reference = row[3];
    s.test = row[4];
    s.reference2 = row[5];
    s.test2 = row[6];
    s.product = row[7];
    return s;
}

PooledFigures timeWeighted(const SamplingUnits& units, const BootstrapSettings& settings) {
    if (units.size() == 0) return withoutPairs();
    const Pooling pooling{units};
    const auto totals = units.totals();
    const auto all = sumOf(totals);
    const auto resamples = units.size() < bootstrapFrom ? Resamples{} : resampledMoments(totals, settings);
    PooledFigures figures;
    for (const auto& facts : metrics())
        figures.of(facts.metric) = needsBootstrap(facts)
                                       ? bootstrapFigure(pooling, facts.metric, all, resamples, settings)
                                       : ratioFigure(pooling, facts, totals);
    return figures;
}

PooledFigures sessionWeighted(const SamplingUnits& units) {
    if (units.size() == 0) return withoutPairs();
    const auto totals = units.totals();
    PooledFigures figures;
    for (const auto& facts : metrics())
        figures.of(facts.metric) = meanFigure({units}, facts, totals);
    return figures;
}

PooledFigures timeWeighted(Sessions sessions, const BootstrapSettings& settings) {
    return timeWeighted(SamplingUnits{sessions}, settings);
}

PooledFigures sessionWeighted(Sessions sessions) {
    return sessionWeighted(SamplingUnits{sessions});
}

PooledFigure timeWeightedFigure(const SamplingUnits& units, Metric metric, double confidence,
                                const BootstrapSettings& settings) {
    if (units.size() == 0) return {std::nullopt, std::nullopt, "no pairs"};
    const Pooling pooling{units, confidence};
    const auto totals = units.totals();
    const auto& facts = factsOf(metric);
    if (!needsBootstrap(facts)) return ratioFigure(pooling, facts, totals);
    const auto resamples = units.size() < bootstrapFrom ? Resamples{} : resampledMoments(totals, settings);
    return bootstrapFigure(pooling, metric, sumOf(totals), resamples, settings);
}

}  // namespace beatwitness::agreement
