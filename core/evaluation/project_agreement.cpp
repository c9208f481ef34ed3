#include "core/evaluation/project_agreement.h"

#include <algorithm>
#include <cassert>
#include <iterator>
#include <map>
#include <set>

#include "core/evaluation/compared_side.h"

namespace beatwitness::evaluation {
namespace {

using agreement::SessionSums;
using library::Role;

void count(AgreementGroup& group, const std::vector<Member>& members, const Question& question) {
    std::set<std::string> wearers;
    std::set<std::int64_t> sessions, refused;
    double reference = 0, ownSpan = 0;
    for (const auto& member : members) {
        const auto& [sums, spans, independent] = member.under(group.clock).summary;
        group.pairs += sums.n;
        group.independentSeconds += independent * question.epoch_s;
        group.excludedReferenceSeconds += member.excludedSeconds;
        group.lateStartSeconds += spans.late * question.epoch_s;
        group.earlyStopSeconds += spans.early * question.epoch_s;
        reference += sums.referenceSeconds;
        ownSpan += spans.own;
        if (sums.n == 0) continue;
        group.flagsByHand += member.evidence->flagsByHand;
        // The reference is one for all devices of a session.
        if (sessions.insert(member.evidence->session).second)
            group.flagsByHand += member.evidence->referenceFlagsByHand;
        wearers.insert(member.evidence->wearer);
        if (member.evidence->refused) refused.insert(member.evidence->session);
    }
    group.sessions = sessions.size();
    group.sessionsRefused = refused.size();
    group.wearers = wearers.size();
    if (reference > 0) group.coverage = Percent{100 * group.pairs / reference};
    if (ownSpan > 0) group.ownSpanCoverage = Percent{std::min(100.0, 100 * group.pairs / ownSpan)};
}

std::vector<WearerFigures> wearerFigures(const std::vector<SessionMembers>& sessions,
                                         const Question& question) {
    std::map<std::string, std::vector<SessionSums>> wearers;
    for (const auto& session : sessions)
        wearers[session.wearer].push_back(session.sums);
    std::vector<WearerFigures> figures;
    if (wearers.size() < 2 || wearers.size() >= wearersFrom) return figures;
    for (const auto& [wearer, sums] : wearers) {
        double pairs = 0;
        for (const auto& session : sums)
            pairs += session.n;
        figures.push_back({wearer, sums.size(), pairs, agreement::timeWeighted(sums, question.bootstrap),
                           agreement::sessionWeighted(sums)});
    }
    return figures;
}

std::vector<agreement::AttributionRow> attributionRows(const std::vector<SessionMembers>& sessions,
                                                       int epoch_s) {
    agreement::Attribution sums;
    for (const auto& session : sessions)
        for (const auto* seconds : session.seconds)
            sums += agreement::attributionOf(*seconds);
    auto rows = agreement::attributionRows(sums);
    for (auto& row : rows)
        row.seconds *= epoch_s;
    return rows;
}

std::string labelUnder(const AgreementGroup& group, GroupKey key) {
    for (const auto& [found, label] : group.by)
        if (found == key) return label;
    return {};
}

/// When the first session with pairs was recorded or added, whichever is said to be earlier: a recording that
/// claims a later date than its storing has a wrong clock.
std::optional<Micros> firstData(const std::vector<Member>& members, Clock clock) {
    std::optional<Micros> first;
    for (const auto& member : members) {
        if (member.under(clock).summary.sums.n == 0) continue;
        const Micros added = member.evidence->added;
        const Micros at = std::min(member.evidence->start.value_or(added), added);
        first = std::min(first.value_or(at), at);
    }
    return first;
}

/// Criteria on one device or activity are judged where the group is of that device or activity alone.
void judgeCriteria(AgreementGroup& group, const agreement::SamplingUnits& units,
                   const std::vector<Member>& members, const Question& question) {
    for (const auto& criterion : question.criteria)
        if (criterion.concerns(labelUnder(group, GroupKey::Device), labelUnder(group, GroupKey::Activity)))
            group.criteria.push_back(
                agreement::judge(criterion, units, firstData(members, group.clock), question.bootstrap));
}

std::vector<double> unitBiases(const agreement::SamplingUnits& units) {
    std::vector<double> biases;
    for (const auto& unit : units.units) {
        double sum = 0;
        for (const auto& session : unit)
            sum += *agreement::biasOf(session) / static_cast<double>(unit.size());
        biases.push_back(sum);
    }
    return biases;
}

/// The figures whose intervals have a formula.
agreement::PooledFigures meansOf(const agreement::SamplingUnits& units) {
    agreement::PooledFigures figures;
    for (const auto& facts : agreement::metrics())
        if (facts.sum != nullptr)
            figures.of(facts.metric) = agreement::timeWeightedFigure(units, facts.metric);
    return figures;
}

AgreementGroup groupOf(const LabelledMembers& labelled, const Question& question, Clock clock) {
    AgreementGroup group;
    group.by = labelled.by;
    group.clock = clock;
    count(group, labelled.members, question);
    const auto sessions = sessionsOf(labelled.members, clock);
    const auto units = samplingUnits(sessions);
    group.timeWeighted =
        question.meansOnly ? meansOf(units) : agreement::timeWeighted(units, question.bootstrap);
    group.sessionWeighted = agreement::sessionWeighted(units);
    group.byWearer = wearerFigures(sessions, question);
    if (!question.meansOnly) group.limits = groupLimits(sessions, question);
    group.attribution = attributionRows(sessions, question.epoch_s);
    judgeCriteria(group, units, labelled.members, question);
    if (question.margin_bpm)
        group.equivalence = agreement::equivalence(unitBiases(units), *question.margin_bpm);
    return group;
}

bool asked(const std::vector<std::string>& wanted, const std::string& label) {
    return wanted.empty() || std::ranges::find(wanted, label) != wanted.end();
}

std::size_t failedAttempts(const library::SessionRow& row, const Question& question) {
    return static_cast<std::size_t>(std::ranges::count_if(row.wearings, [&](const auto& wearing) {
        return wearing.role == Role::Test && wearing.recordings.empty() &&
               asked(question.devices, wearing.deviceLabel);
    }));
}

}  // namespace

std::string_view groupKeyName(GroupKey key) {
    switch (key) {
        case GroupKey::Device:
            return "device";
        case GroupKey::Activity:
            return "activity";
        case GroupKey::Session:
            return "session";
        case GroupKey::Range:
            return "range";
        case GroupKey::Phase:
            return "phase";
        case GroupKey::Wearer:
            return "wearer";
        case GroupKey::Firmware:
            return "firmware";
    }
    assert(false);
    return "device";
}

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

std::vector<AgreementGroup> pooledGroups(const std::vector<SessionEvidence>& evidence,
                                         const Question& question) {
    std::vector<AgreementGroup> pooled;
    for (const auto& group : labelledMembers(evidence, question))
        for (const auto clock : {Clock::Aligned, Clock::AsRecorded})
            if (question.clock.value_or(clock) == clock) pooled.push_back(groupOf(group, question, clock));
    return pooled;
}

Result<ProjectEvidence> projectEvidence(library::Library& library, const Question& question,
                                        const RunControl& run) {
    const auto project = library.findProject(question.project);
    if (!project) return project.fault();
    const auto rows = library.sessionsOf(*project);
    if (!rows) return rows.fault();
    auto kept = KeptOutcomes::of(library, *project, question.excludeReferenceFaults);
    if (!kept) return kept.fault();
    ProjectEvidence answer;
    answer.settings = kept->settings();
    for (std::size_t i = 0; i < rows->size(); ++i) {
        const auto& row = (*rows)[i];
        if (run.stopRequested()) return cancelled();
        if (!asked(question.activities, row.activity)) continue;
        ++answer.sessionsAsked;
        answer.failedAttempts += failedAttempts(row, question);
        if (!kept->holds(row)) {
            auto outcomes = analysedOutcomes(library, row, *kept, run.part(0, 0));
            if (!outcomes) return outcomes.fault();
            for (const auto& outcome : *outcomes)
                kept->add(outcome);
            std::ranges::move(*outcomes, std::back_inserter(answer.fresh));
        }
        auto found = evidenceOf(library, row, *kept, question.devices);
        if (!found) return found.fault();
        std::ranges::move(*found, std::back_inserter(answer.evidence));
        run.progress(static_cast<double>(i + 1) / static_cast<double>(rows->size()));
    }
    return answer;
}

std::vector<AgreementGroup> referenceFloor(std::vector<SessionEvidence> evidence, const Question& question) {
    std::erase_if(evidence, [](const auto& one) { return !one.secondReference; });
    for (auto& one : evidence)
        one.secondReference = false;
    Question plain = question;
    plain.by = {GroupKey::Device};
    plain.criteria.clear();
    return pooledGroups(evidence, plain);
}

namespace {

/// A compared side that the project never recorded is a slip of the hand.
std::optional<Fault> unknownSide(const std::vector<SessionEvidence>& evidence, const Question& question) {
    for (const auto& pair : question.compare)
        for (const auto& name : {pair.a, pair.b})
            if (!sideOf(name, evidence))
                return Fault{FaultCode::NotInLibrary,
                             "the project has no scored recording of \"" + name +
                                 "\"; a device, or \"band firmware 2.5\", or \"band in 2031\" was expected",
                             {},
                             {},
                             {}};
    return std::nullopt;
}

Question withComparedDevices(Question question) {
    if (!question.devices.empty())
        for (const auto& pair : question.compare)
            for (const auto& name : {pair.a, pair.b})
                std::ranges::move(devicesNamedBy(name), std::back_inserter(question.devices));
    return question;
}

}  // namespace

std::vector<DeviceComparison> comparisonsUnderBothClocks(const std::vector<SessionEvidence>& evidence,
                                                         const Question& question) {
    std::vector<ComparedSide> sides;
    for (const auto& pair : question.compare)
        for (const auto& name : {pair.a, pair.b})
            if (auto side = sideOf(name, evidence); side && std::ranges::find(sides, *side) == sides.end())
                sides.push_back(std::move(*side));
    const auto bySide = evidenceBySide(evidence, sides);
    auto aligned = compareDevices(bySide, question, Clock::Aligned);
    auto asRecorded = compareDevices(bySide, question, Clock::AsRecorded);
    std::vector<DeviceComparison> all;
    for (std::size_t i = 0; i < aligned.size(); ++i) {
        all.push_back(std::move(aligned[i]));
        if (i < asRecorded.size()) all.push_back(std::move(asRecorded[i]));
    }
    return all;
}

Result<ProjectAgreement> projectAgreement(library::Library& library, const Question& question,
                                          const RunControl& run) {
    const bool both = question.robustness.has_value();
    auto asked = withComparedDevices(question);
    auto evidence = projectEvidence(library, asked, run.part(0, both ? 0.5 : 1));
    if (!evidence) return evidence.fault();
    if (auto fault = unknownSide(evidence->evidence, question)) return std::move(*fault);
    ProjectAgreement answer;
    answer.sessionsAsked = evidence->sessionsAsked;
    answer.failedAttempts = evidence->failedAttempts;
    answer.settings = evidence->settings;
    answer.fresh = std::move(evidence->fresh);
    answer.evidence = std::move(evidence->evidence);
    if (both) {
        asked.excludeReferenceFaults = !question.excludeReferenceFaults;
        auto other = projectEvidence(library, asked, run.part(0.5, 1));
        if (!other) return other.fault();
        answer.otherFaults = std::move(other->evidence);
        std::ranges::move(other->fresh, std::back_inserter(answer.fresh));
    }
    answer.groups = pooledGroups(answer.evidence, question);
    answer.comparisons = comparisonsUnderBothClocks(answer.evidence, question);
    answer.referenceFloor = referenceFloor(answer.evidence, question);
    return answer;
}

}  // namespace beatwitness::evaluation
