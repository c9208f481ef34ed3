#pragma once

#include <QAction>
#include <QList>
#include <QObject>
#include <QString>

class QActionGroup;
class QMenuBar;
class QUndoStack;

namespace beatwitness::app {

/// Every command of the window: one action each, for menu, shortcut, button and test. What they do is
/// connected by the window.
class Commands : public QObject {
    Q_OBJECT

public:
    /// `parent` gets the actions too, so that their shortcuts work all over it.
    Commands(QUndoStack& undo, QWidget* parent);

    QAction *open, *import, *paste, *sample, *copyNumbers, *quit;
    QAction *undo, *redo, *clear;
    QAction *sessionPage, *agreementPage, *comparePage, *toggleClock, *zoomIn, *zoomOut, *fit, *nextContext,
        *nextPane;
    QAction *themeSystem, *themeLight, *themeDark;
    QAction *swap, *typeOffset, *alignAuto, *alignNone, *nextTest, *nextFlag, *previousFlag;
    QAction *shortcuts, *about;

    /// Fills the bar; the submenus "Reference Is", "Read As" and "Show Below" are filled by their owner.
    void fill(QMenuBar& bar);
    [[nodiscard]] QMenu* referenceMenu() const { return referenceMenu_; }
    [[nodiscard]] QMenu* contextMenu() const { return contextMenu_; }
    // For commands that are kept elsewhere; after fill().
    [[nodiscard]] QMenu* viewMenu() const { return viewMenu_; }
    [[nodiscard]] QMenu* sessionMenu() const { return sessionMenu_; }
    [[nodiscard]] QMenu* readAsMenu() const { return readAsMenu_; }

    /// What makes sense only with a session.
    void setSessionPresent(bool present);

    /// All actions with a shortcut, by menu order.
    [[nodiscard]] QList<QAction*> withShortcut() const;

private:
    QAction* add(const QString& text, const QKeySequence& keys, const char* name, const char* icon = nullptr);
    void makeThemeGroup();

    QWidget* window_;
    QMenu* referenceMenu_ = nullptr;
    QMenu* contextMenu_ = nullptr;
    QMenu* viewMenu_ = nullptr;
    QMenu* sessionMenu_ = nullptr;
    QMenu* readAsMenu_ = nullptr;
    QList<QAction*> all_;
};

}  // namespace beatwitness::app
