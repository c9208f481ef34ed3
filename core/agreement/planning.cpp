#include "core/agreement/planning.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace beatwitness::agreement {
namespace {

bool isSize(const Criterion& criterion) {
    return factsOf(criterion.metric).kind == MetricKind::Size;
}

/// Values and spreads go onto the scale on which the interval is even.
double scaled(const Criterion& criterion, double value) {
    return isSize(criterion) ? std::log(value) : value;
}

double scaledSpread(const Criterion& criterion, const Expectation& expectation) {
    return isSize(criterion) ? expectation.spread / expectation.value : expectation.spread;
}

}  // namespace

std::optional<std::string> wrongWith(const Criterion& criterion, const Expectation& expectation) {
    const auto& facts = factsOf(criterion.metric);
    if (!std::isfinite(expectation.value) || !std::isfinite(expectation.spread) || !(expectation.spread > 0))
        return fmt::format("a spread between sessions above 0 was expected for {}", facts.name);
    if (facts.kind == MetricKind::Size && !(expectation.value > 0))
        return fmt::format("an expected {} above 0 was expected", facts.name);
    if (facts.kind == MetricKind::Share && !(expectation.value >= 0 && expectation.value <= 100))
        return fmt::format("an expected {} between 0 and 100 % was expected", facts.name);
    return std::nullopt;
}

PlannedInterval plannedInterval(const Criterion& criterion, const Expectation& expectation,
                                std::size_t units) {
    const double half = halfWidth(units, scaledSpread(criterion, expectation), criterion.confidence);
    const double middle = scaled(criterion, expectation.value);
    Interval interval{middle - half, middle + half};
    if (isSize(criterion)) interval = {std::exp(interval.lower), std::exp(interval.upper)};
    if (factsOf(criterion.metric).kind == MetricKind::Share)
        interval = {std::max(0.0, interval.lower), std::min(100.0, interval.upper)};
    return {units, interval, verdictOf(criterion, interval)};
}

std::optional<std::size_t> unitsPlanned(const Criterion& criterion, const Expectation& expectation) {
    const double value = expectation.value;
    const double bound = criterion.sense == Sense::Within && value < 0 ? -criterion.limit : criterion.limit;
    if (isSize(criterion) && !(bound > 0)) return std::nullopt;
    const double distance = std::abs(scaled(criterion, bound) - scaled(criterion, value));
    return unitsFor(distance, scaledSpread(criterion, expectation), criterion.confidence);
}

std::optional<Expectation> expectationOf(const CriterionResult& result, std::size_t units) {
    const auto& [criterion, figure, verdict, needed, unit, before, because] = result;
    if (units < 2 || !figure.value || !figure.ci95) return std::nullopt;
    if (isSize(criterion) && !(*figure.value > 0)) return std::nullopt;
    const double value = *figure.value;
    const double half = std::max(scaled(criterion, figure.ci95->upper) - scaled(criterion, value),
                                 scaled(criterion, value) - scaled(criterion, figure.ci95->lower));
    const double spread = half / halfWidth(units, 1.0, criterion.confidence);
    if (!std::isfinite(spread) || !(spread > 0)) return std::nullopt;
    return Expectation{value, isSize(criterion) ? spread * value : spread};
}

Sense usualSense(const MetricFacts& facts) {
    if (facts.metric == Metric::Bias) return Sense::Within;
    return facts.moreIsBetter ? Sense::AtLeast : Sense::AtMost;
}

std::string criterionWords(const Criterion& criterion) {
    const auto& facts = factsOf(criterion.metric);
    auto words = fmt::format("{} {} {:g}{}{}", facts.name, senseName(criterion.sense), criterion.limit,
                             facts.unit.empty() ? "" : " ", facts.unit);
    if (!criterion.device.empty()) words += ", " + criterion.device;
    if (!criterion.activity.empty()) words += ", " + criterion.activity;
    return words + fmt::format(", {:g} % sure", 100 * criterion.confidence);
}

}  // namespace beatwitness::agreement
