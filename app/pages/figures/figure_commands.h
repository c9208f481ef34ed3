#pragma once

#include <QAction>
#include <QList>
#include <QMenu>
#include <QObject>

#include "core/report/figures/figure_request.h"

namespace beatwitness::app {

/// Every command of figures: one action each, for menu, button, key and test. What they do is connected by
/// FigureActions.
class FigureCommands : public QObject {
    Q_OBJECT

public:
    /// `window` gets those that work all over it, `list` those of the list of figures.
    FigureCommands(QWidget* window, QWidget* list);

    QAction *addFromView, *showPage;
    QAction *duplicate, *rename, *moveUp, *moveDown, *remove;
    QAction *exportOne, *exportAll, *exportFilm;
    QAction *fitView, *trueSize, *margins;

    /// A new figure of each kind.
    [[nodiscard]] QMenu* newMenu() const { return new_; }
    void fill(QMenu& menu);
    void fillContextMenu(QMenu& menu);
    /// All actions with a shortcut, by menu order.
    [[nodiscard]] QList<QAction*> withShortcut() const;

signals:
    void newAsked(beatwitness::report::FigureKind kind);

private:
    QAction* add(QWidget* home, const QString& text, const QKeySequence& keys, const char* name);
    void makeNewMenu();

    QMenu* new_;
    QList<QAction*> all_;
};

}  // namespace beatwitness::app
