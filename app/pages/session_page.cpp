#include "app/pages/session_page.h"

#include <QLabel>
#include <QSplitter>
#include <QStackedWidget>
#include <QToolButton>
#include <QVBoxLayout>
#include <algorithm>
#include <utility>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "app/document/selection.h"
#include "app/pages/clock_panel.h"
#include "app/pages/flags_panel.h"
#include "app/pages/particulars/particulars_panel.h"
#include "app/pages/phases_panel.h"
#include "app/pages/pins_panel.h"
#include "app/pages/play_bar.h"
#include "app/pages/player.h"
#include "app/pages/readout_panel.h"
#include "app/pages/recordings_panel.h"
#include "app/pages/side_column.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/page_tabs.h"
#include "widgets/models/flag_list_model.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using namespace widgets;

SessionPage::SessionPage(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      timeline_(new TimelineView(this)),
      readout_(new ReadoutPanel(document, this)),
      clock_(new ClockPanel(document, this)),
      flags_(new FlagsPanel(document, this)),
      phases_(new PhasesPanel(document, this)),
      pins_(new PinsPanel(document, this)),
      player_(new Player(*timeline_, this)) {
    timeline_->setObjectName(QStringLiteral("timeline"));
    splitter_ = new QSplitter(Qt::Horizontal, this);
    splitter_->setChildrenCollapsible(false);
    splitter_->setHandleWidth(6);
    splitter_->addWidget(makeMiddle());
    splitter_->addWidget(makeSide());
    splitter_->setStretchFactor(0, 1);
    splitter_->setStretchFactor(1, 0);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(splitter_);
    connectDocument();
    connectMarks();
    connectSelection();
}

QWidget* SessionPage::makeMiddle() {
    auto* middle = new QuietBox(QPalette::Base, this);
    explanation_ = new QuietBox(QPalette::Window, middle);
    explanationText_ = makeBody({}, explanation_);
    explanationText_->setObjectName(QStringLiteral("flagExplanation"));
    auto* words = new QVBoxLayout(explanation_);
    words->setContentsMargins(14, 8, 14, 8);
    words->setSpacing(2);
    words->addWidget(makeStrong(tr("Why it was flagged"), explanation_));
    words->addWidget(explanationText_);
    flagButtons_ = new QHBoxLayout;
    flagButtons_->setSpacing(6);
    words->addLayout(flagButtons_);
    auto* column = new QVBoxLayout(middle);
    column->setContentsMargins(12, 8, 12, 8);
    playBar_ = new PlayBar(*player_, middle);
    column->addWidget(timeline_, 1);
    column->addWidget(playBar_);
    column->addWidget(explanation_);
    explanation_->hide();
    return middle;
}

QWidget* SessionPage::makeSide() {
    side_ = new SideColumn(tr("Readout, clock, flags, phases, pins and recordings"),
                           {readout_, clock_, flags_, phases_, pins_, new RecordingsPanel(document_, this)},
                           this);
    sideTabs_ = new PageTabs(this);
    sideTabs_->setAccessibleName(tr("Right side"));
    sideTabs_->addTab(tr("Review"));
    sideTabs_->hide();
    sides_ = new QStackedWidget(this);
    sides_->addWidget(side_);
    connect(sideTabs_, &PageTabs::currentChanged, sides_, &QStackedWidget::setCurrentIndex);
    auto* whole = new QWidget(this);
    auto* column = new QVBoxLayout(whole);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(sideTabs_);
    column->addWidget(sides_, 1);
    return whole;
}

void SessionPage::addParticulars(ParticularsPanel* particulars) {
    particulars_ = particulars;
    sides_->addWidget(particulars);
    sideTabs_->addTab(tr("Particulars"));
    const auto show = [this] {
        // Particulars name the devices.
        const bool shown = document_.isStored() && !document_.isBlind();
        sideTabs_->setVisible(shown);
        if (!shown) sideTabs_->setCurrentIndex(0);
    };
    connect(&document_, &Document::analysisChanged, this, show);
    show();
}

void SessionPage::showParticulars() {
    sideTabs_->setCurrentIndex(1);
    particulars_->takeFocus();
}

void SessionPage::setFlagActions(const QList<QAction*>& actions) {
    for (auto* action : actions) {
        auto* button = new QToolButton(explanation_);
        button->setDefaultAction(action);
        button->setPopupMode(QToolButton::InstantPopup);
        const QString keys = action->shortcut().toString(QKeySequence::NativeText);
        button->setText(keys.isEmpty() ? action->iconText()
                                       : action->iconText() + QLatin1String("  ") + keys);
        button->setToolButtonStyle(Qt::ToolButtonTextOnly);
        flagButtons_->addWidget(button);
    }
    flagButtons_->addStretch(1);
}

void SessionPage::setSideShown(bool shown) {
    splitter_->widget(1)->setVisible(shown);
}

void SessionPage::connectDocument() {
    connect(timeline_, &TimelineView::cursorMoved, readout_, &ReadoutPanel::setCursor);
    connect(timeline_, &TimelineView::cursorMoved, this, &SessionPage::cursorMoved);
    connect(timeline_, &TimelineView::contextChanged, this, [this] {
        const auto index = timeline_->contextIndex();
        readout_->setContext(timeline_->context(), index ? timeline_->contextNames()[*index] : QString());
    });
    connect(clock_, &ClockPanel::correctionTried, timeline_, &TimelineView::setPreview);
    connect(flags_, &FlagsPanel::flagAtHand, this, &SessionPage::explain);
    connect(flags_, &FlagsPanel::goTo, this, &SessionPage::goTo);
    const auto showClock = [this] { timeline_->setAligned(document_.showsAligned()); };
    connect(&document_, &Document::clockViewChanged, this, showClock);
    connect(&document_, &Document::focusTestChanged, this, [this, showClock] {
        timeline_->setFocusTest(static_cast<int>(document_.focusTest()));
        showClock();
    });
    connect(&document_, &Document::recordingsChanged, this, [this] { otherRecordings_ = true; });
    connect(&document_, &Document::analysisChanged, this, &SessionPage::showSession);
}

void SessionPage::showSession() {
    player_->setPlaying(false);
    if (!document_.hasSession()) {
        timeline_->clear();
        return;
    }
    const auto [begin, end] = timeline_->range();
    const auto cursor = timeline_->cursor();
    timeline_->setSession(document_.analysis());
    timeline_->setFocusTest(static_cast<int>(document_.focusTest()));
    timeline_->setAligned(document_.showsAligned());
    timeline_->setSelectedRange(document_.selection().range());
    showMarks();
    // Another alignment of the same recordings: stay where the user was looking.
    if (!std::exchange(otherRecordings_, false)) {
        timeline_->setRange(begin, end);
        timeline_->setCursor(cursor);
    }
}

void SessionPage::explain(const flags::Flag* flag, int index, int count) {
    explanation_->setVisible(flag != nullptr);
    playBar_->setHint(count > 0 ? tr("next flag N \u00B7 previous P") : QString());
    playBar_->setHead(QString());
    if (!flag) return;
    playBar_->setHead(tr("flag %1 of %2 · %3 · %4 to %5")
                          .arg(index + 1)
                          .arg(count)
                          .arg(flagName(flag->kind), sessionTimeText(secondsOf(flag->span.begin)),
                               sessionTimeText(secondsOf(flag->span.end))));
    QString words = QString::fromStdString(flag->because);
    if (flag->verdict) words += QLatin1Char('\n') + tr("Decided: %1.").arg(verdictText(*flag->verdict));
    if (!flag->note.empty())
        words += QLatin1Char('\n') + tr("Note: %1").arg(QString::fromStdString(flag->note));
    explanationText_->setText(words);
}

void SessionPage::goTo(const flags::Flag& flag) {
    const double begin = secondsOf(flag.span.begin), end = secondsOf(flag.span.end);
    timeline_->centreOn({begin, end}, (begin + end) / 2.0);
}

void SessionPage::connectMarks() {
    auto& annotations = document_.annotations();
    const auto show = [this] { showMarks(); };
    connect(&annotations, &Annotations::changed, this, show);
    connect(&annotations, &Annotations::selectionChanged, this, show);
    connect(&annotations, &Annotations::proposalsChanged, this, show);
    connect(timeline_, &TimelineView::phaseSelected, this, [&annotations](std::optional<int> index) {
        annotations.selectPhase(index ? std::optional<std::size_t>(*index) : std::nullopt);
    });
    connect(timeline_, &TimelineView::phaseDrawn, this, [&annotations](double begin, double end) {
        annotations.addPhase({annotations.instantAt(begin), annotations.instantAt(end)},
                             trace::PhaseKind::Effort);
    });
    connect(timeline_, &TimelineView::phaseMoved, this, [&annotations](int index, double begin, double end) {
        const Span<ReferenceClock> span{annotations.instantAt(begin), annotations.instantAt(end)};
        annotations.changePhases(trace::withSpan(annotations.phases(), static_cast<std::size_t>(index), span),
                                 tr("move of a phase"), span.begin);
    });
    connect(timeline_, &TimelineView::proposalTaken, this,
            [&annotations](int index) { annotations.takeProposal(static_cast<std::size_t>(index)); });
    connect(timeline_, &TimelineView::flagPicked, flags_, &FlagsPanel::pick);
    connect(phases_, &PhasesPanel::goTo, this, [this](double begin, double end) {
        timeline_->centreOn({begin, end});
    });
    connect(pins_, &PinsPanel::goTo, this, [this](double seconds) {
        const double half = (timeline_->range().second - timeline_->range().first) / 2;
        if (seconds < timeline_->range().first || seconds > timeline_->range().second)
            timeline_->setRange(seconds - half, seconds + half);
        timeline_->setCursor(seconds);
    });
}

void SessionPage::connectSelection() {
    auto& selection = document_.selection();
    connect(timeline_, &TimelineView::rangeSelected, &selection, &Selection::setRange);
    connect(&selection, &Selection::changed, this, [this, &selection] {
        timeline_->setSelectedRange(selection.range());
        showMarks();
    });
}

void SessionPage::showMarks() {
    TimelineMarks marks;
    if (!document_.hasSession()) return timeline_->setMarks(std::move(marks));
    const auto& annotations = document_.annotations();
    const auto bar = [&](const trace::Phase& phase) {
        return PhaseBar{annotations.secondsAt(phase.span.begin), annotations.secondsAt(phase.span.end),
                        phase.kind, phase.level,
                        phase.label.empty() ? phaseName(phase.kind) : QString::fromStdString(phase.label)};
    };
    for (const auto& phase : annotations.phases())
        marks.phases.push_back(bar(phase));
    for (const auto& phase : annotations.proposals())
        marks.proposals.push_back(bar(phase));
    if (const auto selected = annotations.selectedPhase()) marks.selectedPhase = static_cast<int>(*selected);
    for (const auto& pin : annotations.pins())
        marks.pins.push_back({annotations.secondsAt(pin.at), QString::fromStdString(pin.note)});
    for (const auto anchor : annotations.anchors())
        marks.anchors.push_back(annotations.secondsAt(anchor));
    const auto& selection = document_.selection();
    marks.filtered = selection.isActive();
    for (const auto& stretch : selection.selected().stretches)
        marks.lit.emplace_back(secondsOf(stretch.begin), secondsOf(stretch.end));
    timeline_->setMarks(std::move(marks));
}

void SessionPage::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    // What readout, clock and recordings leave of a high window goes to the flags.
    flags_->setRoom(height() - fontMetrics().height() * 36);
}

QList<QWidget*> SessionPage::panes() const {
    const bool particulars = sides_->currentWidget() != side_;
    return {timeline_, particulars ? static_cast<QWidget*>(particulars_) : side_};
}

}  // namespace beatwitness::app
