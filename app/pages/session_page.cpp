#include "app/pages/session_page.h"

#include <QLabel>
#include <QSplitter>
#include <QVBoxLayout>
#include <algorithm>
#include <utility>

#include "app/document/document.h"
#include "app/pages/clock_panel.h"
#include "app/pages/flags_panel.h"
#include "app/pages/readout_panel.h"
#include "app/pages/recordings_panel.h"
#include "app/pages/side_column.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using namespace widgets;

namespace {
/// A flag is shown in the middle of three times its length, yet never closer than this.
constexpr double leastAroundFlag_s = 60.0;
}  // namespace

SessionPage::SessionPage(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      timeline_(new TimelineView(this)),
      readout_(new ReadoutPanel(document, this)),
      clock_(new ClockPanel(document, this)),
      flags_(new FlagsPanel(document, this)) {
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
}

QWidget* SessionPage::makeMiddle() {
    auto* middle = new QuietBox(QPalette::Base, this);
    explanation_ = new QuietBox(QPalette::Window, middle);
    explanationHead_ = makeStrong({}, explanation_);
    explanationText_ = makeBody({}, explanation_);
    explanationText_->setObjectName(QStringLiteral("flagExplanation"));
    auto* words = new QVBoxLayout(explanation_);
    words->setContentsMargins(14, 8, 14, 8);
    words->setSpacing(2);
    words->addWidget(explanationHead_);
    words->addWidget(explanationText_);
    auto* column = new QVBoxLayout(middle);
    column->setContentsMargins(12, 8, 12, 8);
    column->addWidget(timeline_, 1);
    column->addWidget(explanation_);
    explanation_->hide();
    return middle;
}

QWidget* SessionPage::makeSide() {
    side_ = new SideColumn(tr("Readout, clock, flags and recordings"),
                           {readout_, clock_, flags_, new RecordingsPanel(document_, this)}, this);
    return side_;
}

void SessionPage::connectDocument() {
    connect(timeline_, &TimelineView::cursorMoved, readout_, &ReadoutPanel::setCursor);
    connect(timeline_, &TimelineView::cursorMoved, this, &SessionPage::cursorMoved);
    connect(timeline_, &TimelineView::contextChanged, this, [this] {
        const auto index = timeline_->contextIndex();
        readout_->setContext(timeline_->context(), index ? timeline_->contextNames()[*index] : QString());
    });
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
    if (!document_.hasSession()) {
        timeline_->clear();
        return;
    }
    const auto [begin, end] = timeline_->range();
    const auto cursor = timeline_->cursor();
    timeline_->setSession(document_.analysis());
    timeline_->setFocusTest(static_cast<int>(document_.focusTest()));
    timeline_->setAligned(document_.showsAligned());
    // Another alignment of the same recordings: stay where the user was looking.
    if (!std::exchange(otherRecordings_, false)) {
        timeline_->setRange(begin, end);
        timeline_->setCursor(cursor);
    }
}

void SessionPage::explain(const flags::Flag* flag, int index, int count) {
    explanation_->setVisible(flag != nullptr);
    if (!flag) return;
    explanationHead_->setText(tr("flag %1 of %2 · %3 · %4 to %5")
                                  .arg(index + 1)
                                  .arg(count)
                                  .arg(flagName(flag->kind), sessionTimeText(secondsOf(flag->span.begin)),
                                       sessionTimeText(secondsOf(flag->span.end))));
    explanationText_->setText(QString::fromStdString(flag->because));
}

void SessionPage::goTo(const flags::Flag& flag) {
    const double begin = secondsOf(flag.span.begin), end = secondsOf(flag.span.end);
    const double half = std::max(3.0 * (end - begin), leastAroundFlag_s) / 2.0;
    const double middle = (begin + end) / 2.0;
    timeline_->setRange(middle - half, middle + half);
    timeline_->setCursor(middle);
}

void SessionPage::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    // What readout, clock and recordings leave of a high window goes to the flags.
    flags_->setRoom(height() - fontMetrics().height() * 36);
}

QList<QWidget*> SessionPage::panes() const {
    return {timeline_, side_};
}

}  // namespace beatwitness::app
