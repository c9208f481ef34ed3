#include "app/windows/library_actions.h"

#include <QLineEdit>
#include <QMenu>
#include <algorithm>

#include "app/windows/library_commands.h"

namespace beatwitness::app {

using namespace library;

namespace {

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

}  // namespace

LibraryActions::LibraryActions(LibraryCommands& commands, LibraryDocument& library, StoredSession& session,
                               MatrixPanel& matrix, QWidget* window)
    : QObject(window),
      commands_(commands),
      library_(library),
      session_(session),
      matrix_(matrix),
      window_(window) {
    connectMatrix();
    connectCommands();
    refresh();
}

void LibraryActions::connectMatrix() {
    auto& view = matrix_.view();
    connect(&view, &MatrixView::openAsked, &session_, &StoredSession::open);
    connect(&view, &MatrixView::planAsked, this, &LibraryActions::particularsAsked);
    connect(&view, &MatrixView::renameAsked, commands_.rename, &QAction::trigger);
    connect(&view, &MatrixView::menuAsked, this, &LibraryActions::showContextMenu);
    connect(&view, &MatrixView::selectionChangedByUser, this, &LibraryActions::refresh);
    connect(view.selectionModel(), &QItemSelectionModel::currentChanged, this, &LibraryActions::refresh);
    // Queued: the editor that asks is still open, and an edit fills the model anew.
    connect(&matrix_.model(), &MatrixModel::renameAsked, this, &LibraryActions::renameRow,
            Qt::QueuedConnection);
    connect(&matrix_, &MatrixPanel::projectChanged, this, &LibraryActions::refresh);
    connect(&matrix_, &MatrixPanel::sessionsDropped, this, &LibraryActions::askProject);
    connect(&library_, &LibraryDocument::changed, this, &LibraryActions::refresh);
    connect(&library_, &LibraryDocument::storingChanged, this, &LibraryActions::refresh);
}

void LibraryActions::connectCommands() {
    const auto on = [this](QAction* action, auto what) { connect(action, &QAction::triggered, this, what); };
    on(commands_.openSession, [this] {
        const auto sessions = matrix_.view().selectedSessions();
        if (!sessions.empty()) session_.open(sessions.front());
    });
    on(commands_.rename, [this] { matrix_.view().edit(matrix_.view().currentIndex().siblingAtColumn(0)); });
    on(commands_.moveToActivity, [this] { askActivity(); });
    on(commands_.addToProject, [this] { askProject(matrix_.view().selectedSessions(), menuPlace()); });
    on(commands_.removeFromProject, [this] {
        if (const auto project = matrix_.project())
            setMembership(matrix_.view().selectedSessions(), *project, false);
    });
    on(commands_.attemptFailed, [this] { askFailedAttempt(); });
    on(commands_.fulfilPlan, [this] { askFulfil(); });
    on(commands_.deleteRows, [this] { deleteRows(); });
    on(commands_.properties, [this] { emit particularsAsked(); });
    on(commands_.planSession, [this] { planSession(); });
    on(commands_.planCell, [this] {
        const auto plans = matrix_.view().selectedPlans();
        const auto device = matrix_.view().currentDevice();
        if (!plans.empty() && device) togglePlanned(plans.front(), *device);
    });
    on(commands_.newProject, [this] { askProjectName(true); });
    on(commands_.renameProject, [this] { askProjectName(false); });
    on(commands_.projectDevices, [this] { askProjectDevices(); });
    on(commands_.deleteProject, [this] { deleteProject(); });
    on(commands_.renameActivity, [this] { askActivityName(); });
    on(commands_.mergeActivity, [this] { askMerge(); });
    on(commands_.deletedList, [this] { showDeleted(); });
}

std::optional<ActivityId> LibraryActions::currentActivity() const {
    return matrix_.model().activityAt(matrix_.view().currentIndex());
}

void LibraryActions::refresh() {
    const bool open = library_.isOpen();
    const bool write = library_.canWrite() && !library_.isStoring();
    const bool project = matrix_.project().has_value();
    const auto sessions = matrix_.view().selectedSessions();
    const auto plans = matrix_.view().selectedPlans();
    const auto row = matrix_.model().rowId(matrix_.view().currentIndex());
    const bool onRow = !std::holds_alternative<std::monostate>(row);
    const bool onPlan = std::holds_alternative<PlannedId>(row);
    commands_.openSession->setEnabled(!sessions.empty());
    commands_.rename->setEnabled(write && onRow);
    for (auto* action : {commands_.moveToActivity, commands_.deleteRows})
        action->setEnabled(write && (!sessions.empty() || !plans.empty()));
    for (auto* action : {commands_.addToProject, commands_.attemptFailed})
        action->setEnabled(write && !sessions.empty());
    commands_.removeFromProject->setEnabled(write && project && !sessions.empty());
    commands_.fulfilPlan->setEnabled(write && sessions.size() == 1 && matrix_.model().plannedCount() > 0);
    commands_.planSession->setEnabled(write && project);
    commands_.planCell->setEnabled(write && onPlan && matrix_.view().currentDevice());
    commands_.newProject->setEnabled(write);
    for (auto* action : {commands_.renameProject, commands_.projectDevices, commands_.deleteProject})
        action->setEnabled(write && project);
    for (auto* action : {commands_.renameActivity, commands_.mergeActivity})
        action->setEnabled(write && currentActivity());
    commands_.deletedList->setEnabled(write);
    commands_.findSession->setEnabled(open);
}

void LibraryActions::renameRow(const MatrixModel::RowId& row, const QString& name) {
    const auto& contents = library_.contents();
    if (!contents) return;
    if (const auto* id = std::get_if<SessionId>(&row)) {
        auto is = library_.particulars(*id);
        if (!is) return;
        is->name = name.toStdString();
        library_.edit(tr("rename session to %1").arg(name), {RowOf<SessionId, SessionParticulars>{*id, *is}});
    } else if (const auto* planned = std::get_if<PlannedId>(&row)) {
        const auto* now = contents->planned(*planned);
        if (!now) return;
        auto is = *now;
        is.name = name.toStdString();
        library_.edit(tr("rename planned session to %1").arg(name),
                      {RowOf<PlannedId, PlannedParticulars>{*planned, is}});
    }
}

void LibraryActions::moveTo(const std::vector<SessionId>& sessions, const QString& activity) {
    const auto id = library_.activity(activity);
    if (!id) return;
    std::vector<RowValue> rows;
    for (const auto session : sessions) {
        auto is = library_.particulars(session);
        if (!is) return;
        is->activity = *id;
        rows.emplace_back(RowOf<SessionId, SessionParticulars>{session, *is});
    }
    for (const auto planned : matrix_.view().selectedPlans()) {
        auto is = *library_.contents()->planned(planned);
        is.activity = *id;
        rows.emplace_back(RowOf<PlannedId, PlannedParticulars>{planned, is});
    }
    library_.edit(tr("move to %1").arg(activity), std::move(rows));
}

void LibraryActions::setMembership(const std::vector<SessionId>& sessions, ProjectId project, bool isMember) {
    const auto* is = library_.contents()->project(project);
    if (!is || sessions.empty()) return;
    std::vector<RowValue> rows;
    for (const auto session : sessions)
        rows.emplace_back(Membership{project, session, isMember});
    const auto count = static_cast<int>(sessions.size());
    library_.edit(isMember ? tr("addition of %n sessions to %1", nullptr, count).arg(qt(is->label))
                           : tr("removal of %n sessions from %1", nullptr, count).arg(qt(is->label)),
                  std::move(rows));
}

void LibraryActions::addFailedAttempt(SessionId session, const QString& device, const QString& reason) {
    const auto id = library_.device(device);
    if (!id) return;
    WearingParticulars is;
    is.device = *id;
    is.outcome = WearingOutcome::Failed;
    is.reason = reason.toStdString();
    library_.addWearing(tr("failed attempt of %1").arg(device), session, is);
}

void LibraryActions::planSession() {
    const auto project = matrix_.project();
    if (!project) return;
    PlannedParticulars is;
    is.project = *project;
    is.name = tr("new session").toStdString();
    is.activity = currentActivity();
    is.devices = matrix_.model().devices();
    std::ranges::sort(is.devices);
    const auto id = library_.addPlanned(tr("plan of a session"), is);
    if (!id) return;
    auto& view = matrix_.view();
    matrix_.search().clear();  // what is searched for would hide it
    view.select(*id);
    view.setFocus(Qt::OtherFocusReason);
    view.edit(view.currentIndex());
}

void LibraryActions::togglePlanned(PlannedId planned, DeviceId device) {
    const auto* now = library_.contents()->planned(planned);
    if (!now) return;
    auto is = *now;
    if (std::erase(is.devices, device) == 0) is.devices.push_back(device);
    std::ranges::sort(is.devices);
    const auto* label = library_.contents()->device(device);
    library_.edit(tr("plan of %1 in %2").arg(label ? qt(label->label) : QString(), qt(is.name)),
                  {RowOf<PlannedId, PlannedParticulars>{planned, is}});
}

void LibraryActions::fulfil(PlannedId planned, SessionId session) {
    const auto* now = library_.contents()->planned(planned);
    if (!now) return;
    auto is = *now;
    is.session = session;
    library_.edit(tr("fulfilment of %1").arg(qt(is.name)),
                  {RowOf<PlannedId, PlannedParticulars>{planned, is}});
}

void LibraryActions::deleteRows() {
    std::vector<RowValue> rows;
    for (const auto session : matrix_.view().selectedSessions()) {
        auto is = library_.particulars(session);
        if (!is) return;
        is->deleted = true;
        rows.emplace_back(RowOf<SessionId, SessionParticulars>{session, *is});
    }
    for (const auto planned : matrix_.view().selectedPlans()) {
        auto is = *library_.contents()->planned(planned);
        is.deleted = true;
        rows.emplace_back(RowOf<PlannedId, PlannedParticulars>{planned, is});
    }
    if (rows.empty()) return;
    library_.edit(tr("deletion of %n sessions", nullptr, static_cast<int>(rows.size())), std::move(rows));
}

void LibraryActions::mergeActivity(ActivityId from, ActivityId into) {
    const auto& contents = library_.contents();
    const auto *gone = contents->activity(from), *stays = contents->activity(into);
    if (!gone || !stays || from == into) return;
    std::vector<RowValue> rows;
    for (const auto& session : contents->sessions) {
        if (session->activityId != from) continue;
        auto is = library_.particulars(session->id);
        if (!is) return;
        is->activity = into;
        rows.emplace_back(RowOf<SessionId, SessionParticulars>{session->id, *is});
    }
    for (const auto& planned : contents->plan)
        if (planned.is.activity == from) {
            auto is = planned.is;
            is.activity = into;
            rows.emplace_back(RowOf<PlannedId, PlannedParticulars>{planned.id, is});
        }
    auto deleted = *gone;
    deleted.deleted = true;
    rows.emplace_back(RowOf<ActivityId, ActivityParticulars>{from, deleted});
    library_.edit(tr("merging of %1 into %2").arg(qt(gone->label), qt(stays->label)), std::move(rows));
}

}  // namespace beatwitness::app
