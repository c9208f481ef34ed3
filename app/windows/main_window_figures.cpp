// The figures' part of the main window: their page, their menu, and what a view is as a figure.
#include <QMenu>
#include <QMenuBar>

#include "app/pages/agreement/agreement_page.h"
#include "app/pages/compare/compare_page.h"
#include "app/pages/figures/figure_actions.h"
#include "app/pages/figures/figures_page.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "app/windows/main_window.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using namespace widgets;

void MainWindow::makeFigures() {
    auto& commands = figures_->commands();
    auto* menu = new QMenu(tr("Fi&gure"), menu_);
    commands.fill(*menu);
    menu_->insertMenu(menu_->actions().last(), menu);  // before Help
    const auto view = commands_->viewMenu()->actions();
    commands_->viewMenu()->insertAction(view.at(view.indexOf(commands_->comparePage) + 1),
                                        commands.showPage);
    connect(commands.showPage, &QAction::triggered, this, [this] { showPage(Page::Figures); });
    connect(commands.addFromView, &QAction::triggered, this, [this] {
        if (const auto request = viewAsFigure()) figures_->actions().addView(*request);
    });
    connect(matrix_, &MatrixPanel::projectChanged, this, [this] {
        figures_->showProject(matrix_->project());
        refreshFigureCommands();
    });
    connect(&library_, &LibraryDocument::closed, this, [this] { figures_->showProject(std::nullopt); });
    connect(figures_, &FiguresPage::currentChanged, this, &MainWindow::refreshFigureCommands);
    auto& actions = figures_->actions();
    connect(&actions, &FigureActions::told, this, [this](const QString& headline, const QString& sentence) {
        banner_->showMessage(MessageBanner::Tone::Notice, headline, sentence);
    });
    connect(
        &actions, &FigureActions::refused, this,
        [this](const QString& headline, const QString& sentence) { refuse(headline, sentence, sentence); });
    // A new figure of a kind is there to be worked on; a view that is added leaves the reviewer where he is.
    connect(&commands, &FigureCommands::newAsked, this, [this] { showPage(Page::Figures); });
}

void MainWindow::refreshFigureCommands() {
    auto& commands = figures_->commands();
    commands.showPage->setEnabled(library_.isOpen());
    commands.addFromView->setEnabled(library_.canWrite() && !library_.isStoring() &&
                                     viewAsFigure().has_value());
    // The others speak of the figure in sight.
    const bool shown = page() == Page::Figures && library_.isOpen();
    for (auto* action : {commands.fitView, commands.trueSize, commands.margins})
        action->setEnabled(shown);
}

std::optional<report::FigureRequest> MainWindow::viewAsFigure() const {
    if (page() == Page::Agreement && agreement_->showsProject()) return agreement_->figure();
    if (page() == Page::Compare && library_.isOpen()) return compare_->asFigure();
    if (!document_.hasSession() || !stored_.row() || matrix_->projectName().isEmpty()) return std::nullopt;
    if (page() == Page::Figures) return std::nullopt;
    report::FigureRequest request;
    request.kind = report::FigureKind::Overlay;
    request.project = matrix_->projectName().toStdString();
    request.session = stored_.row()->name;
    request.sessionId = stored_.id();
    request.clock = document_.showsAligned() ? evaluation::Clock::Aligned : evaluation::Clock::AsRecorded;
    if (page() == Page::Agreement) {
        request.mapBeside = true;
        return request;
    }
    const auto& timeline = session_->timeline();
    const auto [begin_s, end_s] = timeline.range();
    const auto [first_s, last_s] = timeline.extent();
    if (begin_s > first_s + 1.0) request.begin_s = begin_s;
    if (end_s < last_s - 1.0) request.end_s = end_s;
    return request;
}

}  // namespace beatwitness::app
