#include "core/trace/trace.h"

#include <algorithm>
#include <numeric>

#include "core/recording/heart_rate_range.h"

namespace beatwitness::trace {
namespace {

/// Valid samples further apart than this belong to different workouts of one file.
constexpr Micros partGap = std::chrono::minutes{30};

std::vector<RecordingSummary::Part> partsOf(const Trace<RecordingClock>& trace) {
    std::vector<RecordingSummary::Part> parts;
    for (const auto time : trace.times) {
        if (parts.empty() || time - parts.back().span.end > partGap) parts.push_back({{time, time}, 0});
        parts.back().span.end = time;
        ++parts.back().samples;
    }
    return parts;
}

std::optional<Seconds> medianInterval(const Trace<RecordingClock>& trace) {
    if (trace.times.size() < 2) return std::nullopt;
    std::vector<Micros> intervals(trace.times.size() - 1);
    for (std::size_t i = 0; i < intervals.size(); ++i)
        intervals[i] = trace.times[i + 1] - trace.times[i];
    const auto middle = intervals.begin() + static_cast<std::ptrdiff_t>(intervals.size() / 2);
    std::ranges::nth_element(intervals, middle);
    const double upper = toSeconds(*middle).value;
    if (intervals.size() % 2 == 1) return Seconds{upper};
    const double lower = toSeconds(*std::max_element(intervals.begin(), middle)).value;
    return Seconds{(lower + upper) / 2};
}

}  // namespace

Trace<RecordingClock> traceOf(const recording::Recording& recording) {
    Trace<RecordingClock> trace;
    const auto* channel = recording.channel(recording::ChannelKind::HeartRate);
    if (!channel) return trace;
    const auto& times = channel->times;
    const auto& values = channel->values;

    std::vector<std::uint32_t> order;
    if (!std::ranges::is_sorted(times)) {
        order.resize(times.size());
        std::iota(order.begin(), order.end(), 0u);
        std::ranges::stable_sort(order, {}, [&](std::uint32_t i) { return times[i]; });
    }
    trace.times.reserve(times.size());
    trace.rates.reserve(times.size());
    for (std::size_t k = 0; k < times.size(); ++k) {
        const std::size_t i = order.empty() ? k : order[k];
        if (!recording::isValidHeartRate(values[i])) continue;
        if (!trace.times.empty() && trace.times.back() == times[i]) {
            trace.rates.back() = Bpm{values[i]};
            continue;
        }
        trace.times.push_back(times[i]);
        trace.rates.push_back(Bpm{values[i]});
    }
    return trace;
}

RecordingSummary summarise(const recording::Recording& recording) {
    RecordingSummary summary;
    summary.samples = recording.rows;
    std::size_t valid = 0;
    if (const auto* channel = recording.channel(recording::ChannelKind::HeartRate)) {
        double sum = 0.0;
        double lowest = recording::highestValid_bpm, highest = recording::lowestValid_bpm;
        for (const double rate : channel->values) {
            if (!recording::isValidHeartRate(rate)) continue;
            ++valid;
            sum += rate;
            lowest = std::min(lowest, rate);
            highest = std::max(highest, rate);
        }
        if (valid > 0) {
            summary.lowest = Bpm{lowest};
            summary.highest = Bpm{highest};
            summary.mean = Bpm{sum / static_cast<double>(valid)};
        }
    }
    summary.missing = summary.samples - std::min(summary.samples, valid);
    const auto trace = traceOf(recording);
    if (!trace.empty()) {
        summary.span = trace.span();
        summary.duration = toSeconds(summary.span->end - summary.span->begin);
        summary.medianInterval = medianInterval(trace);
        summary.parts = partsOf(trace);
    }
    return summary;
}

}  // namespace beatwitness::trace
