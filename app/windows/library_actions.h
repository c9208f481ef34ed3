#pragma once

#include <QObject>
#include <QPoint>
#include <functional>
#include <vector>

#include "app/document/library_document.h"
#include "app/document/stored_session.h"
#include "app/pages/matrix/matrix_panel.h"

class QMenu;

namespace beatwitness::app {

class LibraryCommands;

/// What the commands of matrix, plan and projects do: each asks what it must know, and makes one edit of the
/// library.
class LibraryActions : public QObject {
    Q_OBJECT

public:
    LibraryActions(LibraryCommands& commands, LibraryDocument& library, StoredSession& session,
                   MatrixPanel& matrix, QWidget* window);

    /// Enables what makes sense for what is selected.
    void refresh();

    // Each is one undo step.
    void renameRow(const MatrixModel::RowId& row, const QString& name);
    void moveTo(const std::vector<library::SessionId>& sessions, const QString& activity);
    void setMembership(const std::vector<library::SessionId>& sessions, library::ProjectId project,
                       bool isMember);
    void addFailedAttempt(library::SessionId session, const QString& device, const QString& reason);
    void planSession();
    void togglePlanned(library::PlannedId planned, library::DeviceId device);
    void fulfil(library::PlannedId planned, library::SessionId session);
    void deleteRows();
    void mergeActivity(library::ActivityId from, library::ActivityId into);

signals:
    void particularsAsked();

private:
    void connectMatrix();
    void connectCommands();
    void showContextMenu(const QPoint& place);
    void askActivity();
    void askProject(const std::vector<library::SessionId>& sessions, const QPoint& place);
    void askFailedAttempt();
    void askFulfil();
    void askMerge();
    void askActivityName();
    void askProjectName(bool isNew);
    void askProjectDevices();
    void deleteProject();
    void showDeleted();
    /// A menu at the matrix's current row, filled by `fill`.
    void choose(const QPoint& place, const std::function<void(QMenu&)>& fill);
    void askText(const QString& title, const QString& label, const QString& text,
                 const std::function<void(const QString&)>& take);
    [[nodiscard]] QPoint menuPlace() const;
    [[nodiscard]] std::optional<library::ActivityId> currentActivity() const;

    LibraryCommands& commands_;
    LibraryDocument& library_;
    StoredSession& session_;
    MatrixPanel& matrix_;
    QWidget* window_;
};

}  // namespace beatwitness::app
