#include "core/evaluation/project_agreement.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <map>
#include <set>

namespace beatwitness::evaluation {
namespace {

using agreement::SessionSums;
using library::Role;

/// One wearing's share of one group.
struct Member {
    const SessionEvidence* evidence = nullptr;
    int range = -1;  ///< lower edge in bpm where grouped by range
};

std::string labelOf(const Member& member, GroupKey key) {
    const auto& evidence = *member.evidence;
    switch (key) {
        case GroupKey::Device:
            return evidence.device;
        case GroupKey::Activity:
            return evidence.activity;
        case GroupKey::Session:
            return evidence.sessionName;
        case GroupKey::Range:
            return fmt::format("{}-{}", member.range, member.range + rangeWidth_bpm - 1);
        case GroupKey::Wearer:
            return evidence.wearer;
        case GroupKey::Firmware:
            return evidence.firmware;
    }
    assert(false);
    return {};
}

/// Groups sort by label, ranges by number and sessions of one name by number.
using GroupOrder = std::vector<std::pair<std::int64_t, std::string>>;

GroupOrder orderOf(const Member& member, const std::vector<GroupKey>& by) {
    GroupOrder order;
    for (const auto key : by) {
        const std::int64_t number = key == GroupKey::Range     ? member.range
                                    : key == GroupKey::Session ? member.evidence->session
                                                               : 0;
        order.emplace_back(number, labelOf(member, key));
    }
    return order;
}

SessionSums sumsUnder(const Member& member, Clock clock) {
    const auto& evidence = member.evidence->under(clock);
    if (member.range < 0) return evidence.sums;
    for (const auto& [lower, sums] : evidence.byRange)
        if (lower == member.range) return sums;
    return {};
}

/// Sums of one session: several wearings of it in one group (two units of a device) are one sampling unit.
std::vector<SessionSums> sessionsOf(const std::vector<Member>& members, Clock clock) {
    std::map<std::int64_t, SessionSums> sessions;
    for (const auto& member : members) {
        const auto sums = sumsUnder(member, clock);
        if (sums.n > 0) sessions[member.evidence->session] += sums;
    }
    std::vector<SessionSums> list;
    for (const auto& [session, sums] : sessions)
        list.push_back(sums);
    return list;
}

void count(AgreementGroup& group, const std::vector<Member>& members, bool byRange) {
    std::set<std::string> wearers;
    std::set<std::int64_t> sessions, refused;
    double reference = 0, ownSpan = 0;
    for (const auto& member : members) {
        const auto sums = sumsUnder(member, group.clock);
        const auto& evidence = member.evidence->under(group.clock);
        group.pairs += sums.n;
        group.excludedReferenceSeconds += member.evidence->excludedReferenceSeconds;
        group.lateStartSeconds += evidence.lateStartSeconds;
        group.earlyStopSeconds += evidence.earlyStopSeconds;
        reference += evidence.sums.referenceSeconds;
        ownSpan += evidence.ownSpanSeconds;
        if (sums.n == 0) continue;
        sessions.insert(member.evidence->session);
        wearers.insert(member.evidence->wearer);
        if (member.evidence->refused) refused.insert(member.evidence->session);
    }
    group.sessions = sessions.size();
    group.sessionsRefused = refused.size();
    group.wearers = wearers.size();
    if (!byRange && reference > 0) group.coverage = Percent{100 * group.pairs / reference};
    if (!byRange && ownSpan > 0)
        group.ownSpanCoverage = Percent{std::min(100.0, 100 * group.pairs / ownSpan)};
}

AgreementGroup groupOf(const std::vector<Member>& members, const std::vector<GroupKey>& by, Clock clock) {
    AgreementGroup group;
    group.clock = clock;
    for (const auto key : by)
        group.by.emplace_back(key, labelOf(members.front(), key));
    count(group, members, members.front().range >= 0);
    const auto sessions = sessionsOf(members, clock);
    group.timeWeighted = agreement::timeWeighted(sessions);
    group.sessionWeighted = agreement::sessionWeighted(sessions);
    return group;
}

std::vector<Member> membersOf(const std::vector<SessionEvidence>& evidence, bool byRange) {
    std::vector<Member> members;
    for (const auto& one : evidence) {
        if (!byRange) {
            members.push_back({&one, -1});
            continue;
        }
        std::set<int> ranges;
        for (const auto clock : {Clock::Aligned, Clock::AsRecorded})
            for (const auto& [lower, sums] : one.under(clock).byRange)
                ranges.insert(lower);
        for (const int lower : ranges)
            members.push_back({&one, lower});
    }
    return members;
}

bool asked(const std::vector<std::string>& wanted, const std::string& label) {
    return wanted.empty() || std::ranges::find(wanted, label) != wanted.end();
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
        case GroupKey::Wearer:
            return "wearer";
        case GroupKey::Firmware:
            return "firmware";
    }
    assert(false);
    return "device";
}

std::vector<AgreementGroup> pooledGroups(const std::vector<SessionEvidence>& evidence,
                                         const std::vector<GroupKey>& by) {
    const bool byRange = std::ranges::find(by, GroupKey::Range) != by.end();
    std::map<GroupOrder, std::vector<Member>> groups;
    for (const auto& member : membersOf(evidence, byRange))
        groups[orderOf(member, by)].push_back(member);
    std::vector<AgreementGroup> pooled;
    for (const auto& [order, members] : groups)
        for (const auto clock : {Clock::Aligned, Clock::AsRecorded})
            pooled.push_back(groupOf(members, by, clock));
    return pooled;
}

Result<ProjectAgreement> projectAgreement(library::Library& library, const Question& question,
                                          const RunControl& run) {
    const auto project = library.findProject(question.project);
    if (!project) return project.fault();
    const auto rows = library.sessionsOf(*project);
    if (!rows) return rows.fault();
    ProjectAgreement answer;
    std::vector<SessionEvidence> evidence;
    analysis::Request request;
    request.excludeReferenceFaults = question.excludeReferenceFaults;
    for (std::size_t i = 0; i < rows->size(); ++i) {
        const auto& row = (*rows)[i];
        if (!asked(question.activities, row.activity)) continue;
        ++answer.sessionsAsked;
        for (const auto& wearing : row.wearings)
            answer.failedAttempts += wearing.role == Role::Test && wearing.recordings.empty() &&
                                     asked(question.devices, wearing.deviceLabel);
        auto found = evidenceOf(library, row, question.devices, request, run);
        if (!found) return found.fault();
        std::ranges::move(*found, std::back_inserter(evidence));
        run.progress(static_cast<double>(i + 1) / static_cast<double>(rows->size()));
    }
    answer.groups = pooledGroups(evidence, question.by);
    return answer;
}

}  // namespace beatwitness::evaluation
