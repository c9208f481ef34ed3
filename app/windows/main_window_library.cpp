// The library's part of the main window: the matrix at the left, its commands, and what is told of the file.
#include <QLabel>
#include <QLineEdit>
#include <QMenu>
#include <QMenuBar>
#include <QScrollBar>
#include <QSettings>
#include <QSplitter>
#include <QStackedWidget>

#include "app/pages/empty_page.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/pages/particulars/particulars_panel.h"
#include "app/pages/session_header.h"
#include "app/pages/session_page.h"
#include "app/pages/unscored_page.h"
#include "app/windows/commands.h"
#include "app/windows/flag_commands.h"
#include "app/windows/importing.h"
#include "app/windows/library_actions.h"
#include "app/windows/library_commands.h"
#include "app/windows/library_files.h"
#include "app/windows/main_window.h"
#include "app/windows/report_actions.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/inputs/top_bar.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

constexpr auto windowSplitKey = "window/splitter";
constexpr auto projectKey = "library/project";
constexpr auto matrixKey = "window/matrix";
constexpr auto sideKey = "window/side";

/// Below this the right side gives its room to the plots, until it is asked for.
constexpr int foldsBelow_em = 62;

}  // namespace

void MainWindow::makeLibrary() {
    matrix_ = new MatrixPanel(library_, headlines_, this);
    libraryCommands_ = new LibraryCommands(this, &matrix_->view());
    libraryFiles_ =
        new LibraryFiles(*libraryCommands_, library_, document_, stored_, *matrix_, settings_, this);
    libraryActions_ = new LibraryActions(*libraryCommands_, library_, stored_, *matrix_, this);
    reports_ = new ReportActions(library_, *matrix_, settings_, this);
    readOnly_ = makeBody({}, this);
    readOnly_->setObjectName(QStringLiteral("readOnlyStrip"));
    readOnly_->setContentsMargins(20, 5, 20, 5);
    readOnly_->setAutoFillBackground(true);
    readOnly_->setBackgroundRole(QPalette::Window);
    readOnly_->hide();
}

void MainWindow::fillLibraryMenus() {
    // File, Edit, View and Session stand first in the bar, in this order.
    const auto bars = menu_->actions();
    const auto menuAt = [&](int place) { return bars.at(place)->menu(); };
    libraryCommands_->fillFileMenu(*menuAt(0), commands_->open);
    reports_->fillFileMenu(*menuAt(0), libraryCommands_->closeLibrary);
    libraryCommands_->fillEditMenu(*menuAt(1));
    libraryCommands_->fillViewMenu(*menuAt(2), commands_->toggleClock);
    libraryCommands_->fillSessionMenu(*menuAt(3));
}

void MainWindow::connectLibrary() {
    connect(&library_, &LibraryDocument::failed, this, [this](const QString& what, const Fault& fault) {
        const QString words = QString::fromStdString(sentence(fault));
        refuse(tr("No success with the %1").arg(what), words + QLatin1Char('\n') + tr("Nothing was changed."),
               words);
    });
    connect(&headlines_, &Headlines::failed, this, [this](const Fault& fault) {
        const QString words = QString::fromStdString(sentence(fault));
        refuse(tr("The headline numbers could not be worked out"), words, words);
    });
    connect(&library_, &LibraryDocument::importStopped, this, [this] {
        banner_->showMessage(MessageBanner::Tone::Notice, tr("Stopped"), tr("Nothing was stored."));
    });
    connect(libraryFiles_, &LibraryFiles::refused, this, &MainWindow::refuse);
    connect(libraryFiles_, &LibraryFiles::noticed, this,
            [this](const QString& headline, const QString& text) {
                banner_->showMessage(MessageBanner::Tone::Notice, headline, text);
            });
    connect(reports_, &ReportActions::told, this, [this](const QString& headline, const QString& text) {
        banner_->showMessage(MessageBanner::Tone::Notice, headline, text);
    });
    connect(reports_, &ReportActions::refused, this,
            [this](const QString& headline, const QString& text) { refuse(headline, text, text); });
    connect(libraryActions_, &LibraryActions::particularsAsked, this, &MainWindow::showParticulars);
    connect(&stored_, &StoredSession::changed, this, [this] {
        // Only another session moves the selection: an edit of this one must not take the row at hand away.
        if (stored_.id() && stored_.id() != selectedFor_) {
            matrix_->view().select(*stored_.id());
            if (page() >= Page::Compare) showPage(Page::Session);
        }
        selectedFor_ = stored_.id();
        showRightPage();
        refreshPlace();
    });
    connect(&library_, &LibraryDocument::opened, this,
            [this] { matrix_->showProject(settings_.value(QLatin1String(projectKey)).toString()); });
    connect(&library_, &LibraryDocument::changed, this, &MainWindow::refreshPlace);
    connect(&library_, &LibraryDocument::closed, this, &MainWindow::showRightPage);
    connect(&library_, &LibraryDocument::opened, this, &MainWindow::showRightPage);
    connect(matrix_, &MatrixPanel::projectChanged, this, [this] {
        if (matrix_->project()) settings_.setValue(QLatin1String(projectKey), matrix_->projectName());
        importing_->setProject(matrix_->projectName());
        stored_.setProject(matrix_->project().value_or(library::ProjectId{}));
        flagCommands_->setProject(matrix_->project());
        refreshPlace();
    });
    // Undo must not run into an import: both write.
    connect(&library_, &LibraryDocument::storingChanged, this, [this](bool storing) {
        commands_->undo->setEnabled(!storing && undo_.canUndo());
        commands_->redo->setEnabled(!storing && undo_.canRedo());
    });
    connect(libraryCommands_->showMatrix, &QAction::triggered, this, [this](bool shown) {
        matrixWanted_ = shown;
        refreshPlace();
    });
    connect(libraryCommands_->showSide, &QAction::triggered, this,
            [this](bool shown) { session_->setSideShown(shown); });
    connect(libraryCommands_->findSession, &QAction::triggered, this, [this] {
        matrixWanted_ = true;
        refreshPlace();
        matrix_->search().setFocus(Qt::ShortcutFocusReason);
        matrix_->search().selectAll();
    });
}

void MainWindow::refreshPlace() {
    const bool open = library_.isOpen();
    matrix_->setVisible(open && matrixWanted_);
    empty_->setLibrary(library_.canWrite() ? library_.name() : QString());
    libraryCommands_->showMatrix->setEnabled(open);
    libraryCommands_->showMatrix->setChecked(matrixWanted_);
    const QString project = matrix_->projectName();
    place_->setPlace(!open               ? QString()
                     : project.isEmpty() ? library_.name()
                                         : tr("%1 · %2").arg(library_.name(), project));
    const auto& why = library_.readOnlyBecause();
    readOnly_->setVisible(open && why.has_value());
    if (why) readOnly_->setText(QString::fromStdString(sentence(*why)));
}

void MainWindow::showParticulars() {
    const auto plans = matrix_->view().selectedPlans();
    if (!plans.empty()) {
        unscored_->particulars().showPlan(plans.front());
        pages_->setCurrentWidget(unscored_);
        unscored_->particulars().takeFocus();
    } else if (pages_->currentWidget() == unscored_) {
        unscored_->particulars().takeFocus();
    } else if (document_.isStored()) {
        showPage(Page::Session);
        libraryCommands_->showSide->setChecked(true);
        session_->setSideShown(true);
        session_->showParticulars();
    } else if (const auto sessions = matrix_->view().selectedSessions(); !sessions.empty()) {
        stored_.open(sessions.front());
    }
}

void MainWindow::foldSide() {
    const bool narrow = width() < fontMetrics().averageCharWidth() * foldsBelow_em * 3;
    if (narrow == foldedForWidth_) return;
    foldedForWidth_ = narrow;
    libraryCommands_->showSide->setChecked(!narrow);
    session_->setSideShown(!narrow);
}

void MainWindow::restoreLibraryLayout() {
    split_->restoreState(settings_.value(QLatin1String(windowSplitKey)).toByteArray());
    matrixWanted_ = settings_.value(QLatin1String(matrixKey), true).toBool();
    const bool side = settings_.value(QLatin1String(sideKey), true).toBool();
    libraryCommands_->showSide->setChecked(side);
    session_->setSideShown(side);
    refreshPlace();
}

void MainWindow::keepLibraryLayout() {
    settings_.setValue(QLatin1String(windowSplitKey), split_->saveState());
    settings_.setValue(QLatin1String(matrixKey), matrixWanted_);
    settings_.setValue(QLatin1String(sideKey), foldedForWidth_ || libraryCommands_->showSide->isChecked());
}

}  // namespace beatwitness::app
