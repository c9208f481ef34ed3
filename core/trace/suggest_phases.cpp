#include "core/trace/suggest_phases.h"

#include <algorithm>
#include <cmath>

namespace beatwitness::trace {
namespace {

/// Seconds of one unbroken stretch; rates[i] stands at begin + i.
struct Stretch {
    std::int64_t begin = 0;
    std::vector<double> rates;
};

std::vector<Stretch> stretchesOf(const SecondlyRates& rates) {
    std::vector<Stretch> stretches;
    for (std::size_t i = 0; i < rates.seconds.size(); ++i) {
        if (i == 0 || rates.seconds[i] != rates.seconds[i - 1] + 1)
            stretches.push_back({rates.seconds[i], {}});
        stretches.back().rates.push_back(rates.rates[i].value);
    }
    return stretches;
}

/// Slope of the least-squares line through `window` (odd) values about each, as far as they reach: by running
/// sums of y and of i y.
std::vector<double> slopes(const std::vector<double>& rates, std::size_t window) {
    const std::size_t n = rates.size(), half = window / 2;
    std::vector<double> sum(n + 1, 0.0), weighted(n + 1, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
        sum[i + 1] = sum[i] + rates[i];
        weighted[i + 1] = weighted[i] + rates[i] * static_cast<double>(i);
    }
    std::vector<double> result(n);
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t first = i > half ? i - half : 0, last = std::min(n - 1, i + half);
        const auto count = static_cast<double>(last - first + 1);
        const double middle = static_cast<double>(first + last) / 2;
        const double top = weighted[last + 1] - weighted[first] - middle * (sum[last + 1] - sum[first]);
        const double bottom = count * (count * count - 1) / 12;
        result[i] = bottom > 0 ? top / bottom : 0.0;
    }
    return result;
}

/// A run of seconds [begin, end) that goes one way: 1 up, -1 down, 0 level.
struct Run {
    std::size_t begin = 0, end = 0;
    int way = 0;
};

/// Neighbours that go the same way become one.
std::vector<Run> merged(const std::vector<Run>& runs) {
    std::vector<Run> result;
    for (const Run& run : runs) {
        if (!result.empty() && result.back().way == run.way)
            result.back().end = run.end;
        else
            result.push_back(run);
    }
    return result;
}

std::vector<Run> runsOf(const std::vector<double>& rates, const PhaseSettings& settings) {
    const auto slope = slopes(rates, static_cast<std::size_t>(settings.window.value));
    std::vector<Run> runs;
    for (std::size_t i = 0; i < slope.size(); ++i)
        runs.push_back({i, i + 1,
                        slope[i] >= settings.leastSlope    ? 1
                        : slope[i] <= -settings.leastSlope ? -1
                                                           : 0});
    runs = merged(runs);
    // A change that amounts to nothing is level.
    for (Run& run : runs)
        if (std::abs(rates[run.end - 1] - rates[run.begin]) < settings.leastChange.value) run.way = 0;
    runs = merged(runs);
    // A short halt is part of the change before it, or after it at the very start.
    for (std::size_t i = 0; i < runs.size() && runs.size() > 1; ++i)
        if (runs[i].way == 0 && static_cast<double>(runs[i].end - runs[i].begin) < settings.leastLevel.value)
            runs[i].way = i > 0 ? runs[i - 1].way : runs[i + 1].way;
    return merged(runs);
}

double percentile(std::vector<double> values, double share) {
    const auto at =
        values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::ranges::nth_element(values, at);
    return *at;
}

PhaseKind kindOf(const Run& run, const std::vector<double>& rates, double steadyFrom) {
    if (run.way != 0) return run.way > 0 ? PhaseKind::Rise : PhaseKind::Recovery;
    const std::vector<double> part(rates.begin() + static_cast<std::ptrdiff_t>(run.begin),
                                   rates.begin() + static_cast<std::ptrdiff_t>(run.end));
    return percentile(part, 0.5) >= steadyFrom ? PhaseKind::Steady : PhaseKind::Rest;
}

}  // namespace

std::vector<Phase> suggestedPhases(const SessionTrace& reference, ReferenceTime t0,
                                   const PhaseSettings& settings) {
    const auto seconds = atWholeSeconds(reference);
    if (static_cast<double>(seconds.seconds.size()) < settings.window.value) return {};
    std::vector<double> all;
    for (const auto rate : seconds.rates)
        all.push_back(rate.value);
    const double low = percentile(all, 0.05), high = percentile(all, 0.95);
    const double steadyFrom = low + settings.steadyAbove * (high - low);
    std::vector<Phase> phases;
    for (const Stretch& stretch : stretchesOf(seconds)) {
        if (static_cast<double>(stretch.rates.size()) < settings.leastLevel.value) continue;
        for (const Run& run : runsOf(stretch.rates, settings)) {
            Phase phase;
            const auto at = [&](std::size_t i) {
                return t0 + std::chrono::seconds{stretch.begin + static_cast<std::int64_t>(i)};
            };
            phase.span = {at(run.begin), at(std::min(run.end, stretch.rates.size() - 1))};
            phase.kind = kindOf(run, stretch.rates, steadyFrom);
            phase.origin = PhaseOrigin::Suggestion;
            if (phase.span.begin < phase.span.end) phases.push_back(std::move(phase));
        }
    }
    return phases;
}

}  // namespace beatwitness::trace
