#include "app/pages/agreement/agreement_page.h"

#include <QClipboard>
#include <QComboBox>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QScrollBar>
#include <QSplitter>
#include <QStackedWidget>
#include <QTableView>
#include <algorithm>
#include <set>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "app/document/project_answer.h"
#include "app/document/selection.h"
#include "app/document/session_words.h"
#include "app/document/stored_session.h"
#include "app/pages/agreement/group_table.h"
#include "app/pages/agreement/pooled_side.h"
#include "app/pages/agreement/scope_bar.h"
#include "app/pages/side_column.h"
#include "core/evaluation/narrowed_evidence.h"
#include "widgets/background/progress_strip.h"
#include "widgets/figures/scene_view.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/page_tabs.h"
#include "widgets/inputs/section.h"
#include "widgets/models/agreement_table_model.h"
#include "widgets/plots/agreement_map_view.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

AgreementPage::AgreementPage(Document& document, StoredSession& stored, ProjectAnswer& answer,
                             QWidget* parent)
    : QWidget(parent), document_(document), stored_(stored), answer_(answer) {
    splitter_ = new QSplitter(Qt::Horizontal, this);
    splitter_->setChildrenCollapsible(false);
    splitter_->setHandleWidth(6);
    splitter_->addWidget(makeMiddle());
    splitter_->addWidget(makeSide());
    splitter_->setStretchFactor(0, 1);
    splitter_->setStretchFactor(1, 0);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(new ProgressStrip(answer_.runner(), this));
    column->addWidget(splitter_, 1);
    connectParts();
    refreshAvailable();
}

void AgreementPage::connectParts() {
    connect(&document_, &Document::analysisChanged, this, &AgreementPage::refreshSession);
    connect(&document_, &Document::clockViewChanged, this, &AgreementPage::refreshClock);
    connect(&document_, &Document::focusTestChanged, this, &AgreementPage::refreshClock);
    auto& selection = document_.selection();
    connect(map_, &AgreementMapView::boxSelected, this, [this](std::optional<agreement::RateBox> box) {
        if (!showsProject()) return document_.selection().setBox(box);
        box_ = box;
        map_->setArea(box_, {});
        tellBox();
    });
    connect(map_, &AgreementMapView::entered, this, &AgreementPage::openFullest);
    connect(&selection, &Selection::changed, this, &AgreementPage::refreshSelection);
    connect(&document_.annotations(), &Annotations::changed, this, &AgreementPage::refreshLoose);
    connect(scope_, &ScopeBar::scopeChanged, this, [this] {
        refreshClock();
        emit scopeChanged();
    });
    connect(scope_, &ScopeBar::changed, this, &AgreementPage::ask);
    connect(scope_, &ScopeBar::clockChanged, this, [this](bool aligned) {
        if (!showsProject()) document_.setWantsAligned(aligned);
        ask();
    });
    connect(parts_, &PageTabs::currentChanged, this, &AgreementPage::ask);
    connect(&answer_, &ProjectAnswer::changed, this, &AgreementPage::showAnswer);
    connect(groups_, &GroupTable::meaningChanged, pooled_, &PooledSide::setMeaning);
}

QWidget* AgreementPage::makeMiddle() {
    auto* middle = new QuietBox(QPalette::Base, this);
    scope_ = new ScopeBar(middle);
    heading_ = makeCaption({}, middle);
    heading_->setObjectName(QStringLiteral("agreementHeading"));
    parts_ = new PageTabs(middle);
    parts_->setAccessibleName(tr("View of the agreement"));
    parts_->setObjectName(QStringLiteral("agreementParts"));
    parts_->setUsesScrollButtons(true);
    for (const auto& name : {tr("Map"), tr("Difference"), tr("Distribution"), tr("By heart rate"),
                             tr("Small maps"), tr("Made of"), tr("Table")})
        parts_->addTab(name);
    map_ = new AgreementMapView(middle);
    map_->setObjectName(QStringLiteral("agreementMap"));
    scene_ = new SceneView(middle);
    scene_->setObjectName(QStringLiteral("agreementScene"));
    groups_ = new GroupTable(middle);
    nothing_ = makeBody({}, middle);
    nothing_->setAlignment(Qt::AlignCenter);
    middle_ = new QStackedWidget(middle);
    for (auto* view : std::initializer_list<QWidget*>{map_, scene_, groups_, nothing_})
        middle_->addWidget(view);
    auto* column = new QVBoxLayout(middle);
    column->setContentsMargins(12, 8, 12, 8);
    column->setSpacing(6);
    column->addWidget(scope_);
    column->addWidget(parts_);
    column->addWidget(heading_);
    column->addWidget(middle_, 1);
    controls_ = makeControls(middle);
    column->addWidget(controls_);
    return middle;
}

QWidget* AgreementPage::makeControls(QWidget* parent) {
    auto* controls = new QWidget(parent);
    mapControls_ = new QWidget(controls);
    auto* width = new QComboBox(mapControls_);
    for (const int bpm : {1, 2, 5})
        width->addItem(tr("%1 bpm").arg(bpm), bpm);
    width->setAccessibleName(tr("Width of a cell of the map"));
    auto* scale = new QComboBox(mapControls_);
    scale->addItems({tr("logarithmic"), tr("cube root"), tr("linear")});
    scale->setAccessibleName(tr("How colour goes with the count"));
    counts_ = new QComboBox(mapControls_);
    counts_->addItems({tr("seconds"), tr("sessions")});
    counts_->setAccessibleName(tr("What a cell counts"));
    counts_->setToolTip(tr("Seconds in a cell, or sessions that were ever in it"));
    readout_ = makeCaption({}, controls);
    readout_->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    auto* inMap = new QHBoxLayout(mapControls_);
    inMap->setContentsMargins(0, 0, 0, 0);
    for (auto* widget :
         std::initializer_list<QWidget*>{new QLabel(tr("Cells"), mapControls_), width,
                                         new QLabel(tr("Colour"), mapControls_), scale, counts_}) {
        widget->setMinimumHeight(26);
        inMap->addWidget(widget);
    }
    auto* row = new QHBoxLayout(controls);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(mapControls_);
    row->addWidget(readout_, 1);
    connect(width, &QComboBox::activated, this,
            [this, width](int index) { map_->setCellWidth(width->itemData(index).toInt()); });
    connect(scale, &QComboBox::activated, this,
            [this](int index) { map_->setScale(static_cast<ColourScale>(index)); });
    connect(counts_, &QComboBox::activated, this, [this](int index) { map_->setCountsSessions(index == 1); });
    connect(map_, &AgreementMapView::readoutChanged, this, [this](const QString& text) {
        if (text.isEmpty() && box_ && showsProject())
            tellBox();
        else
            readout_->setText(text);
    });
    return controls;
}

QWidget* AgreementPage::makeSide() {
    wordsPart_ = makeWords();
    tablePart_ = makeTable();
    pooled_ = new PooledSide(this);
    side_ = new SideColumn(tr("Summary and numbers"), {wordsPart_, tablePart_, pooled_}, this);
    side_->setMinimumWidth(fontMetrics().averageCharWidth() * 54);  // two devices with their intervals
    return side_;
}

QWidget* AgreementPage::makeWords() {
    auto* box = new QuietBox(QPalette::Button, this);
    words_ = makeBody({}, box);
    words_->setObjectName(QStringLiteral("plainWords"));
    auto* column = new QVBoxLayout(box);
    column->setContentsMargins(14, 10, 14, 12);
    column->addWidget(makeStrong(tr("In plain words"), box));
    column->addWidget(words_);
    return box;
}

QWidget* AgreementPage::makeTable() {
    auto* section = new Section(tr("Numbers"), this);
    section->setState(tr("Ctrl+C copies"));
    model_ = new AgreementTableModel(this);
    table_ = new QTableView(section);
    table_->setObjectName(QStringLiteral("agreementTable"));
    table_->setAccessibleName(tr("Agreement, as recorded and aligned"));
    table_->setModel(model_);
    table_->setShowGrid(false);
    // Figures under a rule, without boxes about the headings.
    table_->setStyleSheet(QStringLiteral(
        "QHeaderView, QHeaderView::section { background: palette(window); border: none; padding: 0 4px; }"
        "QTableCornerButton::section { background: palette(window); border: none; }"
        "QTableView { background: palette(window); }"));
    table_->setFrameShape(QFrame::NoFrame);
    table_->setCornerButtonEnabled(false);
    table_->setTabKeyNavigation(false);
    table_->setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    table_->horizontalHeader()->setSectionResizeMode(QHeaderView::Stretch);
    table_->horizontalHeader()->setSectionsClickable(false);
    table_->horizontalHeader()->setHighlightSections(false);
    table_->verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    table_->verticalHeader()->setDefaultSectionSize(std::max(24, table_->fontMetrics().height() + 7));
    table_->verticalHeader()->setHighlightSections(false);
    table_->installEventFilter(this);
    section->body()->addWidget(table_);
    return section;
}

bool AgreementPage::eventFilter(QObject* watched, QEvent* event) {
    if (watched == table_ && event->type() == QEvent::KeyPress &&
        static_cast<QKeyEvent*>(event)->matches(QKeySequence::Copy)) {
        QGuiApplication::clipboard()->setText(numbersAsText(true));
        return true;
    }
    return QWidget::eventFilter(watched, event);
}

QString AgreementPage::numbersAsText(bool selectedOnly) const {
    if (static_cast<report::AgreementPart>(parts_->currentIndex()) == report::AgreementPart::Table)
        return groups_->asText(selectedOnly);
    if (showsProject()) return pooled_->asText();
    std::set<int> rows, columns;
    if (selectedOnly)
        for (const auto& index : table_->selectionModel()->selectedIndexes()) {
            rows.insert(index.row());
            columns.insert(index.column());
        }
    return model_->tabSeparated(QList<int>(rows.begin(), rows.end()),
                                QList<int>(columns.begin(), columns.end()));
}

void AgreementPage::refreshSession() {
    model_->setSession(document_.analysis());
    fitTable();
    refreshAvailable();
    refreshLoose();
    refreshClock();
}

void AgreementPage::refreshAvailable() {
    scope_->setAvailable(document_.hasSession(), project_.has_value());
}

bool AgreementPage::showsProject() const {
    return scope_->isProject();
}

void AgreementPage::showProject(bool project) {
    scope_->setProject(project && project_);
    refreshClock();
    emit scopeChanged();
}

void AgreementPage::showPart(report::AgreementPart part) {
    parts_->setCurrentIndex(static_cast<int>(part));
}

void AgreementPage::setInFront(bool inFront) {
    answer_.setShown(inFront);
    if (inFront) ask();
}

void AgreementPage::setProject(std::optional<library::ProjectId> project) {
    project_ = project;
    box_.reset();
    answer_.setProject(project);
    refreshAvailable();
    refreshClock();
}

void AgreementPage::refreshClock() {
    const bool project = showsProject();
    wordsPart_->setVisible(!project);
    tablePart_->setVisible(!project);
    counts_->setVisible(project);
    refreshLoose();
    if (!project && document_.hasSession()) {
        scope_->setAligned(document_.showsAligned());
        const auto front = static_cast<int>(document_.focusTest());
        const bool aligned = document_.showsAligned();
        map_->setCountsSessions(false);
        map_->setPairs(document_.analysis(), front, aligned);
        refreshSelection();
        model_->setShown(front, aligned);
        table_->scrollTo(model_->index(0, model_->shownColumn()));
        words_->setText(plainWords(*document_.analysis(), front, aligned).join(QLatin1Char(' ')));
    } else if (!project) {
        map_->clear();
    }
    ask();
}

/// A pair that no library holds is its own evidence.
void AgreementPage::refreshLoose() {
    const bool stored = stored_.id().has_value() && project_;
    scope_->setFaultsChoice(showsProject() || stored);
    if (showsProject() || stored || !document_.hasSession()) return answer_.setLoose(nullptr);
    const auto& session = *document_.analysis();
    std::vector<std::string> devices;
    for (int i = 0; i < static_cast<int>(session.tests.size()); ++i)
        devices.push_back(testName(session, i).toStdString());
    std::vector<evaluation::EvidencePhase> phases;
    const auto& annotations = document_.annotations();
    for (const auto& phase : annotations.phases())
        phases.push_back({trace::phaseLabel(phase), std::string{trace::phaseKindName(phase.kind)},
                          annotations.secondsAt(phase.span.begin), annotations.secondsAt(phase.span.end)});
    auto evidence = std::make_shared<evaluation::ProjectEvidence>();
    evidence->evidence = evaluation::evidenceOfSession({session, devices, phases, {}});
    evidence->sessionsAsked = 1;
    answer_.setLoose(std::move(evidence));
}

void AgreementPage::ask() {
    auto asked = scope_->asked(answer_.ask());
    asked.part = static_cast<report::AgreementPart>(parts_->currentIndex());
    asked.scope.sessions.clear();
    if (!showsProject() && stored_.id() && project_) asked.scope.sessions = {stored_.id()->value};
    answer_.setAsk(asked);
    showAnswer();
}

void AgreementPage::showAnswer() {
    const auto part = static_cast<report::AgreementPart>(parts_->currentIndex());
    const auto& view = answer_.view();
    if (view) scope_->setChoices(view->choices, view->ask.devices);
    const bool ownMap = !showsProject() && part == report::AgreementPart::Map;
    // What answers another question than the one in sight would mislead.
    const bool answers = view && view->ask.part == part && !answer_.isBusy();
    if (ownMap) {
        middle_->setCurrentWidget(map_);
    } else if (answer_.fault()) {
        nothing_->setText(QString::fromStdString(sentence(*answer_.fault())));
        middle_->setCurrentWidget(nothing_);
    } else if (view && view->ask.part == part) {
        showPart(*view);
    } else {
        nothing_->setText(answer_.isBusy() ? tr("Working it out …") : tr("There is nothing to show yet."));
        middle_->setCurrentWidget(nothing_);
    }
    mapControls_->setVisible(middle_->currentWidget() == map_);
    controls_->setVisible(middle_->currentWidget() == map_);
    pooled_->setVisible(view != nullptr && showsProject());
    if (view && answers && showsProject()) pooled_->setView(*view, scope_->sessionWeighted());
    showHeading();
}

void AgreementPage::showHeading() {
    const auto& view = answer_.view();
    heading_->setVisible(view && showsProject() && middle_->currentWidget() != scene_);
    if (!view) return;
    const auto devices = view->ask.scope.devices.empty()
                             ? tr("all devices")
                             : QString::fromStdString(view->ask.scope.devices.front());
    const QString sessions =
        view->sessions == 1 ? tr("1 session") : tr("%1 sessions").arg(countText(view->sessions));
    QString text =
        tr("%1 · %2 · %3 pairs").arg(devices, sessions, countText(static_cast<std::size_t>(view->pairs)));
    if (answer_.isBusy()) text += tr(" · being worked out …");
    heading_->setText(text);
}

void AgreementPage::showPart(const report::AgreementView& view) {
    using report::AgreementPart;
    if (!view.nothing.empty()) {
        nothing_->setText(QString::fromStdString(view.nothing));
        middle_->setCurrentWidget(nothing_);
    } else if (view.ask.part == AgreementPart::Table) {
        groups_->setGroups(view.table, scope_->sessionWeighted());
        middle_->setCurrentWidget(groups_);
    } else if (view.scene) {
        scene_->setScene(*view.scene);
        middle_->setCurrentWidget(scene_);
    } else {
        showPooledMap(view);
        middle_->setCurrentWidget(map_);
    }
}

void AgreementPage::showPooledMap(const report::AgreementView& view) {
    std::vector<std::shared_ptr<const agreement::PairedSeconds>> sessions;
    for (const auto& session : view.map)
        sessions.push_back(session.seconds);
    const auto& device = view.map.front().device;
    const auto place = std::ranges::find(view.ask.devices, device) - view.ask.devices.begin();
    const auto at = static_cast<std::size_t>(place);
    map_->setCountsSessions(counts_->currentIndex() == 1);
    map_->setLit(nullptr);
    map_->setPooled(std::move(sessions), QString::fromStdString(device),
                    at < view.ask.colours.size() ? view.ask.colours[at] : static_cast<int>(place));
    map_->setArea(box_, {});
}

AgreementPage::Held AgreementPage::heldIn(const agreement::RateBox& box) const {
    Held held;
    if (!answer_.view()) return held;
    for (const auto& one : answer_.view()->map) {
        const auto& seconds = *one.seconds;
        double inside = 0;
        for (std::size_t i = 0; i < seconds.size(); ++i) {
            if (!seconds.paired[i]) continue;
            ++held.all;
            inside += seconds.reference[i] >= box.referenceLow_bpm &&
                      seconds.reference[i] <= box.referenceHigh_bpm && seconds.test[i] >= box.testLow_bpm &&
                      seconds.test[i] <= box.testHigh_bpm;
        }
        held.seconds += inside;
        held.sessions += inside > 0;
        if (inside <= held.fullestSeconds) continue;
        held.fullestSeconds = inside;
        held.fullest = library::SessionId{one.session};
        held.fullestName = QString::fromStdString(one.name);
    }
    return held;
}

void AgreementPage::tellBox() {
    if (!box_) return readout_->clear();
    const auto held = heldIn(*box_);
    if (!held.fullest) return readout_->setText(tr("Nothing lies in there."));
    readout_->setText(
        tr("%1 · %2 · %3 of %4 sessions, most in “%5”: Enter shows them there")
            .arg(secondsText(held.seconds), percentText(Percent{100 * held.seconds / held.all}, 1),
                 countText(held.sessions), countText(answer_.view()->sessions), held.fullestName));
}

void AgreementPage::openFullest() {
    if (!showsProject() || !box_) return;
    if (const auto held = heldIn(*box_); held.fullest) emit sessionAsked(*held.fullest, *box_);
}

std::optional<report::FigureRequest> AgreementPage::figure() const {
    if (!showsProject() || !answer_.view()) return std::nullopt;
    auto request = report::figureOf(answer_.ask());
    if (request)
        request->scale = map_->scale() == ColourScale::Linear     ? report::Cells::Scale::Linear
                         : map_->scale() == ColourScale::CubeRoot ? report::Cells::Scale::CubeRoot
                                                                  : report::Cells::Scale::Log;
    return request;
}

void AgreementPage::refreshSelection() {
    if (showsProject()) return;
    const auto& selection = document_.selection();
    map_->setArea(selection.box(), selection.band());
    map_->setLit(selection.isActive() ? selection.selected().pairs : nullptr);
}

void AgreementPage::fitTable() {
    // Two columns share the width; those of several tests keep their headings whole and scroll sideways.
    const bool several = model_->columnCount() > 2;
    table_->horizontalHeader()->setSectionResizeMode(several ? QHeaderView::ResizeToContents
                                                             : QHeaderView::Stretch);
    const int rows = model_->rowCount() * table_->verticalHeader()->defaultSectionSize();
    const int bar = several ? table_->horizontalScrollBar()->sizeHint().height() : 0;
    table_->setFixedHeight(rows + table_->horizontalHeader()->sizeHint().height() + bar + 4);
}

void AgreementPage::setCursor(std::optional<double> seconds) {
    std::optional<std::pair<double, double>> pair;
    if (seconds && document_.hasSession() && !showsProject()) {
        const auto reading = readingAt(*document_.analysis(), static_cast<int>(document_.focusTest()),
                                       document_.showsAligned(), *seconds);
        if (reading.error) pair = {reading.reference->value, reading.test->value};
    }
    map_->setCursorPair(pair);
}

QList<QWidget*> AgreementPage::panes() const {
    QList<QWidget*> panes{middle_->currentWidget() == groups_ ? static_cast<QWidget*>(groups_)
                          : middle_->currentWidget() == map_  ? static_cast<QWidget*>(map_)
                                                              : parts_};
    panes << (showsProject() ? &pooled_->numbers() : table_) << scope_;
    return panes;
}

}  // namespace beatwitness::app
