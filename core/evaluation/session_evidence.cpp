#include "core/evaluation/session_evidence.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

namespace beatwitness::evaluation {
namespace {

using library::Role;
using library::SessionRow;
using library::WearingRow;

int rangeOf(double reference_bpm) {
    return static_cast<int>(reference_bpm) / rangeWidth_bpm * rangeWidth_bpm;
}

/// Pairs whose reference lies in one range each.
std::vector<std::pair<int, agreement::SessionSums>> rangesOf(const trace::Pairs& pairs) {
    std::map<int, trace::Pairs> parts;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        auto& part = parts[rangeOf(pairs.reference[i].value)];
        part.seconds.push_back(pairs.seconds[i]);
        part.reference.push_back(pairs.reference[i]);
        part.test.push_back(pairs.test[i]);
    }
    std::vector<std::pair<int, agreement::SessionSums>> ranges;
    for (const auto& [lower, part] : parts)
        ranges.emplace_back(lower, agreement::sumsOf(part));
    return ranges;
}

ClockEvidence evidenceUnder(const analysis::ClockView& view, const trace::SecondlyRates& reference) {
    ClockEvidence evidence;
    evidence.sums = agreement::sumsOf(view.pairs);
    evidence.byRange = rangesOf(view.pairs);
    const double first_s = view.trace.seconds.front(), last_s = view.trace.seconds.back();
    for (const auto second : reference.seconds) {
        const auto at_s = static_cast<double>(second);
        if (at_s < first_s - trace::instantTolerance_s)
            ++evidence.lateStartSeconds;
        else if (at_s > last_s + trace::instantTolerance_s)
            ++evidence.earlyStopSeconds;
        else
            ++evidence.ownSpanSeconds;
    }
    return evidence;
}

SessionEvidence evidenceOf(const SessionRow& row, const WearingRow& wearing,
                           const analysis::SessionAnalysis& session) {
    const auto& test = session.tests.front();
    const auto reference = trace::atWholeSeconds(session.referenceTrace);
    SessionEvidence evidence;
    evidence.session = row.id.value;
    evidence.sessionName = row.name;
    evidence.activity = row.activity;
    evidence.wearer = row.wearer;
    evidence.device = wearing.deviceLabel;
    evidence.firmware = wearing.facts.firmware;
    evidence.refused = !test.aligned;
    evidence.excludedReferenceSeconds = static_cast<double>(session.excludedReferenceSeconds);
    evidence.asRecorded = evidenceUnder(test.asRecorded, reference);
    evidence.aligned = test.aligned ? evidenceUnder(*test.aligned, reference) : evidence.asRecorded;
    return evidence;
}

bool asked(const WearingRow& wearing, const std::vector<std::string>& devices) {
    return wearing.role == Role::Test && !wearing.recordings.empty() &&
           (devices.empty() || std::ranges::find(devices, wearing.deviceLabel) != devices.end());
}

}  // namespace

std::string_view clockName(Clock clock) {
    switch (clock) {
        case Clock::Aligned:
            return "aligned";
        case Clock::AsRecorded:
            return "as_recorded";
    }
    assert(false);
    return "aligned";
}

Result<std::vector<SessionEvidence>> evidenceOf(library::Library& library, const SessionRow& row,
                                                const std::vector<std::string>& devices,
                                                const analysis::Request& request, const RunControl& run) {
    std::vector<SessionEvidence> evidence;
    const auto isReference = [](const WearingRow& wearing) {
        return wearing.role == Role::Reference && !wearing.recordings.empty();
    };
    const auto referenceWearing = std::ranges::find_if(row.wearings, isReference);
    if (referenceWearing == row.wearings.end()) return evidence;
    const auto reference = library.loadWearing(*referenceWearing);
    if (!reference) return reference.fault();
    for (const auto& wearing : row.wearings) {
        if (!asked(wearing, devices)) continue;
        if (run.stopRequested()) return cancelled();
        auto test = library.loadWearing(wearing);
        if (!test) return test.fault();
        std::vector<recording::RecordingFile> tests;
        tests.push_back(std::move(*test));
        const auto session = analysis::analyseSession(*reference, std::move(tests), {}, request);
        if (session)
            evidence.push_back(evidenceOf(row, wearing, *session));
        else if (session.fault().code != FaultCode::NoHeartRate)
            return session.fault();
    }
    return evidence;
}

}  // namespace beatwitness::evaluation
