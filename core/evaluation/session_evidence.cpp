#include "core/evaluation/session_evidence.h"

#include <algorithm>

namespace beatwitness::evaluation {
namespace {

using library::Role;
using library::SessionRow;
using library::WearingRow;

bool asked(const WearingRow& wearing, const std::vector<std::string>& devices) {
    return wearing.role == Role::Reference || devices.empty() ||
           std::ranges::find(devices, wearing.deviceLabel) != devices.end();
}

Result<std::vector<EvidencePhase>> phasesOf(library::Library& library, const SessionRow& row,
                                            ReferenceTime t0) {
    const auto plan = library.phases(row.id);
    if (!plan) return plan.fault();
    std::vector<EvidencePhase> phases;
    for (const auto& phase : *plan)
        phases.push_back({trace::phaseLabel(phase), std::string{trace::phaseKindName(phase.kind)},
                          toSeconds(phase.span.begin - t0).value, toSeconds(phase.span.end - t0).value});
    return phases;
}

SessionEvidence evidence(const SessionRow& row, const WearingRow& wearing,
                         const analysis::WearingOutcome& outcome, analysis::WearingPairs pairs) {
    SessionEvidence one;
    one.session = row.id.value;
    one.sessionName = row.name;
    one.activity = row.activity;
    one.wearer = row.wearer;
    one.device = wearing.deviceLabel;
    one.firmware = wearing.facts.firmware;
    one.secondReference = wearing.role == Role::Reference;
    one.refused = outcome.refused;
    one.flagsByHand = outcome.flagsByHand;
    one.referenceFlagsByHand = outcome.referenceFlagsByHand;
    one.unmatchedDecisions = outcome.unmatchedDecisions;
    one.reviewerKappa = outcome.reviewerKappa;
    one.start = row.start;
    one.excluded = std::move(pairs.excluded);
    const auto share = [](agreement::PairedSeconds seconds) {
        return std::make_shared<const agreement::PairedSeconds>(std::move(seconds));
    };
    one.asRecorded = {share(std::move(pairs.asRecorded)), outcome.asRecorded};
    one.aligned =
        outcome.refused ? one.asRecorded : ClockEvidence{share(std::move(pairs.aligned)), outcome.aligned};
    return one;
}

}  // namespace

ClockEvidence clockEvidence(agreement::PairedSeconds seconds) {
    const auto summary = analysis::summaryOf(seconds);
    return {std::make_shared<const agreement::PairedSeconds>(std::move(seconds)), summary};
}

Result<std::vector<SessionEvidence>> evidenceOf(library::Library& library, const SessionRow& row,
                                                const KeptOutcomes& kept,
                                                const std::vector<std::string>& devices) {
    std::vector<SessionEvidence> all;
    const auto* scoring = scoringReference(row);
    if (scoring == nullptr) return all;
    const auto file = library.loadReference(row);
    if (!file) return file.fault();
    const auto reference = analysis::referenceSecondsOf(*file);
    if (!reference) return all;
    const auto phases = phasesOf(library, row, reference->t0);
    if (!phases) return phases.fault();
    for (const auto* wearing : scoredWearings(row)) {
        const auto* outcome = kept.find(row.id, wearing->id);
        if (!asked(*wearing, devices) || outcome == nullptr || !outcome->hasHeartRate) continue;
        const auto test = library.loadWearing(*wearing);
        if (!test) return test.fault();
        all.push_back(evidence(row, *wearing, *outcome, analysis::pairsUnder(*outcome, *reference, *test)));
        all.back().added = kept.addedAt(row.id).value_or(Micros{0});
        all.back().phases = *phases;
    }
    return all;
}

}  // namespace beatwitness::evaluation
