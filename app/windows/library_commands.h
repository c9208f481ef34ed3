#pragma once

#include <QAction>
#include <QList>
#include <QObject>

class QMenu;

namespace beatwitness::app {

/// The commands of library, matrix and plan: one action each, for menu, shortcut, context menu and test. What
/// they do is connected by LibraryActions and LibraryFiles.
class LibraryCommands : public QObject {
    Q_OBJECT

public:
    /// `window` gets the actions too; `matrix` those whose keys belong to the matrix alone.
    LibraryCommands(QWidget* window, QWidget* matrix);

    // The file.
    QAction *newLibrary, *openLibrary, *sampleLibrary, *saveCopy, *closeLibrary, *keepInLibrary;
    // Rows of the matrix.
    QAction *openSession, *rename, *moveToActivity, *addToProject, *removeFromProject, *attemptFailed,
        *fulfilPlan, *deleteRows, *properties;
    // Plan and project.
    QAction *planSession, *planCell, *newProject, *renameProject, *projectDevices, *deleteProject,
        *planAndCriteria, *editions;
    QAction *renameActivity, *mergeActivity, *deletedList;
    // View.
    QAction *showMatrix, *showSide, *findSession;

    void fillFileMenu(QMenu& menu, QAction* before);
    void fillEditMenu(QMenu& menu);
    void fillViewMenu(QMenu& menu, QAction* before);
    void fillSessionMenu(QMenu& menu);
    /// What a right click on the matrix offers.
    void fillContextMenu(QMenu& menu, bool onHead);
    [[nodiscard]] QMenu* recentMenu() const { return recent_; }

    [[nodiscard]] QList<QAction*> withShortcut() const;

private:
    QAction* add(QWidget* home, const QString& text, const QKeySequence& keys, const char* name);
    QAction* addToWindow(const QString& text, const QKeySequence& keys, const char* name);
    QAction* addToMatrix(const QString& text, const QKeySequence& keys, const char* name);

    QWidget* window_;
    QWidget* matrix_;
    QMenu* recent_;
    QList<QAction*> all_;
};

}  // namespace beatwitness::app
