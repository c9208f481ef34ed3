#include "core/agreement/criterion.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/agreement/quantiles.h"

namespace beatwitness::agreement {
namespace {

constexpr std::array<std::pair<Sense, std::string_view>, 3> senses{
    {{Sense::AtMost, "at most"}, {Sense::AtLeast, "at least"}, {Sense::Within, "within"}}};

/// The bound that the figure is nearer to.
double boundOf(const Criterion& criterion, double value) {
    return criterion.sense == Sense::Within && value < 0 ? -criterion.limit : criterion.limit;
}

/// Units in all until Wilson's bound of shares that are all alike passes the limit.
std::optional<std::size_t> alikeUnits(const Criterion& criterion, double value_pct) {
    const double z = normalQuantile(0.5 + criterion.confidence / 2);
    const double distance = std::abs(value_pct - criterion.limit) / 100;
    if (!(distance > 0)) return std::nullopt;
    const double n = std::ceil(z * z * (1 / distance - 1));
    return n > static_cast<double>(mostNeeded) ? std::nullopt
                                               : std::optional{static_cast<std::size_t>(std::max(2.0, n))};
}

/// Units in all until the interval would decide.
std::optional<std::size_t> unitsInAll(const Criterion& criterion, const PooledFigure& figure, std::size_t k) {
    if (k < 2 || !figure.value || !figure.ci95) return std::nullopt;
    const auto& facts = factsOf(criterion.metric);
    const double value = *figure.value, bound = boundOf(criterion, value);
    if (facts.kind == MetricKind::Share && (value == 0 || value == 100)) return alikeUnits(criterion, value);
    const bool log = facts.kind == MetricKind::Size;
    if (log && (!(value > 0) || !(bound > 0))) return std::nullopt;
    const auto scaled = [log](double x) { return log ? std::log(x) : x; };
    const double width =
        std::max(scaled(figure.ci95->upper) - scaled(value), scaled(value) - scaled(figure.ci95->lower));
    const double spread = width / halfWidth(k, 1.0, criterion.confidence);
    return unitsFor(std::abs(scaled(bound) - scaled(value)), spread, criterion.confidence);
}

std::string reasonOf(const CriterionResult& result) {
    const auto& [criterion, figure, verdict, needed, unit, before, because] = result;
    const auto& facts = factsOf(criterion.metric);
    const auto bound = fmt::format("{} {:g}{}{}", senseName(criterion.sense), criterion.limit,
                                   facts.unit.empty() ? "" : " ", facts.unit);
    if (!figure.value) return fmt::format("there is no {} to hold against {}", facts.name, bound);
    if (!figure.ci95)
        return fmt::format("{} is {:.3g} but has no interval to hold against {} ({})", facts.name,
                           *figure.value, bound, figure.method);
    return fmt::format("{} is {:.3g}, {:g} % interval {:.3g} to {:.3g}, against {}", facts.name,
                       *figure.value, 100 * criterion.confidence, figure.ci95->lower, figure.ci95->upper,
                       bound);
}

}  // namespace

std::string_view senseName(Sense sense) {
    return std::ranges::find(senses, sense, [](const auto& pair) { return pair.first; })->second;
}

std::optional<Sense> senseOf(std::string_view name) {
    const auto found = std::ranges::find(senses, name, [](const auto& pair) { return pair.second; });
    return found == senses.end() ? std::nullopt : std::optional{found->first};
}

std::optional<std::string> wrongWith(const Criterion& criterion) {
    const auto& facts = factsOf(criterion.metric);
    if (!std::isfinite(criterion.limit) || criterion.limit < 0)
        return fmt::format("a limit of {} was expected to be a number of at least 0", facts.key);
    if (facts.kind == MetricKind::Share && criterion.limit > 100)
        return fmt::format("the limit {:g} of {} was expected to be at most 100 %", criterion.limit,
                           facts.key);
    if (!(criterion.confidence > 0.5 && criterion.confidence < 1))
        return fmt::format("the confidence {:g} was expected to be above 0.5 and below 1, such as 0.95",
                           criterion.confidence);
    return std::nullopt;
}

Verdict verdictOf(const Criterion& criterion, const Interval& interval) {
    const double limit = criterion.limit;
    switch (criterion.sense) {
        case Sense::AtMost:
            if (interval.upper <= limit) return Verdict::Meets;
            if (interval.lower > limit) return Verdict::DoesNotMeet;
            break;
        case Sense::AtLeast:
            if (interval.lower >= limit) return Verdict::Meets;
            if (interval.upper < limit) return Verdict::DoesNotMeet;
            break;
        case Sense::Within:
            if (interval.lower >= -limit && interval.upper <= limit) return Verdict::Meets;
            if (interval.lower > limit || interval.upper < -limit) return Verdict::DoesNotMeet;
            break;
    }
    return Verdict::CannotTellYet;
}

std::string_view verdictName(Verdict verdict) {
    switch (verdict) {
        case Verdict::Meets:
            return "meets";
        case Verdict::DoesNotMeet:
            return "does not meet";
        case Verdict::CannotTellYet:
            break;
    }
    return "cannot tell yet";
}

CriterionResult judge(const Criterion& criterion, const SamplingUnits& units, std::optional<Micros> firstData,
                      const BootstrapSettings& settings) {
    CriterionResult result;
    result.criterion = criterion;
    result.unit = units.name;
    result.figure = timeWeightedFigure(units, criterion.metric, criterion.confidence, settings);
    if (result.figure.ci95) result.verdict = verdictOf(criterion, *result.figure.ci95);
    if (result.verdict != Verdict::CannotTellYet)
        result.unitsNeeded = 0;
    else if (const auto all = unitsInAll(criterion, result.figure, units.size()))
        result.unitsNeeded = std::max<std::size_t>(*all, units.size() + 1) - units.size();
    if (criterion.setAt && firstData) result.beforeData = *criterion.setAt < *firstData;
    result.because = reasonOf(result);
    return result;
}

double halfWidth(std::size_t units, double spread, double confidence) {
    const auto n = static_cast<double>(units);
    return tQuantile(0.5 + confidence / 2, n - 1) * spread / std::sqrt(n);
}

std::optional<std::size_t> unitsFor(double distance, double spread, double confidence) {
    if (!(distance > 0) || halfWidth(mostNeeded, spread, confidence) > distance) return std::nullopt;
    std::size_t low = 1, high = mostNeeded;  // low is too few, high suffices: the width falls with every unit
    while (high - low > 1) {
        const std::size_t middle = low + (high - low) / 2;
        (halfWidth(middle, spread, confidence) <= distance ? high : low) = middle;
    }
    return high;
}

}  // namespace beatwitness::agreement
