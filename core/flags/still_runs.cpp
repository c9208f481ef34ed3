#include "core/flags/still_runs.h"

#include <cmath>

namespace beatwitness::flags {
namespace {

/// Last sample of the run that begins at `first`.
std::size_t runEnd(const trace::SessionTrace& trace, std::size_t first, const StuckSettings& settings) {
    const double value = trace.rates[first].value;
    const auto same = [&](std::size_t i) { return trace.rates[i].value == value; };
    std::size_t last = first, strays = 0;
    for (std::size_t i = first + 1; i < trace.rates.size() && trace.joined[i]; ++i) {
        if (same(i)) {
            last = i;
            continue;
        }
        const bool comesBack = i + 1 < trace.rates.size() && trace.joined[i + 1] && same(i + 1);
        if (!comesBack || std::abs(trace.rates[i].value - value) > settings.span_bpm) break;
        ++strays;
        if (static_cast<double>(strays) > (1.0 - settings.sameShare) * static_cast<double>(i - first + 1))
            break;
    }
    return last;
}

constexpr double habitReach_s = 600.0;  ///< how far around a standstill its habits are looked at

}  // namespace

double standingChance(const trace::SessionTrace& trace, const StillRun& run) {
    double same = 1.0, all = 2.0;  // one imagined pair of each keeps the share off 0 and 1
    const auto count = [&](std::size_t i) {
        if (!trace.joined[i]) return;
        all += 1.0;
        same += trace.rates[i].value == trace.rates[i - 1].value ? 1.0 : 0.0;
    };
    for (std::size_t i = run.first; i > 0 && trace.seconds[run.first] - trace.seconds[i] < habitReach_s; --i)
        count(i);
    for (std::size_t i = run.last + 1;
         i < trace.seconds.size() && trace.seconds[i] - trace.seconds[run.last] < habitReach_s; ++i)
        count(i);
    return std::pow(same / all, static_cast<double>(run.last - run.first));
}

std::vector<StillRun> stillRuns(const trace::SessionTrace& trace, const StuckSettings& settings) {
    std::vector<StillRun> runs;
    for (std::size_t first = 0; first < trace.rates.size();) {
        const std::size_t last = runEnd(trace, first, settings);
        if (trace.seconds[last] - trace.seconds[first] >= settings.least_s)
            runs.push_back({first, last, trace.rates[first].value});
        first = last + 1;
    }
    return runs;
}

}  // namespace beatwitness::flags
