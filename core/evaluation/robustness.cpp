#include "core/evaluation/robustness.h"

#include <algorithm>
#include <map>
#include <set>

namespace beatwitness::evaluation {
namespace {

using Label = std::vector<std::pair<GroupKey, std::string>>;

std::string labelUnder(const Label& by, GroupKey key) {
    for (const auto& [found, label] : by)
        if (found == key) return label;
    return {};
}

/// The criterion on `metric` that concerns the group, where there is one.
const agreement::Criterion* criterionFor(const std::vector<agreement::Criterion>& criteria,
                                         agreement::Metric metric, const Label& by) {
    const auto device = labelUnder(by, GroupKey::Device), activity = labelUnder(by, GroupKey::Activity);
    const auto found = std::ranges::find_if(criteria, [&](const auto& criterion) {
        return criterion.metric == metric && criterion.concerns(device, activity);
    });
    return found == criteria.end() ? nullptr : &*found;
}

void fill(RobustnessRow& row, const std::vector<SessionMembers>& sessions, const Question& question,
          agreement::Metric metric, const agreement::Criterion* criterion) {
    const auto units = samplingUnits(sessions);
    row.units = units.size();
    row.figure = agreement::timeWeightedFigure(units, metric, 0.95, question.bootstrap);
    if (criterion != nullptr)
        row.verdict = agreement::judge(*criterion, units, {}, question.bootstrap).verdict;
}

void summarise(Robustness& result) {
    std::set<agreement::Verdict> verdicts;
    for (const auto& row : result.rows) {
        if (row.verdict) verdicts.insert(*row.verdict);
        if (!row.figure.value) continue;
        result.lowest = std::min(result.lowest.value_or(*row.figure.value), *row.figure.value);
        result.highest = std::max(result.highest.value_or(*row.figure.value), *row.figure.value);
    }
    if (!verdicts.empty()) result.oneVerdict = verdicts.size() == 1;
}

/// Without each session in turn, under the question's own choices.
void leaveOneOut(Robustness& result, const std::vector<Member>& members, const Question& question,
                 const agreement::Criterion* criterion) {
    const auto sessions = sessionsOf(members, Clock::Aligned);
    if (sessions.size() < 2) return;
    for (const auto& out : sessions) {
        RobustnessRow row{
            Clock::Aligned, question.epoch_s, question.excludeReferenceFaults, {}, false, {}, 0, {}};
        for (const auto& member : members)
            if (member.evidence->session == out.session) row.without = member.evidence->sessionName;
        auto left = sessions;
        std::erase_if(left, [&](const auto& session) { return session.session == out.session; });
        fill(row, left, question, result.metric, criterion);
        result.rows.push_back(std::move(row));
    }
}

}  // namespace

std::vector<Robustness> robustness(const std::vector<SessionEvidence>& excluding,
                                   const std::vector<SessionEvidence>& keeping, const Question& question,
                                   agreement::Metric metric,
                                   const std::vector<agreement::Criterion>& criteria) {
    std::map<Label, Robustness> results;
    for (const bool exclude : {true, false})
        for (const int epoch : robustEpochs_s) {
            Question asked = question;
            asked.epoch_s = epoch;
            for (const auto& group : labelledMembers(exclude ? excluding : keeping, asked)) {
                auto& result = results[group.by];
                result.by = group.by;
                result.metric = metric;
                for (const auto clock : {Clock::Aligned, Clock::AsRecorded}) {
                    RobustnessRow row{clock, epoch, exclude, {}, false, {}, 0, {}};
                    row.chosen = clock == Clock::Aligned && epoch == question.epoch_s &&
                                 exclude == question.excludeReferenceFaults;
                    fill(row, sessionsOf(group.members, clock), asked, metric,
                         criterionFor(criteria, metric, group.by));
                    result.rows.push_back(std::move(row));
                }
            }
        }
    for (const auto& group : labelledMembers(question.excludeReferenceFaults ? excluding : keeping, question))
        leaveOneOut(results[group.by], group.members, question, criterionFor(criteria, metric, group.by));
    std::vector<Robustness> list;
    for (auto& [label, result] : results) {
        summarise(result);
        list.push_back(std::move(result));
    }
    return list;
}

}  // namespace beatwitness::evaluation
