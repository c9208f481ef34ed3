#include "core/analysis/session_analysis.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/analysis/context_traces.h"
#include "core/analysis/session_decisions.h"
#include "core/analysis/session_flags.h"
#include "core/flags/reference_faults.h"
#include "core/flags/test_faults.h"
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
    flags::DecidedFlags decided;               ///< by decisions on the reference
    std::vector<trace::SessionSpan> faulty;    ///< their spans: no test is judged there
    std::vector<trace::SessionSpan> excluded;  ///< those of them that leave the agreement
};

ReferenceSide referenceSide(const RecordingFile& file, ReferenceTime t0, trace::Trace<ReferenceClock> trace,
                            const Request& request, const Settings& settings) {
    ReferenceSide side;
    side.trace = std::move(trace);
    side.session = trace::onSessionClock(side.trace, t0, settings.pairing);
    side.seconds = trace::atWholeSeconds(side.session);
    const auto pauses = pausesInSession(file, Micros{0}, ClockCorrection{t0, {}, {}});
    const auto faults = flags::referenceFaults(side.session, pauses, settings.pairing, settings.flags);
    const flags::TraceClock own{{t0, {}, {}}, Micros{0}};
    side.decided = flags::applyDecisions(faults, request.decisions.reference, {own, own});
    for (auto& fault : side.decided.flags) {
        side.faulty.push_back(fault.span);
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
                                         const ClockRequest& request, const Settings& settings,
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

/// Cadence for one test: the reference's channel, else its own, else a context's.
trace::SecondlyRates cadenceFor(const RecordingFile& test, Micros laid, const ClockCorrection& correction,
                                const SessionAnalysis& session) {
    auto traces =
        channelsOf(session.reference, Micros{0}, ClockCorrection{session.t0, {}, {}}, session.settings);
    const auto append = [&](std::vector<ContextTrace> more) {
        traces.insert(traces.end(), std::make_move_iterator(more.begin()),
                      std::make_move_iterator(more.end()));
    };
    append(channelsOf(test, laid, correction, session.settings));
    for (const auto& context : session.contexts)
        append(channelsOf(context.file, context.laid, context.correction, session.settings));
    return cadenceSeconds(traces);
}

/// Flags on one test as they are found, under the clock of `view`.
std::vector<flags::Flag> flagsOf(const RecordingFile& file, Micros laid, const ClockView& view,
                                 const ReferenceSide& reference, const SessionAnalysis& session) {
    const auto pauses = pausesInSession(file, laid, view.correction);
    const auto cadence = cadenceFor(file, laid, view.correction, session);
    return flags::testFaults(
        {reference.session, reference.seconds, view.trace, reference.faulty, pauses, cadence},
        session.settings.pairing, session.settings.flags);
}

Result<TestAnalysis> analyseTest(RecordingFile file, const ReferenceSide& reference,
                                 const SessionAnalysis& session, const RunControl& run) {
    const auto recorded = trace::traceOf(file.recording);
    if (recorded.empty()) return noHeartRate(file);
    const auto& settings = session.settings;
    const ReferenceTime t0 = session.t0;
    const Laying laying =
        layingOf(session.reference, RecordingTime{t0.time_since_epoch()}, file, recorded.times.front());
    const auto test = trace::laidOn<TestClock>(recorded, laying.test);

    TestAnalysis result;
    const auto clock = session.request.clockOf(session.tests.size());
    auto aligned = alignmentOf(test, reference, t0, laying.knowledge, clock, settings, run);
    if (!aligned) return aligned.fault();
    result.alignment = std::move(*aligned);
    result.asRecorded = clockView(test, reference, ClockCorrection{t0, {}, {}}, settings);
    if (result.alignment.applied())
        result.aligned = clockView(test, reference, *result.alignment.correction, settings);
    result.found = flagsOf(file, laying.test, result.view(), reference, session);
    result.laid = laying.test;
    result.file = std::move(file);
    return result;
}

/// Adds to the later of two tests what both hold against the reference. The earlier one stays as it was: a
/// further test changes nothing in it.
void suspectReference(SessionAnalysis& session, std::size_t later) {
    auto& test = session.tests[later];
    for (std::size_t i = 0; i < later; ++i) {
        const auto& earlier = session.tests[i];
        auto known = session.referenceFaults;
        known.insert(known.end(), test.suspected.begin(), test.suspected.end());
        auto found = suspectedReferenceFlags(test.view(), earlier.view(), earlier.file.file, known,
                                             session.settings.flags.reference);
        std::ranges::move(found, std::back_inserter(test.suspected));
    }
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
    session.t0 = ReferenceTime{recorded.times.front().time_since_epoch()};
    session.reference = std::move(reference);
    session.settings = settings;
    session.request = request;
    const auto side = referenceSide(session.reference, session.t0,
                                    trace::laidOn<ReferenceClock>(recorded, Micros{0}), request, settings);
    session.referenceTrace = side.session;
    session.referenceSeconds = side.seconds.seconds.size();
    session.excludedReferenceSeconds = secondsInside(side.seconds, side.excluded);
    const auto parts = static_cast<double>(tests.size() + contexts.size());
    double done = 0.0;
    const auto nextPart = [&] {
        const double begin = done++;
        return run.part(begin / parts, done / parts);
    };
    // Contexts first: their cadence tells a device that locks onto it.
    for (auto& context : contexts) {
        auto analysed = analyseContext(std::move(context), side.trace, session.reference.recording.clock,
                                       side.excluded, settings, nextPart());
        if (!analysed) return analysed.fault();
        session.contexts.push_back(std::move(*analysed));
    }
    session.referenceFaults = side.decided.flags;
    session.referenceDismissed = side.decided.dismissed;
    session.referenceFlagsByHand = static_cast<int>(side.decided.changedByHand);
    session.referenceLeft = picked(request.decisions.reference, side.decided.unmatched);
    for (auto& file : tests) {
        auto test = analyseTest(std::move(file), side, session, nextPart());
        if (!test) return test.fault();
        if (run.stopRequested()) return cancelled();
        session.tests.push_back(std::move(*test));
    }
    for (std::size_t i = 1; i < session.tests.size(); ++i)
        suspectReference(session, i);
    for (std::size_t i = 0; i < session.tests.size(); ++i)
        decide(session, i);
    findUnmatched(session);
    run.progress(1.0);
    return session;
}

}  // namespace beatwitness::analysis
