#include "core/analysis/context_traces.h"

#include <algorithm>
#include <array>
#include <numeric>

namespace beatwitness::analysis {
namespace {

using alignment::ClockCorrection;
using recording::Channel;
using recording::ChannelKind;
using recording::ClockBasis;
using recording::RecordingFile;

constexpr std::array shown{ChannelKind::Cadence, ChannelKind::Power, ChannelKind::Speed,
                           ChannelKind::Altitude};
constexpr Micros halfHour = std::chrono::minutes{30};
constexpr int mostHalfHours = 28;  // zones span UTC-12 to UTC+14

ContextTrace contextTrace(const Channel& channel, const std::string& file, Micros laid,
                          const ClockCorrection& correction, const trace::PairingSettings& pairing) {
    std::vector<std::uint32_t> order(channel.times.size());
    std::iota(order.begin(), order.end(), 0u);
    std::ranges::stable_sort(order, {}, [&](std::uint32_t i) { return channel.times[i]; });
    ContextTrace trace{channel.kind, file, {}, {}, {}};
    const Micros longest = toMicros(pairing.maxGap) + Micros{1};
    RecordingTime before{};
    for (const auto i : order) {
        const RecordingTime time = channel.times[i];
        if (!trace.seconds.empty() && time == before) {
            trace.values.back() = channel.values[i];  // of samples at one time the last stands
            continue;
        }
        trace.joined.push_back(!trace.seconds.empty() && time - before <= longest);
        trace.seconds.push_back(secondsOf(correction.toSession(TestTime{time.time_since_epoch() + laid})));
        trace.values.push_back(channel.values[i]);
        before = time;
    }
    return trace;
}

/// First and last time of anything in the file.
Span<RecordingClock> wholeSpan(const recording::Recording& recording) {
    Span<RecordingClock> span{RecordingTime::max(), RecordingTime::min()};
    for (const auto& channel : recording.channels) {
        if (channel.times.empty()) continue;
        const auto [first, last] = std::ranges::minmax_element(channel.times);
        span.begin = std::min(span.begin, *first);
        span.end = std::max(span.end, *last);
    }
    return span;
}

/// The whole or half hour after which `span` lies on `reference` longest; the smallest of equals.
Micros bestHalfHour(const Span<RecordingClock>& span, const Span<ReferenceClock>& reference) {
    const auto overlap = [&](Micros shift) {
        return std::min(span.end.time_since_epoch() + shift, reference.end.time_since_epoch()) -
               std::max(span.begin.time_since_epoch() + shift, reference.begin.time_since_epoch());
    };
    Micros best{0};
    for (int k = 1; k <= mostHalfHours; ++k)
        for (const Micros shift : {k * halfHour, -k * halfHour})
            if (overlap(shift) > overlap(best) && overlap(shift) > Micros{0}) best = shift;
    return best;
}

Micros layingOf(const RecordingFile& file, ClockBasis referenceClock, const Span<ReferenceClock>& reference) {
    const auto span = wholeSpan(file.recording);
    if (span.begin > span.end) return Micros{0};
    if (file.recording.clock == ClockBasis::None || referenceClock == ClockBasis::None)
        return reference.begin.time_since_epoch() - span.begin.time_since_epoch();
    if (file.recording.clock == ClockBasis::ZoneUnknown || referenceClock == ClockBasis::ZoneUnknown)
        return bestHalfHour(span, reference);
    return Micros{0};
}

alignment::ClockKnowledge knowledgeOf(ClockBasis context, ClockBasis reference) {
    if (context == ClockBasis::None || reference == ClockBasis::None)
        return alignment::ClockKnowledge::Undated;
    if (context == ClockBasis::ZoneUnknown || reference == ClockBasis::ZoneUnknown)
        return alignment::ClockKnowledge::ZoneUnknown;
    return alignment::ClockKnowledge::Dated;
}

}  // namespace

std::vector<ContextTrace> channelsOf(const RecordingFile& file, Micros laid,
                                     const ClockCorrection& correction, const Settings& settings) {
    std::vector<ContextTrace> traces;
    for (const auto& channel : file.recording.channels)
        if (std::ranges::find(shown, channel.kind) != shown.end() && !channel.times.empty())
            traces.push_back(contextTrace(channel, file.file, laid, correction, settings.pairing));
    return traces;
}

Result<ContextAnalysis> analyseContext(RecordingFile file, const trace::Trace<ReferenceClock>& reference,
                                       ClockBasis referenceClock, std::span<const trace::SessionSpan> leftOut,
                                       const Settings& settings, const RunControl& run) {
    ContextAnalysis context;
    context.correction.t0 = reference.times.front();
    context.laid = layingOf(file, referenceClock, reference.span());
    const auto own = trace::traceOf(file.recording);
    if (!own.empty()) {
        const auto found =
            alignment::estimateAlignment(reference, trace::laidOn<TestClock>(own, context.laid),
                                         knowledgeOf(file.recording.clock, referenceClock), leftOut,
                                         settings.pairing, settings.alignment, run);
        if (!found) return found.fault();
        if (found->applied()) {
            context.correction = *found->correction;
            context.alignedByHeartRate = true;
        }
    }
    context.file = std::move(file);
    return context;
}

std::vector<ContextTrace> contextTraces(const SessionAnalysis& session, bool aligned) {
    std::vector<ContextTrace> traces;
    const auto append = [&](const RecordingFile& file, Micros laid, const ClockCorrection& correction) {
        auto more = channelsOf(file, laid, correction, session.settings);
        traces.insert(traces.end(), std::make_move_iterator(more.begin()),
                      std::make_move_iterator(more.end()));
    };
    append(session.reference, Micros{0}, ClockCorrection{session.t0, {}, {}});
    for (const auto& test : session.tests)
        append(test.file, test.laid, (aligned ? test.view() : test.asRecorded).correction);
    for (const auto& context : session.contexts)
        append(context.file, context.laid, context.correction);
    return traces;
}

}  // namespace beatwitness::analysis
