#include "core/evaluation/plan_card.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <span>

#include "core/agreement/planning.h"
#include "core/recording/digest.h"

namespace beatwitness::evaluation {
namespace {

using library::Role;
using library::SessionRow;
using Planned = library::RowOf<library::PlannedId, library::PlannedParticulars>;

/// What the card is made from.
struct Sources {
    library::ProjectParticulars project;
    std::vector<SessionRow> sessions;
    std::vector<Planned> plan;  ///< of the project alone
    std::vector<library::StoredCriterion> criteria;
    std::map<library::SessionId, Micros> added;
    std::map<library::DeviceId, std::string> devices;
    std::map<library::ActivityId, std::string> activities;
};

Result<Sources> sourcesOf(library::Library& library, const std::string& label) {
    Sources sources;
    const auto id = library.findProject(label);
    if (!id) return id.fault();
    auto project = library.particulars(*id);
    if (!project) return project.fault();
    sources.project = std::move(*project);
    auto sessions = library.sessionsOf(*id);
    if (!sessions) return sessions.fault();
    sources.sessions = std::move(*sessions);
    auto plan = library.plan();
    if (!plan) return plan.fault();
    for (auto& planned : *plan)
        if (planned.is.project == *id) sources.plan.push_back(std::move(planned));
    auto criteria = library.criteria(*id);
    if (!criteria) return criteria.fault();
    sources.criteria = std::move(*criteria);
    const auto inputs = library.inputsOf(*id);
    if (!inputs) return inputs.fault();
    for (const auto& session : *inputs)
        sources.added[session.session] = session.added;
    const auto devices = library.devices();
    if (!devices) return devices.fault();
    for (const auto& device : *devices)
        sources.devices[device.id] = device.label;
    const auto activities = library.activities();
    if (!activities) return activities.fault();
    for (const auto& activity : *activities)
        sources.activities[activity.id] = activity.label;
    return sources;
}

/// Labels of the test devices that the session recorded; empty without a reference.
std::set<std::string> recordedDevices(const SessionRow& session) {
    std::set<std::string> devices;
    if (session.reference() == nullptr) return devices;
    for (const auto& wearing : session.wearings)
        if (wearing.role == Role::Test && !wearing.recordings.empty()) devices.insert(wearing.deviceLabel);
    return devices;
}

std::vector<std::string> cardDevices(const Sources& sources) {
    std::vector<std::string> devices;
    for (const auto id : sources.project.devices)
        if (const auto found = sources.devices.find(id); found != sources.devices.end())
            devices.push_back(found->second);
    std::set<std::string> others;
    for (const auto& session : sources.sessions)
        others.merge(recordedDevices(session));
    for (const auto& planned : sources.plan)
        for (const auto id : planned.is.devices)
            if (const auto found = sources.devices.find(id); found != sources.devices.end())
                others.insert(found->second);
    // A project that names its devices plans with those alone.
    if (devices.empty()) devices.assign(others.begin(), others.end());
    return devices;
}

std::string activityOf(const Sources& sources, const Planned& planned) {
    if (!planned.is.activity) return {};
    const auto found = sources.activities.find(*planned.is.activity);
    return found == sources.activities.end() ? std::string{} : found->second;
}

std::vector<PlanRow> cardRows(const Sources& sources, const std::vector<std::string>& devices) {
    std::map<std::string, PlanRow> rows;
    const auto rowOf = [&](const std::string& activity) -> PlanRow& {
        auto& row = rows[activity];
        row.activity = activity;
        row.planned.resize(devices.size());
        row.recorded.resize(devices.size());
        return row;
    };
    for (const auto& planned : sources.plan) {
        auto& row = rowOf(activityOf(sources, planned));
        for (std::size_t i = 0; i < devices.size(); ++i)
            row.planned[i] += std::ranges::any_of(planned.is.devices, [&](auto id) {
                const auto found = sources.devices.find(id);
                return found != sources.devices.end() && found->second == devices[i];
            });
    }
    for (const auto& session : sources.sessions) {
        auto& row = rowOf(session.activity);
        const auto recorded = recordedDevices(session);
        for (std::size_t i = 0; i < devices.size(); ++i)
            row.recorded[i] += recorded.contains(devices[i]);
    }
    std::vector<PlanRow> list;
    for (auto& [activity, row] : rows)
        list.push_back(std::move(row));
    return list;
}

}  // namespace

std::optional<bool> setBeforeData(const agreement::Criterion& criterion,
                                  const std::vector<SessionRow>& sessions,
                                  const std::map<library::SessionId, Micros>& added) {
    std::optional<Micros> first;
    for (const auto& session : sessions)
        for (const auto& device : recordedDevices(session)) {
            if (!criterion.concerns(device, session.activity)) continue;
            const auto known = added.find(session.id);
            if (known != added.end()) first = std::min(first.value_or(known->second), known->second);
            if (session.start) first = std::min(first.value_or(*session.start), *session.start);
        }
    if (!first || !criterion.setAt) return std::nullopt;
    return *criterion.setAt < *first;
}

std::string planText(const PlanCard& card) {
    auto text = fmt::format("project: {}\nquestion: {}\n", card.project, card.question);
    for (const auto& row : card.rows)
        for (std::size_t i = 0; i < card.devices.size(); ++i)
            if (row.planned[i] > 0)
                text += fmt::format("planned: {} | {} | {}\n", row.activity, card.devices[i], row.planned[i]);
    for (const auto& required : card.requirements)
        if (!required.withdrawnAt)
            text += fmt::format("criterion: {} | set at {}\n", agreement::criterionWords(required.criterion),
                                required.criterion.setAt ? required.criterion.setAt->count() : 0);
    return text;
}

Result<PlanCard> planCard(library::Library& library, const std::string& project) {
    const auto sources = sourcesOf(library, project);
    if (!sources) return sources.fault();
    PlanCard card;
    card.project = project;
    card.question = sources->project.question;
    card.devices = cardDevices(*sources);
    card.rows = cardRows(*sources, card.devices);
    for (const auto& [id, criterion, withdrawnAt] : sources->criteria)
        card.requirements.push_back(
            {criterion, withdrawnAt, setBeforeData(criterion, sources->sessions, sources->added)});
    card.sessionsPlanned = sources->plan.size();
    card.sessionsStillToCome = static_cast<std::size_t>(
        std::ranges::count_if(sources->plan, [](const auto& planned) { return !planned.is.session; }));
    card.sessionsRecorded = sources->sessions.size();
    const auto text = planText(card);
    card.digest = recording::sha256(std::as_bytes(std::span{text.data(), text.size()}));
    return card;
}

}  // namespace beatwitness::evaluation
