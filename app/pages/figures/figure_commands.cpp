#include "app/pages/figures/figure_commands.h"

#include <QActionGroup>

namespace beatwitness::app {

FigureCommands::FigureCommands(QWidget* window, QWidget* list)
    : QObject(window), new_(new QMenu(tr("&New Figure"), window)) {
    addFromView =
        add(window, tr("&Add This View to the Figures"), Qt::CTRL | Qt::SHIFT | Qt::Key_F, "addFigure");
    showPage = add(window, tr("&Figures"), Qt::CTRL | Qt::Key_4, "figuresPage");
    makeNewMenu();
    duplicate = add(list, tr("&Duplicate"), Qt::CTRL | Qt::Key_D, "duplicateFigure");
    rename = add(list, tr("&Rename"), Qt::Key_F2, "renameFigure");
    moveUp = add(list, tr("Move &Up"), Qt::CTRL | Qt::SHIFT | Qt::Key_Up, "moveFigureUp");
    moveDown = add(list, tr("Move Do&wn"), Qt::CTRL | Qt::SHIFT | Qt::Key_Down, "moveFigureDown");
    remove = add(list, tr("De&lete"), Qt::Key_Delete, "deleteFigure");
    for (auto* action : {duplicate, rename, moveUp, moveDown, remove})
        action->setShortcutContext(Qt::WidgetWithChildrenShortcut);
    exportOne = add(window, tr("&Export …"), Qt::CTRL | Qt::ALT | Qt::Key_X, "exportFigure");
    exportAll = add(window, tr("Export A&ll …"), {}, "exportFigures");
    exportFilm = add(window, tr("Export as Fil&m …"), {}, "exportFilm");
    fitView = add(window, tr("F&it the View"), {}, "fitFigure");
    trueSize = add(window, tr("True &Size"), {}, "trueSizeFigure");
    margins = add(window, tr("Safe Mar&gins"), {}, "figureMargins");
    auto* group = new QActionGroup(this);
    for (auto* action : {fitView, trueSize}) {
        action->setCheckable(true);
        group->addAction(action);
    }
    fitView->setChecked(true);
    margins->setCheckable(true);
}

QAction* FigureCommands::add(QWidget* home, const QString& text, const QKeySequence& keys, const char* name) {
    auto* action = new QAction(text, this);
    action->setObjectName(QString::fromLatin1(name));
    action->setShortcut(keys);
    home->addAction(action);
    all_ << action;
    return action;
}

void FigureCommands::makeNewMenu() {
    for (const auto kind : report::allFigureKinds) {
        const auto title = report::figureKindTitle(kind);
        auto* action = new_->addAction(QString::fromUtf8(title.data(), static_cast<qsizetype>(title.size())));
        connect(action, &QAction::triggered, this, [this, kind] { emit newAsked(kind); });
    }
}

void FigureCommands::fill(QMenu& menu) {
    menu.addAction(addFromView);
    menu.addMenu(new_);
    menu.addSeparator();
    menu.addActions({duplicate, rename, moveUp, moveDown, remove});
    menu.addSeparator();
    menu.addActions({exportOne, exportAll, exportFilm});
    menu.addSeparator();
    menu.addActions({fitView, trueSize, margins});
}

void FigureCommands::fillContextMenu(QMenu& menu) {
    menu.addActions({duplicate, rename, moveUp, moveDown, remove});
    menu.addSeparator();
    menu.addActions({exportOne, exportFilm});
}

QList<QAction*> FigureCommands::withShortcut() const {
    QList<QAction*> list;
    for (auto* action : all_)
        if (!action->shortcut().isEmpty()) list << action;
    return list;
}

}  // namespace beatwitness::app
