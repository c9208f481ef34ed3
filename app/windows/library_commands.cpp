#include "app/windows/library_commands.h"

#include <QMenu>

namespace beatwitness::app {

LibraryCommands::LibraryCommands(QWidget* window, QWidget* matrix)
    : QObject(window), window_(window), matrix_(matrix), recent_(new QMenu(tr("Open &Recent"), window)) {
    newLibrary = addToWindow(tr("&New Library …"), Qt::CTRL | Qt::ALT | Qt::Key_N, "newLibrary");
    openLibrary = addToWindow(tr("Open &Library …"), Qt::CTRL | Qt::ALT | Qt::Key_O, "openLibrary");
    sampleLibrary = addToWindow(tr("Open Sample Li&brary"), {}, "sampleLibrary");
    saveCopy = addToWindow(tr("Save a Cop&y …"), Qt::CTRL | Qt::SHIFT | Qt::Key_S, "saveCopy");
    closeLibrary = addToWindow(tr("&Close Library"), QKeySequence::Close, "closeLibrary");
    keepInLibrary = addToWindow(tr("&Keep in Library …"), Qt::CTRL | Qt::Key_K, "keepInLibrary");

    openSession = addToMatrix(tr("&Open"), {}, "openSession");
    rename = addToMatrix(tr("&Rename\tF2"), {}, "rename");  // the matrix takes the key: phases use it too
    moveToActivity = addToMatrix(tr("Move to &Activity …"), Qt::CTRL | Qt::Key_M, "moveToActivity");
    addToProject = addToMatrix(tr("Add to &Project …"), Qt::CTRL | Qt::Key_J, "addToProject");
    removeFromProject =
        addToMatrix(tr("Re&move from Project"), Qt::SHIFT | Qt::Key_Delete, "removeFromProject");
    attemptFailed = addToMatrix(tr("Attempt &Failed …"), Qt::CTRL | Qt::Key_E, "attemptFailed");
    fulfilPlan = addToMatrix(tr("F&ulfils Plan …"), Qt::CTRL | Qt::Key_U, "fulfilPlan");
    deleteRows = addToMatrix(tr("&Delete"), Qt::Key_Delete, "deleteRows");
    properties = addToWindow(tr("Particula&rs"), Qt::ALT | Qt::Key_Return, "properties");

    planSession = addToMatrix(tr("P&lan a Session"), Qt::Key_Insert, "planSession");
    planCell = addToMatrix(tr("Plan This De&vice"), Qt::Key_Space, "planCell");
    newProject = addToWindow(tr("&New Project …"), {}, "newProject");
    renameProject = addToWindow(tr("&Rename Project …"), {}, "renameProject");
    projectDevices = addToWindow(tr("&Devices of the Project …"), {}, "projectDevices");
    deleteProject = addToWindow(tr("D&elete Project"), {}, "deleteProject");
    planAndCriteria =
        addToWindow(tr("Plan and &Criteria …"), Qt::CTRL | Qt::SHIFT | Qt::Key_P, "planAndCriteria");
    editions = addToWindow(tr("&Editions …"), Qt::CTRL | Qt::ALT | Qt::Key_E, "editions");
    renameActivity = addToWindow(tr("Rename &Activity …"), {}, "renameActivity");
    mergeActivity = addToWindow(tr("&Merge Activity Into …"), {}, "mergeActivity");
    deletedList = addToWindow(tr("&What Was Deleted …"), {}, "deletedList");

    showMatrix = addToWindow(tr("Session &Library"), Qt::Key_F9, "showMatrix");
    showSide = addToWindow(tr("Right &Side"), Qt::Key_F8, "showSide");
    for (auto* action : {showMatrix, showSide}) {
        action->setCheckable(true);
        action->setChecked(true);
    }
    findSession = addToWindow(tr("&Find a Session"), QKeySequence::Find, "findSession");
}

QAction* LibraryCommands::add(QWidget* home, const QString& text, const QKeySequence& keys,
                              const char* name) {
    auto* action = new QAction(text, this);
    action->setObjectName(QString::fromLatin1(name));
    action->setShortcut(keys);
    home->addAction(action);
    all_ << action;
    return action;
}

QAction* LibraryCommands::addToWindow(const QString& text, const QKeySequence& keys, const char* name) {
    return add(window_, text, keys, name);
}

QAction* LibraryCommands::addToMatrix(const QString& text, const QKeySequence& keys, const char* name) {
    auto* action = add(matrix_, text, keys, name);
    action->setShortcutContext(Qt::WidgetWithChildrenShortcut);
    return action;
}

void LibraryCommands::fillFileMenu(QMenu& menu, QAction* before) {
    menu.insertActions(before, {newLibrary, openLibrary});
    menu.insertMenu(before, recent_);
    menu.insertActions(before, {sampleLibrary, saveCopy, closeLibrary});
    menu.insertSeparator(before);
}

void LibraryCommands::fillEditMenu(QMenu& menu) {
    menu.addSeparator();
    auto* project = menu.addMenu(tr("&Project"));
    project->addActions({newProject, renameProject, projectDevices, deleteProject});
    project->addSeparator();
    project->addActions({planAndCriteria, editions});
    auto* activity = menu.addMenu(tr("&Activity"));
    activity->addActions({renameActivity, mergeActivity});
    menu.addAction(deletedList);
    menu.addSeparator();
    menu.addAction(findSession);
}

void LibraryCommands::fillViewMenu(QMenu& menu, QAction* before) {
    menu.insertActions(before, {showMatrix, showSide, properties});
    menu.insertSeparator(before);
}

void LibraryCommands::fillSessionMenu(QMenu& menu) {
    menu.addSeparator();
    menu.addActions({keepInLibrary, rename, moveToActivity, addToProject, removeFromProject});
    menu.addSeparator();
    menu.addActions({planSession, planCell, fulfilPlan, attemptFailed});
    menu.addSeparator();
    menu.addAction(deleteRows);
}

void LibraryCommands::fillContextMenu(QMenu& menu, bool onHead) {
    if (onHead) {
        menu.addActions({planSession, renameActivity, mergeActivity});
        return;
    }
    menu.addActions({openSession, rename, moveToActivity, addToProject, removeFromProject});
    menu.addSeparator();
    menu.addActions({planSession, planCell, fulfilPlan, attemptFailed});
    menu.addSeparator();
    menu.addActions({deleteRows, properties});
}

QList<QAction*> LibraryCommands::withShortcut() const {
    QList<QAction*> list;
    for (auto* action : all_)
        if (!action->shortcut().isEmpty()) list << action;
    return list;
}

}  // namespace beatwitness::app
