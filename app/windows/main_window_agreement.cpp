// The agreement page's part of the main window: which project it speaks of, and the way from it to a session.
#include "app/document/selection.h"
#include "app/pages/agreement/agreement_page.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/windows/commands.h"
#include "app/windows/main_window.h"

namespace beatwitness::app {

void MainWindow::connectAgreement() {
    connect(matrix_, &MatrixPanel::projectChanged, this, [this] {
        agreement_->setProject(matrix_->project());
        showRightPage();
    });
    connect(&library_, &LibraryDocument::closed, this, [this] { agreement_->setProject(std::nullopt); });
    connect(&answer_, &ProjectAnswer::changed, this, &MainWindow::refreshFigureCommands);
    connect(agreement_, &AgreementPage::scopeChanged, this, &MainWindow::showRightPage);
    connect(agreement_, &AgreementPage::sessionAsked, this,
            [this](library::SessionId session, const agreement::RateBox& box) {
                boxAsked_ = box;
                agreement_->showProject(false);
                if (stored_.id() == session && document_.hasSession())
                    lightBox();
                else
                    stored_.open(session);
            });
    connect(&document_, &Document::analysisChanged, this, &MainWindow::lightBox);
}

/// What was selected in the project's map, in the session that was opened for it.
void MainWindow::lightBox() {
    if (!boxAsked_ || !document_.hasSession()) return;
    document_.selection().setBox(*std::exchange(boxAsked_, std::nullopt));
    showPage(Page::Session);
}

}  // namespace beatwitness::app
