#include "core/evaluation/members.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>
#include <set>

namespace beatwitness::evaluation {
namespace {

using agreement::PairedSeconds;
using agreement::SessionSums;
using Spans = std::vector<std::pair<double, double>>;

bool inside(const Spans& spans, double second) {
    return std::ranges::any_of(
        spans, [=](const auto& span) { return span.first <= second && second < span.second; });
}

ClockEvidence within(const ClockEvidence& whole, const Spans& spans) {
    const auto& all = *whole.seconds;
    return clockEvidence(agreement::filtered(
        all, [&](std::size_t i) { return inside(spans, static_cast<double>(all.seconds[i])); }));
}

ClockEvidence epochs(const ClockEvidence& whole, int epoch_s) {
    return epoch_s == 1 ? whole : clockEvidence(agreement::inEpochs(*whole.seconds, epoch_s));
}

int rangeOf(double reference_bpm) {
    return static_cast<int>(std::floor(reference_bpm)) / rangeWidth_bpm * rangeWidth_bpm;
}

ClockEvidence inRange(const ClockEvidence& whole, int lower) {
    const auto& all = *whole.seconds;
    return clockEvidence(
        agreement::filtered(all, [&](std::size_t i) { return rangeOf(all.reference[i]) == lower; }));
}

Member wholeOf(const SessionEvidence& one) {
    return {&one, {}, -1, one.aligned, one.asRecorded, static_cast<double>(one.excluded.size())};
}

Member withinSpans(const SessionEvidence& one, std::string phase, const Spans& spans) {
    Member member{&one, std::move(phase), -1, within(one.aligned, spans), {}, 0};
    member.asRecorded = one.refused ? member.aligned : within(one.asRecorded, spans);
    member.excludedSeconds = static_cast<double>(std::ranges::count_if(
        one.excluded, [&](std::int32_t second) { return inside(spans, static_cast<double>(second)); }));
    return member;
}

bool askedPhase(const EvidencePhase& phase, const std::vector<std::string>& wanted) {
    return wanted.empty() || std::ranges::find(wanted, phase.label) != wanted.end() ||
           std::ranges::find(wanted, phase.kind) != wanted.end();
}

/// One member, or one a phase label where asked.
std::vector<Member> byPhase(const SessionEvidence& one, const Question& question, bool grouped) {
    if (!grouped && question.phases.empty()) return {wholeOf(one)};
    std::map<std::string, Spans> spans;
    for (const auto& phase : one.phases)
        if (askedPhase(phase, question.phases))
            spans[grouped ? phase.label : std::string{}].emplace_back(phase.begin_s, phase.end_s);
    std::vector<Member> members;
    for (const auto& [label, of] : spans)
        members.push_back(withinSpans(one, label, of));
    return members;
}

/// The member's part in each range of the reference.
std::vector<Member> byRange(const Member& whole) {
    std::set<int> ranges;
    for (const auto clock : {Clock::Aligned, Clock::AsRecorded})
        for (const double rate : whole.under(clock).seconds->reference)
            ranges.insert(rangeOf(rate));
    std::vector<Member> members;
    for (const int lower : ranges) {
        Member member{whole.evidence,       whole.phase, lower, inRange(whole.aligned, lower), {},
                      whole.excludedSeconds};
        member.asRecorded = whole.evidence->refused ? member.aligned : inRange(whole.asRecorded, lower);
        members.push_back(std::move(member));
    }
    return members;
}

bool has(const std::vector<GroupKey>& by, GroupKey key) {
    return std::ranges::find(by, key) != by.end();
}

std::vector<Member> membersOf(const SessionEvidence& one, const Question& question) {
    std::vector<Member> members;
    for (auto& member : byPhase(one, question, has(question.by, GroupKey::Phase))) {
        if (question.epoch_s > 1) {
            member.aligned = epochs(member.aligned, question.epoch_s);
            member.asRecorded = one.refused ? member.aligned : epochs(member.asRecorded, question.epoch_s);
        }
        if (!has(question.by, GroupKey::Range))
            members.push_back(std::move(member));
        else
            std::ranges::move(byRange(member), std::back_inserter(members));
    }
    return members;
}

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
        case GroupKey::Phase:
            return member.phase;
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

}  // namespace

std::vector<LabelledMembers> labelledMembers(const std::vector<SessionEvidence>& evidence,
                                             const Question& question) {
    std::map<GroupOrder, LabelledMembers> groups;
    for (const auto& one : evidence) {
        if (one.secondReference) continue;
        for (auto& member : membersOf(one, question)) {
            auto& group = groups[orderOf(member, question.by)];
            if (group.members.empty())
                for (const auto key : question.by)
                    group.by.emplace_back(key, labelOf(member, key));
            group.members.push_back(std::move(member));
        }
    }
    std::vector<LabelledMembers> list;
    for (auto& [order, group] : groups)
        list.push_back(std::move(group));
    return list;
}

std::vector<SessionMembers> sessionsOf(const std::vector<Member>& members, Clock clock) {
    std::map<std::int64_t, SessionMembers> sessions;
    for (const auto& member : members) {
        const auto& under = member.under(clock);
        if (under.summary.sums.n == 0) continue;
        auto& session = sessions[member.evidence->session];
        session.session = member.evidence->session;
        session.wearer = member.evidence->wearer;
        session.sums += under.summary.sums;
        session.independent += under.summary.independent;
        session.seconds.push_back(under.seconds.get());
    }
    std::vector<SessionMembers> list;
    for (auto& [number, session] : sessions)
        list.push_back(std::move(session));
    return list;
}

agreement::SamplingUnits samplingUnits(const std::vector<SessionMembers>& sessions) {
    std::map<std::string, std::vector<SessionSums>> wearers;
    for (const auto& session : sessions)
        wearers[session.wearer].push_back(session.sums);
    agreement::SamplingUnits units;
    if (wearers.size() >= wearersFrom) {
        units.name = "wearers";
        for (auto& [wearer, sums] : wearers)
            units.units.push_back(std::move(sums));
    } else {
        for (const auto& session : sessions)
            units.units.push_back({session.sums});
    }
    return units;
}

}  // namespace beatwitness::evaluation
