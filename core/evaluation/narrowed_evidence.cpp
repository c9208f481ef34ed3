#include "core/evaluation/narrowed_evidence.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace beatwitness::evaluation {
namespace {

template <class Value>
bool asked(const std::vector<Value>& wanted, const Value& value) {
    return wanted.empty() || std::ranges::find(wanted, value) != wanted.end();
}

/// Which seconds of one wearing pass.
class SecondFilter {
public:
    SecondFilter(const SessionEvidence& one, const Scope& scope) : ranges_(scope.ranges) {
        if (scope.phases.empty()) return;
        byPhase_ = true;
        for (const auto& phase : one.phases)
            if (asked(scope.phases, phase.label) || asked(scope.phases, phase.kind)) spans_.push_back(&phase);
    }

    [[nodiscard]] bool insidePhases(std::int32_t second) const {
        const auto at = static_cast<double>(second);
        return !byPhase_ || std::ranges::any_of(spans_, [=](const EvidencePhase* phase) {
            return phase->begin_s <= at && at < phase->end_s;
        });
    }
    [[nodiscard]] bool insideRanges(double reference_bpm) const {
        return asked(ranges_, static_cast<int>(std::floor(reference_bpm)) / rangeWidth_bpm * rangeWidth_bpm);
    }
    [[nodiscard]] ClockEvidence of(const ClockEvidence& whole) const {
        const auto& all = *whole.seconds;
        return clockEvidence(agreement::filtered(all, [&](std::size_t i) {
            return insidePhases(all.seconds[i]) && insideRanges(all.reference[i]);
        }));
    }

private:
    const std::vector<int>& ranges_;
    bool byPhase_ = false;
    std::vector<const EvidencePhase*> spans_;
};

}  // namespace

std::vector<SessionEvidence> narrowed(const std::vector<SessionEvidence>& evidence, const Scope& scope) {
    std::vector<SessionEvidence> kept;
    for (const auto& one : evidence) {
        if (!asked(scope.sessions, one.session) || !asked(scope.activities, one.activity)) continue;
        if (!one.secondReference && !asked(scope.devices, one.device)) continue;
        auto& part = kept.emplace_back(one);
        if (scope.phases.empty() && scope.ranges.empty()) continue;
        const SecondFilter filter(one, scope);
        part.asRecorded = filter.of(one.asRecorded);
        part.aligned = one.refused ? part.asRecorded : filter.of(one.aligned);
        std::erase_if(part.excluded, [&](std::int32_t second) { return !filter.insidePhases(second); });
    }
    return kept;
}

std::vector<SessionEvidence> evidenceOfSession(const LiveSession& live) {
    const auto& session = live.session;
    assert(live.devices.size() == session.tests.size());
    std::vector<SessionEvidence> all;
    const auto reference = analysis::referenceSecondsOf(session.reference, session.settings);
    if (!reference) return all;
    for (std::size_t i = 0; i < session.tests.size(); ++i) {
        const auto& test = session.tests[i];
        const auto outcome = analysis::outcomeOf(session, test);
        if (!outcome.hasHeartRate) continue;
        auto pairs = analysis::pairsUnder(outcome, *reference, test.file, session.settings);
        auto& one = all.emplace_back();
        one.session = 1;
        one.sessionName = live.name;
        one.device = live.devices[i];
        one.refused = outcome.refused;
        one.flagsByHand = static_cast<int>(std::ranges::count_if(outcome.flags, &flags::Flag::byHand));
        one.excluded = std::move(pairs.excluded);
        one.phases = live.phases;
        one.asRecorded = {std::make_shared<const agreement::PairedSeconds>(std::move(pairs.asRecorded)),
                          outcome.asRecorded};
        one.aligned =
            outcome.refused
                ? one.asRecorded
                : ClockEvidence{std::make_shared<const agreement::PairedSeconds>(std::move(pairs.aligned)),
                                outcome.aligned};
    }
    return all;
}

}  // namespace beatwitness::evaluation
