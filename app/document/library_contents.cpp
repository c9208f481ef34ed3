#include "app/document/library_contents.h"

#include <algorithm>
#include <limits>
#include <tuple>

namespace beatwitness::app {
namespace {

using namespace library;

template <class Rows, class RowId>
auto* find(const Rows& rows, RowId id) {
    const auto found = std::ranges::find_if(rows, [id](const auto& row) { return row.id == id; });
    return found == rows.end() ? nullptr : &found->is;
}

/// By start, those without one last.
bool startsBefore(const LibraryContents::Session& a, const LibraryContents::Session& b) {
    constexpr Micros never{std::numeric_limits<std::int64_t>::max()};
    return std::tuple{a->start.value_or(never), a->id} < std::tuple{b->start.value_or(never), b->id};
}

template <class RowId, class Particulars>
Result<Done> readNamed(Library& library, const Result<std::vector<Labelled<RowId>>>& labels,
                       LibraryContents::Rows<RowId, Particulars>& rows) {
    if (!labels) return labels.fault();
    rows.clear();
    for (const auto& label : *labels) {
        auto is = library.particulars(label.id);
        if (!is) return is.fault();
        rows.push_back({label.id, std::move(*is)});
    }
    return Done{};
}

Result<Done> readNames(Library& library, LibraryContents& contents) {
    if (auto done = readNamed(library, library.wearers(), contents.wearers); !done) return done;
    if (auto done = readNamed(library, library.devices(), contents.devices); !done) return done;
    return readNamed(library, library.activities(), contents.activities);
}

Result<Done> readProjects(Library& library, LibraryContents& contents) {
    if (auto done = readNamed(library, library.projects(), contents.projects); !done) return done;
    auto criteria = library.allCriteria();
    if (!criteria) return criteria.fault();
    contents.criteria = std::move(*criteria);
    auto comparisons = library.allComparisons();
    if (!comparisons) return comparisons.fault();
    contents.comparisons = std::move(*comparisons);
    const auto members = library.memberships();
    if (!members) return members.fault();
    std::map<ProjectId, std::set<SessionId>> sets;
    for (const auto& member : *members) {
        auto& sessions = sets[member.project];
        sessions.insert(sessions.end(), member.session);
    }
    contents.members.clear();
    for (auto& [project, sessions] : sets)
        contents.members[project] = std::make_shared<const std::set<SessionId>>(std::move(sessions));
    return Done{};
}

Result<Done> readSessions(Library& library, LibraryContents& contents) {
    auto rows = library.allSessions();
    if (!rows) return rows.fault();
    contents.sessions.clear();
    contents.sessions.reserve(rows->size());
    for (auto& row : *rows)
        contents.sessions.push_back(std::make_shared<const SessionRow>(std::move(row)));
    std::ranges::sort(contents.sessions, startsBefore);
    return Done{};
}

Result<Done> readPlan(Library& library, LibraryContents& contents) {
    auto plan = library.plan();
    if (!plan) return plan.fault();
    contents.plan = std::move(*plan);
    return Done{};
}

Result<Done> readFigures(Library& library, LibraryContents& contents) {
    auto figures = library.figures();
    if (!figures) return figures.fault();
    contents.figures = std::move(*figures);
    return Done{};
}

/// The named sessions alone: a list of 10,000 is not read for one edit.
Result<Done> refreshSessions(Library& library, const std::set<SessionId>& ids, LibraryContents& contents) {
    std::erase_if(contents.sessions, [&](const auto& session) { return ids.contains(session->id); });
    for (const auto id : ids) {
        auto row = library.session(id);
        if (!row && row.fault().code == FaultCode::NotInLibrary) continue;  // deleted
        if (!row) return row.fault();
        const auto session = std::make_shared<const SessionRow>(std::move(*row));
        contents.sessions.insert(std::ranges::upper_bound(contents.sessions, session, startsBefore), session);
    }
    return Done{};
}

}  // namespace

LibraryContents::Session LibraryContents::session(SessionId id) const {
    const auto found =
        std::ranges::find_if(sessions, [id](const auto& session) { return session->id == id; });
    return found == sessions.end() ? nullptr : *found;
}

const DeviceParticulars* LibraryContents::device(DeviceId id) const {
    return find(devices, id);
}
const WearerParticulars* LibraryContents::wearer(WearerId id) const {
    return find(wearers, id);
}
const ActivityParticulars* LibraryContents::activity(ActivityId id) const {
    return find(activities, id);
}
const ProjectParticulars* LibraryContents::project(ProjectId id) const {
    return find(projects, id);
}
const PlannedParticulars* LibraryContents::planned(PlannedId id) const {
    return find(plan, id);
}

const FigureParticulars* LibraryContents::figure(FigureId id) const {
    return find(figures, id);
}

LibraryContents::Rows<FigureId, FigureParticulars> LibraryContents::figuresOf(ProjectId project) const {
    Rows<FigureId, FigureParticulars> of;
    for (const auto& row : figures)
        if (row.is.project == project) of.push_back(row);
    return of;
}

std::vector<agreement::Criterion> LibraryContents::criteriaOf(ProjectId project) const {
    std::vector<agreement::Criterion> required;
    for (const auto& [id, is] : criteria)
        if (is.project == project && !is.withdrawnAt) required.push_back(is.criterion);
    return required;
}

bool LibraryContents::isMember(ProjectId project, SessionId session) const {
    const auto found = members.find(project);
    return found != members.end() && found->second->contains(session);
}

std::vector<DeviceId> LibraryContents::columnsOf(ProjectId project) const {
    const auto* is = this->project(project);
    if (is && !is->devices.empty()) return is->devices;
    std::set<DeviceId> worn;
    for (const auto& session : sessions)
        if (isMember(project, session->id))
            for (const auto& wearing : session->wearings)
                if (wearing.role == Role::Test) worn.insert(wearing.device);
    for (const auto& planned : plan)
        if (planned.is.project == project && !planned.is.session)
            worn.insert(planned.is.devices.begin(), planned.is.devices.end());
    std::vector<DeviceId> columns(worn.begin(), worn.end());
    const auto order = [this](DeviceId id) {
        const auto* device = this->device(id);
        return std::tuple{device && device->colour ? *device->colour : std::numeric_limits<int>::max(),
                          device ? device->label : std::string{}, id};
    };
    std::ranges::sort(columns, {}, order);
    return columns;
}

Result<LibraryContents> readContents(Library& library) {
    LibraryContents contents;
    for (const auto step : {readNames, readProjects, readSessions, readPlan, readFigures})
        if (auto done = step(library, contents); !done) return done.fault();
    return contents;
}

Result<LibraryContents> refreshed(const LibraryContents& contents, Library& library,
                                  const LibraryChange& change) {
    if (change.everything) return readContents(library);
    LibraryContents now = contents;
    const bool names = !change.wearers.empty() || !change.devices.empty() || !change.activities.empty();
    Result<Done> done = Done{};
    if (names) done = readNames(library, now);
    // Rows of sessions carry the labels.
    if (done && names) done = readSessions(library, now);
    if (done && !names && !change.sessions.empty()) done = refreshSessions(library, change.sessions, now);
    if (done && !change.projects.empty()) done = readProjects(library, now);
    if (done && !change.plan.empty()) done = readPlan(library, now);
    if (done && !change.figures.empty()) done = readFigures(library, now);
    if (!done) return done.fault();
    return now;
}

}  // namespace beatwitness::app
