// What the commands of the main window do.
#include <QApplication>
#include <QClipboard>
#include <QDragEnterEvent>
#include <QFileDialog>
#include <QFileInfo>
#include <QMenu>
#include <QMimeData>
#include <QSettings>
#include <QSignalBlocker>
#include <QStackedWidget>

#include "app/document/session_words.h"
#include "app/pages/agreement/agreement_page.h"
#include "app/pages/clock_panel.h"
#include "app/pages/compare/compare_page.h"
#include "app/pages/figures/figures_page.h"
#include "app/pages/flags_panel.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/pages/particulars/particulars_panel.h"
#include "app/pages/recordings_panel.h"
#include "app/pages/session_page.h"
#include "app/pages/unscored_page.h"
#include "app/windows/commands.h"
#include "app/windows/flag_commands.h"
#include "app/windows/help_dialogs.h"
#include "app/windows/importing.h"
#include "app/windows/layout_dialog.h"
#include "app/windows/library_commands.h"
#include "app/windows/library_files.h"
#include "app/windows/main_window.h"
#include "app/windows/report_actions.h"
#include "app/windows/sample_pair.h"
#include "app/windows/timeline_commands.h"
#include "widgets/inputs/drop_frame.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/inputs/page_tabs.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QStringList localFiles(const QMimeData& data) {
    QStringList paths;
    for (const auto& url : data.urls())
        if (url.isLocalFile()) paths << url.toLocalFile();
    return paths;
}

/// The first widget inside `pane` (or the pane itself) that takes the keyboard.
QWidget* focusTarget(QWidget* pane) {
    if (pane->focusPolicy() & Qt::TabFocus) return pane;
    for (auto* child : pane->findChildren<QWidget*>())
        if ((child->focusPolicy() & Qt::TabFocus) && child->isVisible() && child->isEnabled()) return child;
    return pane;
}

}  // namespace

FilesByRole MainWindow::samplePair() {
    return findSamplePair();
}

void MainWindow::connectFileCommands() {
    connect(commands_->open, &QAction::triggered, this, &MainWindow::chooseFiles);
    connect(commands_->import, &QAction::triggered, this, &MainWindow::chooseImport);
    connect(commands_->paste, &QAction::triggered, this, &MainWindow::pasteFiles);
    connect(commands_->sample, &QAction::triggered, this, [this] { opening_->openByRole(samplePair()); });
    connect(commands_->copyNumbers, &QAction::triggered, this, [this] {
        QApplication::clipboard()->setText(page() == Page::Compare ? compare_->numbersAsText(false)
                                                                   : agreement_->numbersAsText(false));
        banner_->showMessage(MessageBanner::Tone::Notice, tr("Numbers copied"),
                             tr("The table is on the clipboard, separated by tabs."));
    });
    connect(commands_->quit, &QAction::triggered, this, &QWidget::close);
    connect(commands_->clear, &QAction::triggered, this, [this] {
        if (stored_.id())
            stored_.close();
        else
            document_.clear();
    });
    connect(commands_->shortcuts, &QAction::triggered, this, [this] {
        showShortcuts(commands_->withShortcut() + timelineCommands_->withShortcut() +
                          flagCommands_->withShortcut() + libraryCommands_->withShortcut() +
                          reports_->withShortcut() + figures_->commands().withShortcut(),
                      this);
    });
    connect(commands_->about, &QAction::triggered, this, [this] { showAbout(this); });
}

void MainWindow::connectViewCommands() {
    connect(tabs_, &PageTabs::currentChanged, this, &MainWindow::showRightPage);
    connect(commands_->sessionPage, &QAction::triggered, this, [this] { showPage(Page::Session); });
    connect(commands_->agreementPage, &QAction::triggered, this, [this] { showPage(Page::Agreement); });
    connect(commands_->toggleClock, &QAction::triggered, &document_, &Document::setWantsAligned);
    auto& timeline = session_->timeline();
    connect(commands_->zoomIn, &QAction::triggered, &timeline, &TimelineView::zoomIn);
    connect(commands_->zoomOut, &QAction::triggered, &timeline, &TimelineView::zoomOut);
    connect(commands_->fit, &QAction::triggered, &timeline, &TimelineView::fitAll);
    connect(&timeline, &TimelineView::contextChanged, this, &MainWindow::fillContextMenu);
    connect(commands_->nextContext, &QAction::triggered, this, &MainWindow::nextContext);
    connect(commands_->nextPane, &QAction::triggered, this, &MainWindow::stepPane);
    connect(commands_->themeSystem, &QAction::triggered, this, [this] { setTheme(ThemeChoice::System); });
    connect(commands_->themeLight, &QAction::triggered, this, [this] { setTheme(ThemeChoice::Light); });
    connect(commands_->themeDark, &QAction::triggered, this, [this] { setTheme(ThemeChoice::Dark); });
}

void MainWindow::connectSessionCommands() {
    connect(commands_->swap, &QAction::triggered, &document_, &Document::swapRoles);
    connect(commands_->referenceMenu(), &QMenu::aboutToShow, this, &MainWindow::fillReferenceMenu);
    connect(commands_->readAsMenu(), &QMenu::aboutToShow, this, &MainWindow::fillReadAsMenu);
    for (auto* panel : findChildren<RecordingsPanel*>())
        connect(panel, &RecordingsPanel::layoutAsked, this, &MainWindow::readAs);
    connect(commands_->alignAuto, &QAction::triggered, this,
            [this] { document_.align(alignment::Method::Auto); });
    connect(commands_->alignNone, &QAction::triggered, this,
            [this] { document_.align(alignment::Method::None); });
    connect(commands_->typeOffset, &QAction::triggered, this, [this] {
        showPage(Page::Session);
        session_->clockPanel().askForOffset();
    });
    connect(commands_->nextTest, &QAction::triggered, this, &MainWindow::nextTest);
    const auto stepFlag = [this](int by) {
        showPage(Page::Session);
        session_->flagsPanel().step(by);
    };
    connect(commands_->nextFlag, &QAction::triggered, this, [stepFlag] { stepFlag(1); });
    connect(commands_->previousFlag, &QAction::triggered, this, [stepFlag] { stepFlag(-1); });
}

void MainWindow::refreshCommands() {
    const bool present = document_.hasSession();
    commands_->setSessionPresent(present);
    commands_->import->setEnabled(library_.canWrite() && !library_.isStoring());
    fillContextMenu();
    if (!present) return;
    commands_->toggleClock->setEnabled(document_.canShowAligned());
    const QSignalBlocker quiet(commands_->toggleClock);
    commands_->toggleClock->setChecked(document_.showsAligned());
    commands_->nextTest->setEnabled(document_.analysis()->tests.size() > 1);
    const bool flags = session_->flagsPanel().flagCount() > 0;
    commands_->nextFlag->setEnabled(flags);
    commands_->previousFlag->setEnabled(flags);
}

void MainWindow::fillReferenceMenu() {
    auto* menu = commands_->referenceMenu();
    menu->clear();
    const auto add = [&](const SharedFile& file, bool current) {
        const QString device = QString::fromStdString(file->recording.device);
        auto* action =
            menu->addAction(device.isEmpty() ? fileName(*file) : tr("%1 (%2)").arg(device, fileName(*file)));
        action->setCheckable(true);
        action->setChecked(current);
        connect(action, &QAction::triggered, this, [this, file] { document_.makeReference(file); });
    };
    add(document_.plan().reference, true);
    for (const auto& test : document_.plan().tests)
        add(test.file, false);
}

void MainWindow::fillContextMenu() {
    auto* menu = commands_->contextMenu();
    const auto names = session_->timeline().contextNames();
    const auto current = session_->timeline().contextIndex();
    menu->clear();
    const auto add = [&](const QString& text, std::optional<int> index) {
        auto* action = menu->addAction(text);
        action->setCheckable(true);
        action->setChecked(index == current);
        // Queued: what it does fills the menu anew, which takes the action itself away.
        connect(
            action, &QAction::triggered, this, [this, index] { showContext(index); }, Qt::QueuedConnection);
    };
    add(tr("None"), std::nullopt);
    for (int i = 0; i < names.size(); ++i)
        add(names[i], i);
    menu->setEnabled(!names.isEmpty());
    commands_->nextContext->setEnabled(!names.isEmpty());
}

void MainWindow::showContext(std::optional<int> index) {
    showPage(Page::Session);
    session_->timeline().setContext(index);
}

void MainWindow::nextContext() {
    const int next = session_->timeline().contextIndex().value_or(-1) + 1;
    showContext(next < session_->timeline().contextNames().size() ? std::optional{next} : std::nullopt);
}

void MainWindow::nextTest() {
    if (!document_.hasSession()) return;
    document_.setFocusTest((document_.focusTest() + 1) % document_.analysis()->tests.size());
}

void MainWindow::chooseFiles() {
    auto* dialog = new QFileDialog(
        this, tr("Open Recordings"), settings_.value(QStringLiteral("open/folder")).toString(),
        tr("Recordings (%1);;All files (*)").arg(recordingPatterns().join(QLatin1Char(' '))));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setFileMode(QFileDialog::ExistingFiles);
    connect(dialog, &QFileDialog::filesSelected, this, [this, dialog](const QStringList& paths) {
        settings_.setValue(QStringLiteral("open/folder"), dialog->directory().absolutePath());
        opening_->open(paths);
    });
    dialog->open();
}

/// Into the library where one is open for writing, else onto the session page.
void MainWindow::takeIn(const QStringList& paths) {
    if (library_.canWrite())
        importing_->import(paths);
    else
        opening_->open(paths);
}

void MainWindow::chooseImport() {
    auto* dialog = new QFileDialog(
        this, tr("Import Recordings"), settings_.value(QStringLiteral("open/folder")).toString(),
        tr("Recordings (%1);;All files (*)").arg(recordingPatterns().join(QLatin1Char(' '))));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setFileMode(QFileDialog::ExistingFiles);
    connect(dialog, &QFileDialog::filesSelected, this, [this, dialog](const QStringList& paths) {
        settings_.setValue(QStringLiteral("open/folder"), dialog->directory().absolutePath());
        importing_->import(paths);
    });
    dialog->open();
}

void MainWindow::pasteFiles() {
    const auto* held = QApplication::clipboard()->mimeData();
    auto paths = held ? localFiles(*held) : QStringList{};
    if (paths.isEmpty() && held && held->hasText()) paths = pathsIn(held->text());
    if (!paths.isEmpty()) return takeIn(paths);
    banner_->showMessage(MessageBanner::Tone::Notice, tr("Nothing to paste"),
                         tr("The clipboard holds no file or path that is there. Copy recordings in a file "
                            "manager, or their paths, one a line."));
}

void MainWindow::fillReadAsMenu() {
    auto* menu = commands_->readAsMenu();
    menu->clear();
    const auto add = [&](const SharedFile& file) {
        auto* action = menu->addAction(tr("%1 …").arg(fileName(*file)));
        action->setEnabled(holdsTable(*file));
        connect(action, &QAction::triggered, this, [this, file] { readAs(file); });
    };
    const auto& plan = document_.plan();
    if (plan.reference) add(plan.reference);
    for (const auto& test : plan.tests)
        add(test.file);
    for (const auto& context : plan.contexts)
        add(context);
}

void MainWindow::readAs(const SharedFile& file) {
    auto* dialog = new LayoutDialog(file->file, {}, this);
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    connect(dialog, &QDialog::accepted, this, [this, dialog, file] {
        const auto& anew = dialog->result();
        document_.replaceReading(file, SharedFile(anew, &anew->read));
    });
    dialog->open();
}

void MainWindow::stepPane() {
    QList<QWidget*> panes;
    if (matrix_->isVisible()) panes << matrix_->panes();
    if (pages_->currentWidget() == figures_) {
        panes << tabs_ << figures_->panes();
    } else if (pages_->currentWidget() == compare_) {
        panes << tabs_ << compare_->panes();
    } else if (document_.hasSession()) {
        panes << (tabs_->currentIndex() == 0 ? session_->panes() : agreement_->panes());
        panes.prepend(tabs_);
    }
    if (pages_->currentWidget() == unscored_) panes << &unscored_->particulars();
    if (panes.isEmpty()) return;
    if (banner_->isVisible()) panes << banner_;
    auto* focus = QApplication::focusWidget();
    qsizetype at = -1;
    for (qsizetype i = 0; i < panes.size(); ++i)
        if (focus && (panes[i] == focus || panes[i]->isAncestorOf(focus))) at = i;
    focusTarget(panes[(at + 1) % panes.size()])->setFocus(Qt::ShortcutFocusReason);
}

void MainWindow::dragEnterEvent(QDragEnterEvent* event) {
    const auto files = localFiles(*event->mimeData());
    if (files.isEmpty()) return;
    event->acceptProposedAction();
    const bool folder = files.size() == 1 && QFileInfo(files.front()).isDir();
    drop_->appear(folder              ? tr("Let go to open the recordings in this folder")
                  : files.size() == 1 ? tr("Let go to open this recording")
                                      : tr("Let go to open these %1 recordings").arg(files.size()));
}

void MainWindow::dragLeaveEvent(QDragLeaveEvent*) {
    drop_->hide();
}

void MainWindow::dropEvent(QDropEvent* event) {
    drop_->hide();
    const auto files = localFiles(*event->mimeData());
    if (files.isEmpty()) return;
    event->acceptProposedAction();
    if (files.size() == 1 && isLibraryFile(files.front()))
        library_.open(files.front());
    else
        takeIn(files);
}

}  // namespace beatwitness::app
