#include "app/windows/main_window.h"

#include <QApplication>
#include <QCloseEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QMenuBar>
#include <QPushButton>
#include <QScreen>
#include <QSettings>
#include <QSplitter>
#include <QStackedWidget>
#include <QStyle>
#include <QVBoxLayout>
#include <utility>

#include "app/document/session_words.h"
#include "app/pages/agreement/agreement_page.h"
#include "app/pages/compare/compare_page.h"
#include "app/pages/empty_page.h"
#include "app/pages/figures/figures_page.h"
#include "app/pages/filter_bar.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/pages/particulars/particulars_panel.h"
#include "app/pages/session_header.h"
#include "app/pages/session_page.h"
#include "app/pages/unscored_page.h"
#include "app/windows/commands.h"
#include "app/windows/copy_phases_dialog.h"
#include "app/windows/flag_commands.h"
#include "app/windows/importing.h"
#include "app/windows/library_commands.h"
#include "app/windows/offsets_dialog.h"
#include "app/windows/report_actions.h"
#include "app/windows/timeline_commands.h"
#include "app/windows/view_memory.h"
#include "core/report/cautions.h"
#include "widgets/background/progress_strip.h"
#include "widgets/inputs/drop_frame.h"
#include "widgets/inputs/ink_icon.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/inputs/page_tabs.h"
#include "widgets/inputs/top_bar.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

constexpr QSize leastScreen{1024, 600};
constexpr auto geometryKey = "window/geometry";
constexpr auto themeKey = "window/theme";
constexpr auto sessionSplitKey = "session/splitter";
constexpr auto agreementSplitKey = "agreement/splitter";

QString themeWord(ThemeChoice choice) {
    return choice == ThemeChoice::Light  ? QStringLiteral("light")
           : choice == ThemeChoice::Dark ? QStringLiteral("dark")
                                         : QStringLiteral("system");
}

ThemeChoice themeOf(const QString& word) {
    return word == QLatin1String("light")  ? ThemeChoice::Light
           : word == QLatin1String("dark") ? ThemeChoice::Dark
                                           : ThemeChoice::System;
}

QLabel* cautionsLabel(QWidget* parent) {
    auto* label = makeCaption({}, parent);
    label->setContentsMargins(20, 4, 20, 6);
    label->setAccessibleName(MainWindow::tr("Cautions"));
    return label;
}

}  // namespace

MainWindow::MainWindow(QSettings& settings, QWidget* parent)
    : QMainWindow(parent),
      settings_(settings),
      opening_(new Opening(document_, this)),
      importing_(new Importing(library_, this)),
      commands_(new Commands(undo_, this)) {
    undo_.setUndoLimit(undoSteps);
    setWindowTitle(tr("Beatwitness"));
    setWindowIcon(applicationIcon());
    setAcceptDrops(true);
    setMinimumSize(900, 560);
    const auto pair = samplePair();
    commands_->sample->setEnabled(!pair.reference.isEmpty());
    commands_->sample->setVisible(commands_->sample->isEnabled());
    makeLibrary();
    makeTopBar();
    makeCentre();
    connectFileCommands();
    connectViewCommands();
    connectSessionCommands();
    connectDocument();
    connectReview();
    connectLibrary();
    restoreLayout();
    refreshCommands();
    showRightPage();
}

MainWindow::~MainWindow() {
    // What is being typed is taken while the document is still there, and the pages go before it.
    if (auto* focus = focusWidget()) focus->clearFocus();
    delete takeCentralWidget();
}

void MainWindow::makeTopBar() {
    menu_ = new QMenuBar;
    commands_->fill(*menu_);
    tabs_ = new PageTabs;
    tabs_->addTab(tr("Session"));
    tabs_->addTab(tr("Agreement"));
    tabs_->addTab(tr("Compare"));
    tabs_->addTab(tr("Figures"));
    fillLibraryMenus();
    place_ = new TopBar(menu_, tabs_, this);
    setMenuWidget(place_);
}

void MainWindow::makeCentre() {
    auto* centre = new QWidget(this);
    banner_ = new MessageBanner(centre);
    header_ = new SessionHeader(document_, centre);
    header_->setSwapAction(commands_->swap);
    header_->setStoredSession(stored_);
    pages_ = new QStackedWidget(centre);
    empty_ = new EmptyPage(
        commands_->open, commands_->sample,
        {libraryCommands_->newLibrary, libraryCommands_->openLibrary, libraryCommands_->sampleLibrary},
        pages_);
    session_ = new SessionPage(document_, pages_);
    agreement_ = new AgreementPage(document_, stored_, answer_, pages_);
    compare_ = new ComparePage(library_, this, pages_);
    figures_ = new FiguresPage(library_, this, pages_);
    unscored_ = new UnscoredPage(library_, stored_, pages_);
    session_->addParticulars(new ParticularsPanel(library_, stored_, session_));
    for (auto* page :
         std::initializer_list<QWidget*>{empty_, session_, agreement_, compare_, figures_, unscored_})
        pages_->addWidget(page);
    auto* column = new QVBoxLayout(centre);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(readOnly_);
    column->addWidget(banner_);
    column->addWidget(new ProgressStrip(document_.runner(), centre));
    column->addWidget(new ProgressStrip(library_.runner(), centre));
    column->addWidget(new ProgressStrip(reports_->runner(), centre));
    column->addWidget(header_);
    auto* filter = new FilterBar(document_, centre);
    column->addWidget(filter);
    column->addWidget(pages_, 1);
    cautions_ = cautionsLabel(centre);
    column->addWidget(cautions_);
    timelineCommands_ = new TimelineCommands(document_, *session_, this);
    timelineCommands_->fill(*commands_->viewMenu(), *commands_->sessionMenu());
    flagCommands_ = new FlagCommands(document_, library_, *session_, this);
    flagCommands_->fill(*commands_->sessionMenu());
    connect(filter, &FilterBar::stepped, this, [this](int by) {
        timelineCommands_->action(by > 0 ? QStringLiteral("nextStretch") : QStringLiteral("previousStretch"))
            ->trigger();
    });
    split_ = new QSplitter(Qt::Horizontal, this);
    split_->setHandleWidth(4);
    split_->addWidget(matrix_);
    split_->addWidget(centre);
    split_->setStretchFactor(1, 1);
    split_->setCollapsible(1, false);
    setCentralWidget(split_);
    drop_ = new DropFrame(this);
    makeCompare();
    makeFigures();
    connectAgreement();
}

void MainWindow::connectDocument() {
    connect(opening_, &Opening::refused, this, &MainWindow::refuse);
    connect(opening_, &Opening::partlyRefused, this,
            [this](const auto& headline, const auto& text, const auto& details) {
                refuse(headline, text, details);
                keepMessage_ = true;
            });
    connect(opening_, &Opening::noticed, this,
            [this](const QString& headline, const QString& text, bool goesOn) {
                banner_->showMessage(MessageBanner::Tone::Notice, headline, text);
                keepMessage_ = goesOn;
            });
    for (auto signal : {&LibraryDocument::opened, &LibraryDocument::closed})
        connect(&library_, signal, this, &MainWindow::refreshCommands);
    connect(&library_, &LibraryDocument::storingChanged, this, &MainWindow::refreshCommands);
    connect(&library_, &LibraryDocument::failed, this, [this](const QString& what, const Fault& fault) {
        const QString words = QString::fromStdString(sentence(fault));
        refuse(tr("No success with the %1").arg(what),
               words + QLatin1Char('\n') + tr("The library is as it was."), words);
    });
    connect(importing_, &Importing::refused, this, &MainWindow::refuse);
    connect(importing_, &Importing::noticed, this, [this](const QString& headline, const QString& text) {
        banner_->showMessage(MessageBanner::Tone::Notice, headline, text);
    });
    connect(opening_, &Opening::waitingChanged, this, [this] {
        const auto& file = opening_->waiting();
        empty_->setWaiting(file ? tr("%1 was read. Now open or drop the recording to compare it with.")
                                      .arg(QString::fromStdString(deviceLabel(*file)))
                                : QString());
    });
    connect(&document_, &Document::failed, this, [this](const QString& what, const Fault& fault) {
        const QString kept =
            document_.hasSession() ? tr("The session is as it was.") : tr("Nothing was changed.");
        const QString words = QString::fromStdString(sentence(fault));
        refuse(tr("No success with the %1").arg(what), words + QLatin1Char('\n') + kept, words);
    });
    connect(&document_.runner(), &TaskRunner::cancelled, this, [this] {
        banner_->showMessage(MessageBanner::Tone::Notice, tr("Stopped"), tr("Nothing was changed."));
    });
    connect(&document_, &Document::analysisChanged, this, [this] {
        if (!std::exchange(keepMessage_, false)) banner_->hide();
        showRightPage();
        refreshCommands();
    });
    connect(&document_, &Document::clockViewChanged, this, &MainWindow::refreshCommands);
    connect(&document_, &Document::focusTestChanged, this, [this] {
        showRightPage();
        refreshCommands();
    });
    connect(session_, &SessionPage::cursorMoved, agreement_, &AgreementPage::setCursor);
}

void MainWindow::connectReview() {
    connect(timelineCommands_, &TimelineCommands::pageWanted, this, [this] { showPage(Page::Session); });
    connect(timelineCommands_, &TimelineCommands::refused, this, [this](const QString& sentence) {
        banner_->showMessage(MessageBanner::Tone::Notice, tr("Nothing was changed"), sentence);
    });
    connect(flagCommands_, &FlagCommands::pageWanted, this, [this] { showPage(Page::Session); });
    connect(flagCommands_, &FlagCommands::refused, this, [this](const QString& sentence) {
        banner_->showMessage(MessageBanner::Tone::Notice, tr("Nothing was changed"), sentence);
    });
    connect(timelineCommands_, &TimelineCommands::told, this,
            [this](const QString& headline, const QString& sentence) {
                banner_->showMessage(MessageBanner::Tone::Notice, headline, sentence);
            });
    connect(timelineCommands_, &TimelineCommands::phaseCopiesWanted, this, [this] {
        auto* dialog = new CopyPhasesDialog(library_, stored_, document_, this);
        dialog->setAttribute(Qt::WA_DeleteOnClose);
        connect(dialog, &CopyPhasesDialog::told, this,
                [this](const QString& headline, const QString& sentence) {
                    banner_->showMessage(MessageBanner::Tone::Notice, headline, sentence);
                });
        dialog->open();
    });
    connect(timelineCommands_, &TimelineCommands::offsetsWanted, this, [this] {
        if (!matrix_->project()) return;
        auto* dialog = new OffsetsDialog(library_, *matrix_->project(), this);
        dialog->setAttribute(Qt::WA_DeleteOnClose);
        dialog->open();
    });
    memory_ = new ViewMemory(settings_, document_, *session_, this);
    connect(memory_, &ViewMemory::pageRemembered, this,
            [this](int page) { showPage(page == 0 ? Page::Session : Page::Agreement); });
    // Comparison and figures are the project's, not the session's.
    connect(tabs_, &PageTabs::currentChanged, this, [this] {
        if (page() < Page::Compare) memory_->setPage(tabs_->currentIndex());
    });
}

void MainWindow::refuse(const QString& headline, const QString& text, const QString& details) {
    banner_->showMessage(MessageBanner::Tone::Error, headline, text, details);
}

void MainWindow::showPage(Page page) {
    tabs_->setCurrentIndex(static_cast<int>(page));
}

Page MainWindow::page() const {
    return static_cast<Page>(tabs_->currentIndex());
}

void MainWindow::showRightPage() {
    const bool present = document_.hasSession();
    const bool figures = library_.isOpen() && this->page() == Page::Figures;
    const bool compare = library_.isOpen() && this->page() == Page::Compare;
    const bool agreed = this->page() == Page::Agreement && (present || matrix_->project());
    const bool unscored = !present && stored_.id() && !agreed;
    setWindowTitle(stored_.row() ? QString::fromStdString(stored_.row()->name)
                   : present     ? titleOf(*document_.analysis(), static_cast<int>(document_.focusTest()))
                                 : tr("Beatwitness"));
    tabs_->setVisible(present || library_.isOpen());
    for (const auto ofProject : {Page::Compare, Page::Figures})
        tabs_->setTabEnabled(static_cast<int>(ofProject), library_.isOpen());
    header_->setVisible(present && !figures && !compare && !(agreed && agreement_->showsProject()));
    refreshFigureCommands();
    refreshCompareCommands();
    QWidget* page = figures    ? static_cast<QWidget*>(figures_)
                    : compare  ? static_cast<QWidget*>(compare_)
                    : unscored ? static_cast<QWidget*>(unscored_)
                    : agreed   ? static_cast<QWidget*>(agreement_)
                    : !present ? static_cast<QWidget*>(empty_)
                               : static_cast<QWidget*>(session_);
    auto* first = figures    ? figures_->panes().front()
                  : compare  ? compare_->panes().front()
                  : unscored ? static_cast<QWidget*>(&unscored_->particulars())
                  : agreed   ? agreement_->panes().front()
                  : !present ? empty_->mainButton()
                             : session_->panes().front();
    agreement_->setInFront(page == agreement_);
    const auto line = figures || compare || (agreed && agreement_->showsProject())
                          ? report::projectCautionLine()
                          : report::cautionLine();
    cautions_->setText(QString::fromUtf8(line.data(), static_cast<qsizetype>(line.size())));
    if (page == pages_->currentWidget()) return;
    // A page that goes with the focus in it would pass it on as if Tab had been pressed.
    auto* focus = QApplication::focusWidget();
    // Who steps through the matrix stays there.
    const bool had =
        (!focus || pages_->isAncestorOf(focus)) && !matrix_->isAncestorOf(QApplication::focusWidget());
    if (had && focus) focus->clearFocus();
    pages_->setCurrentWidget(page);
    if (had) first->setFocus(Qt::OtherFocusReason);
}

void MainWindow::setTheme(ThemeChoice choice) {
    applyTheme(*qApp, choice);
    settings_.setValue(QLatin1String(themeKey), themeWord(choice));
    auto* action = choice == ThemeChoice::Light  ? commands_->themeLight
                   : choice == ThemeChoice::Dark ? commands_->themeDark
                                                 : commands_->themeSystem;
    action->setChecked(true);
}

void MainWindow::restoreLayout() {
    setTheme(themeOf(settings_.value(QLatin1String(themeKey)).toString()));
    QSize first(1400, 860);
    const QSize room = screen()->availableSize() - QSize(0, style()->pixelMetric(QStyle::PM_TitleBarHeight));
    // A screen that could not show the window at all is none to go by.
    if (room.width() >= leastScreen.width() && room.height() >= leastScreen.height())
        first = first.boundedTo(room);
    resize(first);
    restoreGeometry(settings_.value(QLatin1String(geometryKey)).toByteArray());
    session_->splitter().restoreState(settings_.value(QLatin1String(sessionSplitKey)).toByteArray());
    agreement_->splitter().restoreState(settings_.value(QLatin1String(agreementSplitKey)).toByteArray());
    restoreLibraryLayout();
}

void MainWindow::keepLayout() {
    memory_->keep();
    settings_.setValue(QLatin1String(geometryKey), saveGeometry());
    settings_.setValue(QLatin1String(sessionSplitKey), session_->splitter().saveState());
    settings_.setValue(QLatin1String(agreementSplitKey), agreement_->splitter().saveState());
    keepLibraryLayout();
}

void MainWindow::resizeEvent(QResizeEvent* event) {
    QMainWindow::resizeEvent(event);
    if (session_) foldSide();
}

void MainWindow::closeEvent(QCloseEvent* event) {
    if (auto* focus = focusWidget()) focus->clearFocus();  // takes what is being typed
    keepLayout();
    event->accept();
}

}  // namespace beatwitness::app
