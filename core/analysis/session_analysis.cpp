#include "core/analysis/session_analysis.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/analysis/context_traces.h"
#include "core/flags/dropouts.h"
#include "core/foundation/text.h"

namespace beatwitness::analysis {
namespace {

using alignment::ClockCorrection;
using recording::ClockBasis;
using recording::RecordingFile;

Fault noHeartRate(const RecordingFile& file) {
    return {
        FaultCode::NoHeartRate,
        fmt::format("it holds no valid heart rate (25 to 250 bpm) in {} rows, so there is nothing to compare",
                    file.recording.rows),
        file.file,
        {},
        {}};
}

/// How much two files' clocks have to be shifted to lie on common ground: a file without a date is laid so
/// that its first valid sample falls on the other's.
struct Laying {
    Micros reference{0};
    Micros test{0};
    alignment::ClockKnowledge knowledge = alignment::ClockKnowledge::Dated;
};

Laying layingOf(const RecordingFile& reference, RecordingTime referenceStart, const RecordingFile& test,
                RecordingTime testStart) {
    Laying laying;
    const bool undatedReference = reference.recording.clock == ClockBasis::None;
    const bool undatedTest = test.recording.clock == ClockBasis::None;
    if (undatedTest || undatedReference) {
        laying.test = referenceStart - testStart;
        laying.knowledge = alignment::ClockKnowledge::Undated;
    } else if (reference.recording.clock == ClockBasis::ZoneUnknown ||
               test.recording.clock == ClockBasis::ZoneUnknown) {
        laying.knowledge = alignment::ClockKnowledge::ZoneUnknown;
    }
    return laying;
}

/// Pauses that a file declares, in session time under `shift` and `correction`.
std::vector<trace::SessionSpan> pausesInSession(const RecordingFile& file, Micros shift,
                                                const ClockCorrection& correction) {
    std::vector<trace::SessionSpan> spans;
    for (const auto& pause : file.recording.pauses)
        spans.push_back({correction.toSession(TestTime{pause.begin.time_since_epoch() + shift}),
                         correction.toSession(TestTime{pause.end.time_since_epoch() + shift})});
    return spans;
}

/// The reference side of a session, shared by all its tests.
struct ReferenceSide {
    trace::Trace<ReferenceClock> trace;
    trace::SessionTrace session;
    trace::SecondlyRates seconds;
    std::vector<flags::Flag> faults;
    std::vector<trace::SessionSpan> excluded;
};

ReferenceSide referenceSide(const RecordingFile& file, ReferenceTime t0, trace::Trace<ReferenceClock> trace,
                            const Request& request, const Settings& settings) {
    ReferenceSide side;
    side.trace = std::move(trace);
    side.session = trace::onSessionClock(side.trace, t0, settings.pairing);
    side.seconds = trace::atWholeSeconds(side.session);
    const auto pauses = pausesInSession(file, Micros{0}, ClockCorrection{t0, {}, {}});
    side.faults = flags::dropouts(side.session, pauses, flags::FlaggedTrace::Reference, settings.pairing);
    for (auto& fault : side.faults) {
        fault.excluded = fault.excluded && request.excludeReferenceFaults;
        if (fault.excluded) side.excluded.push_back(fault.span);
    }
    return side;
}

ClockView clockView(const trace::Trace<TestClock>& test, const ReferenceSide& reference,
                    const ClockCorrection& correction, const Settings& settings) {
    ClockView view;
    view.correction = correction;
    view.trace = alignment::onSessionClock(test, correction, settings.pairing);
    view.pairs = trace::pairSeconds(reference.seconds, trace::atWholeSeconds(view.trace), reference.excluded);
    view.agreement = agreement::agreementOf(view.pairs);
    return view;
}

Result<alignment::Alignment> alignmentOf(const trace::Trace<TestClock>& test, const ReferenceSide& reference,
                                         ReferenceTime t0, alignment::ClockKnowledge knowledge,
                                         const Request& request, const Settings& settings,
                                         const RunControl& run) {
    alignment::Alignment fixed;
    fixed.method = request.align;
    switch (request.align) {
        case alignment::Method::None:
            return fixed;
        case alignment::Method::Offset:
            fixed.correction = ClockCorrection{t0, request.offset, request.drift};
            return fixed;
        case alignment::Method::Auto:
            break;
    }
    return alignment::estimateAlignment(reference.trace, test, knowledge, reference.excluded,
                                        settings.pairing, settings.alignment, run);
}

/// Mean error over the paired seconds inside a flag.
std::optional<BpmDelta> meanErrorIn(const trace::SessionSpan& span, const trace::Pairs& pairs) {
    const auto first = std::ranges::lower_bound(pairs.seconds, secondsOf(span.begin), {},
                                                [](std::int64_t s) { return static_cast<double>(s); });
    double sum = 0.0;
    std::size_t count = 0;
    for (auto i = static_cast<std::size_t>(first - pairs.seconds.begin());
         i < pairs.size() && static_cast<double>(pairs.seconds[i]) <= secondsOf(span.end); ++i, ++count)
        sum += pairs.error(i).value;
    if (count == 0) return std::nullopt;
    return BpmDelta{sum / static_cast<double>(count)};
}

std::vector<flags::Flag> flagsOf(const RecordingFile& file, Micros shift, const ClockView& view,
                                 const ReferenceSide& reference, const Settings& settings) {
    auto found = flags::dropouts(view.trace, pausesInSession(file, shift, view.correction),
                                 flags::FlaggedTrace::Test, settings.pairing);
    // A device that was worn before or after the reference is not judged there.
    const double last_s = reference.session.seconds.back();
    std::erase_if(found, [last_s](const flags::Flag& flag) {
        return secondsOf(flag.span.end) < 0 || secondsOf(flag.span.begin) > last_s;
    });
    found.insert(found.end(), reference.faults.begin(), reference.faults.end());
    std::ranges::stable_sort(found, {}, [](const flags::Flag& flag) { return flag.span.begin; });
    for (auto& flag : found)
        flag.meanError = meanErrorIn(flag.span, view.pairs);
    return found;
}

Result<TestAnalysis> analyseTest(RecordingFile file, const RecordingFile& referenceFile,
                                 RecordingTime referenceStart, ReferenceTime t0,
                                 const ReferenceSide& reference, const Request& request,
                                 const Settings& settings, const RunControl& run) {
    const auto recorded = trace::traceOf(file.recording);
    if (recorded.empty()) return noHeartRate(file);
    const Laying laying = layingOf(referenceFile, referenceStart, file, recorded.times.front());
    const auto test = trace::laidOn<TestClock>(recorded, laying.test);

    TestAnalysis result;
    auto aligned = alignmentOf(test, reference, t0, laying.knowledge, request, settings, run);
    if (!aligned) return aligned.fault();
    result.alignment = std::move(*aligned);
    result.asRecorded = clockView(test, reference, ClockCorrection{t0, {}, {}}, settings);
    if (result.alignment.applied())
        result.aligned = clockView(test, reference, *result.alignment.correction, settings);
    result.flags = flagsOf(file, laying.test, result.view(), reference, settings);
    result.laid = laying.test;
    result.file = std::move(file);
    return result;
}

std::size_t secondsInside(const trace::SecondlyRates& rates,
                          const std::vector<trace::SessionSpan>& excluded) {
    return rates.seconds.size() - trace::pairSeconds(rates, rates, excluded).size();
}

}  // namespace

Result<SessionAnalysis> analyseSession(RecordingFile reference, std::vector<RecordingFile> tests,
                                       std::vector<RecordingFile> contexts, const Request& request,
                                       const Settings& settings, const RunControl& run) {
    const auto recorded = trace::traceOf(reference.recording);
    if (recorded.empty()) return noHeartRate(reference);

    SessionAnalysis session;
    const RecordingTime start = recorded.times.front();
    session.t0 = ReferenceTime{start.time_since_epoch()};
    const auto side = referenceSide(reference, session.t0, trace::laidOn<ReferenceClock>(recorded, Micros{0}),
                                    request, settings);
    session.referenceTrace = side.session;
    session.referenceSeconds = side.seconds.seconds.size();
    session.excludedReferenceSeconds = secondsInside(side.seconds, side.excluded);
    for (std::size_t i = 0; i < tests.size(); ++i) {
        const auto total = static_cast<double>(tests.size());
        auto test = analyseTest(std::move(tests[i]), reference, start, session.t0, side, request, settings,
                                run.part(static_cast<double>(i) / total, static_cast<double>(i + 1) / total));
        if (!test) return test.fault();
        session.tests.push_back(std::move(*test));
    }
    for (auto& context : contexts) {
        auto analysed = analyseContext(std::move(context), side.trace, reference.recording.clock,
                                       side.excluded, settings, run.part(1, 1));
        if (!analysed) return analysed.fault();
        session.contexts.push_back(std::move(*analysed));
    }
    session.reference = std::move(reference);
    session.settings = settings;
    session.request = request;
    run.progress(1.0);
    return session;
}

}  // namespace beatwitness::analysis
