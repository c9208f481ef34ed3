#include "core/analysis/wearing_outcome.h"

#include <algorithm>

namespace beatwitness::analysis {
namespace {

using agreement::PairedSeconds;

bool inside(const trace::SessionSpan& span, std::int64_t second) {
    const auto time = sessionTime(static_cast<double>(second));
    return span.begin <= time && time <= span.end;
}

/// Index range of `seconds` inside a span.
std::pair<std::size_t, std::size_t> rangeIn(const std::vector<std::int32_t>& seconds,
                                            const trace::SessionSpan& span) {
    const auto first = std::ranges::find_if(seconds, [&](std::int32_t s) { return inside(span, s); });
    auto last = first;
    while (last != seconds.end() && inside(span, *last))
        ++last;
    return {static_cast<std::size_t>(first - seconds.begin()),
            static_cast<std::size_t>(last - seconds.begin())};
}

/// Where kinds share seconds the one named first stands.
void mark(PairedSeconds& seconds, const std::vector<flags::Flag>& flags) {
    for (const auto& flag : flags) {
        if (flag.on != flags::FlaggedTrace::Test) continue;
        const auto code = static_cast<std::uint8_t>(1 + static_cast<int>(flag.kind));
        const auto [first, last] = rangeIn(seconds.seconds, flag.span);
        for (std::size_t i = first; i < last; ++i)
            if (seconds.flag[i] == 0 || code < seconds.flag[i]) seconds.flag[i] = code;
    }
}

std::vector<trace::SessionSpan> excludedSpans(const std::vector<flags::Flag>& flags) {
    std::vector<trace::SessionSpan> spans;
    for (const auto& flag : flags)
        if (flag.excluded) spans.push_back(flag.span);
    return spans;
}

PairedSeconds under(const alignment::ClockCorrection& correction, const trace::Trace<TestClock>& test,
                    const trace::SecondlyRates& counted, const std::vector<flags::Flag>& flags,
                    const Settings& settings) {
    const auto onSession = alignment::onSessionClock(test, correction, settings.pairing);
    const auto pairs = trace::pairSeconds(counted, trace::atWholeSeconds(onSession));
    PairedSeconds seconds;
    seconds.firstSample_s = onSession.seconds.front();
    seconds.lastSample_s = onSession.seconds.back();
    const std::size_t n = counted.seconds.size();
    seconds.seconds.assign(counted.seconds.begin(), counted.seconds.end());
    seconds.reference.reserve(n);
    for (const auto rate : counted.rates)
        seconds.reference.push_back(rate.value);
    seconds.test.assign(n, 0.0);
    seconds.paired.assign(n, 0);
    seconds.flag.assign(n, 0);
    for (std::size_t i = 0, j = 0; j < pairs.size(); ++j) {
        while (counted.seconds[i] != pairs.seconds[j])
            ++i;
        seconds.test[i] = pairs.test[j].value;
        seconds.paired[i] = 1;
    }
    mark(seconds, flags);
    return seconds;
}

WearingOutcome found(const SessionAnalysis& session, const TestAnalysis& test) {
    WearingOutcome outcome;
    outcome.hasHeartRate = true;
    outcome.refused = !test.aligned;
    outcome.refusedBecause = test.alignment.refusedBecause.value_or("");
    outcome.laid = test.laid;
    if (test.aligned) {
        outcome.offset = test.aligned->correction.offset;
        outcome.drift = test.aligned->correction.drift;
    }
    outcome.flags = test.flags;
    outcome.flagsByHand = test.flagsByHand;
    outcome.referenceFlagsByHand = session.referenceFlagsByHand;
    outcome.unmatchedDecisions = static_cast<int>(test.unmatched.size() + session.referenceUnmatched.size());
    outcome.excludedSeconds = static_cast<double>(session.excludedReferenceSeconds);
    return outcome;
}

}  // namespace

std::optional<ReferenceSeconds> referenceSecondsOf(const recording::RecordingFile& reference,
                                                   const Settings& settings) {
    const auto recorded = trace::traceOf(reference.recording);
    if (recorded.empty()) return std::nullopt;
    const ReferenceTime t0{recorded.times.front().time_since_epoch()};
    const auto onSession =
        trace::onSessionClock(trace::laidOn<ReferenceClock>(recorded, Micros{0}), t0, settings.pairing);
    return ReferenceSeconds{t0, trace::atWholeSeconds(onSession)};
}

WearingPairs pairsUnder(const WearingOutcome& outcome, const ReferenceSeconds& reference,
                        const recording::RecordingFile& file, const Settings& settings) {
    const auto test = trace::laidOn<TestClock>(trace::traceOf(file.recording), outcome.laid);
    const auto spans = excludedSpans(outcome.flags);
    WearingPairs pairs;
    trace::SecondlyRates counted;
    const auto kept = trace::pairSeconds(reference.rates, reference.rates, spans);
    counted.seconds = kept.seconds;
    counted.rates = kept.reference;
    for (std::size_t i = 0, j = 0; i < reference.rates.seconds.size(); ++i) {
        const auto second = reference.rates.seconds[i];
        if (j < counted.seconds.size() && counted.seconds[j] == second)
            ++j;
        else
            pairs.excluded.push_back(static_cast<std::int32_t>(second));
    }
    const auto t0 = reference.t0;
    pairs.asRecorded = under({t0, {}, {}}, test, counted, outcome.flags, settings);
    pairs.aligned = outcome.refused
                        ? pairs.asRecorded
                        : under({t0, outcome.offset, outcome.drift}, test, counted, outcome.flags, settings);
    return pairs;
}

ClockSummary summaryOf(const PairedSeconds& seconds) {
    return {agreement::sumsOf(seconds), agreement::spansOf(seconds),
            agreement::independentReadings(agreement::errorsOf(seconds))};
}

WearingOutcome outcomeOf(const SessionAnalysis& session, const TestAnalysis& test) {
    auto outcome = found(session, test);
    const auto reference = referenceSecondsOf(session.reference, session.settings);
    const auto pairs = pairsUnder(outcome, *reference, test.file, session.settings);
    outcome.asRecorded = summaryOf(pairs.asRecorded);
    outcome.aligned = outcome.refused ? outcome.asRecorded : summaryOf(pairs.aligned);
    return outcome;
}

}  // namespace beatwitness::analysis
