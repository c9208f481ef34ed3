// The part of the main window that holds devices against each other.
#include <QMenu>
#include <QMenuBar>
#include <QToolButton>

#include "app/pages/compare/compare_bar.h"
#include "app/pages/compare/compare_page.h"
#include "app/pages/compare/kept_comparisons.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/windows/commands.h"
#include "app/windows/criteria_dialog.h"
#include "app/windows/editions_dialog.h"
#include "app/windows/library_commands.h"
#include "app/windows/main_window.h"

namespace beatwitness::app {

void MainWindow::makeCompare() {
    commands_->viewMenu()->insertMenu(commands_->toggleClock, compare_->kept().menu());
    commands_->viewMenu()->insertSeparator(commands_->toggleClock);
    connect(commands_->comparePage, &QAction::triggered, this, [this] { showPage(Page::Compare); });
    connect(libraryCommands_->planAndCriteria, &QAction::triggered, this, &MainWindow::showCriteria);
    connect(libraryCommands_->editions, &QAction::triggered, this, &MainWindow::showEditions);
    for (auto* action : {libraryCommands_->planAndCriteria, libraryCommands_->editions}) {
        auto* button = new QToolButton(&compare_->bar());
        button->setDefaultAction(action);
        button->setToolButtonStyle(Qt::ToolButtonTextOnly);
        compare_->bar().addButton(button);
    }
    connect(matrix_, &MatrixPanel::projectChanged, this, [this] {
        compare_->showProject(matrix_->project());
        refreshCompareCommands();
    });
    connect(&library_, &LibraryDocument::closed, this, [this] { compare_->showProject(std::nullopt); });
    connect(compare_, &ComparePage::figureChanged, this, [this] {
        if (page() == Page::Compare) refreshFigureCommands();
    });
}

void MainWindow::refreshCompareCommands() {
    const bool shown = page() == Page::Compare && library_.isOpen();
    commands_->comparePage->setEnabled(library_.isOpen());
    if (shown) commands_->copyNumbers->setEnabled(true);
    for (auto* action : {libraryCommands_->planAndCriteria, libraryCommands_->editions})
        action->setEnabled(library_.isOpen() && matrix_->project().has_value());
}

void MainWindow::showCriteria() {
    if (const auto project = matrix_->project()) (new CriteriaDialog(library_, *project, this))->show();
}

/// What is frozen is what the Compare page compares, and every device by activity.
void MainWindow::showEditions() {
    const auto project = matrix_->project();
    if (!project) return;
    const auto& ask = compare_->answer().ask();
    evaluation::Question question;
    question.epoch_s = ask.epoch_s;
    question.excludeReferenceFaults = ask.excludeReferenceFaults;
    question.margin_bpm = ask.margin_bpm;
    if (!ask.a.empty()) question.compare = {{ask.a, ask.b}};
    (new EditionsDialog(library_, *project, std::move(question), this))->show();
}

}  // namespace beatwitness::app
