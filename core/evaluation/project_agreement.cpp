#include "core/evaluation/project_agreement.h"

#include <algorithm>
#include <cassert>
#include <map>
#include <set>

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
        sessions.insert(member.evidence->session);
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

AgreementGroup groupOf(const LabelledMembers& labelled, const Question& question, Clock clock) {
    AgreementGroup group;
    group.by = labelled.by;
    group.clock = clock;
    count(group, labelled.members, question);
    const auto sessions = sessionsOf(labelled.members, clock);
    const auto units = samplingUnits(sessions);
    group.timeWeighted = agreement::timeWeighted(units, question.bootstrap);
    group.sessionWeighted = agreement::sessionWeighted(units);
    group.byWearer = wearerFigures(sessions, question);
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
            pooled.push_back(groupOf(group, question, clock));
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
    for (std::size_t i = 0; i < rows->size(); ++i) {
        const auto& row = (*rows)[i];
        if (run.stopRequested()) return cancelled();
        if (!asked(question.activities, row.activity)) continue;
        ++answer.sessionsAsked;
        answer.failedAttempts += failedAttempts(row, question);
        if (!kept->holds(row)) {
            auto outcomes = analysedOutcomes(library, row, kept->stampFor(row.id),
                                             question.excludeReferenceFaults, run.part(0, 0));
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

Result<ProjectAgreement> projectAgreement(library::Library& library, const Question& question,
                                          const RunControl& run) {
    auto evidence = projectEvidence(library, question, run);
    if (!evidence) return evidence.fault();
    ProjectAgreement answer;
    answer.groups = pooledGroups(evidence->evidence, question);
    answer.sessionsAsked = evidence->sessionsAsked;
    answer.failedAttempts = evidence->failedAttempts;
    answer.fresh = std::move(evidence->fresh);
    return answer;
}

}  // namespace beatwitness::evaluation
