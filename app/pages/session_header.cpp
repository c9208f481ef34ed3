#include "app/pages/session_header.h"

#include <QAction>
#include <QButtonGroup>
#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QSignalBlocker>
#include <QToolButton>

#include "app/document/document.h"
#include "app/document/session_words.h"
#include "app/document/stored_session.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QToolButton* headerButton(const QString& text, QWidget* parent) {
    auto* button = new QToolButton(parent);
    button->setText(text);
    button->setMinimumHeight(28);
    button->setFocusPolicy(Qt::StrongFocus);
    return button;
}

}  // namespace

SessionHeader::SessionHeader(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      title_(makeHeading({}, this)),
      subtitle_(makeCaption({}, this)),
      tests_(new QComboBox(this)),
      swap_(headerButton({}, this)),
      recorded_(headerButton(tr("As recorded"), this)),
      aligned_(headerButton(tr("Aligned"), this)) {
    setAccessibleName(tr("Session"));
    title_->setObjectName(QStringLiteral("sessionTitle"));
    tests_->setMinimumHeight(28);
    tests_->setAccessibleName(tr("Test in front"));
    tests_->setToolTip(tr("The test whose errors, flags, clock and numbers are shown"));
    auto* clocks = new QButtonGroup(this);
    for (auto* button : {recorded_, aligned_}) {
        button->setCheckable(true);
        button->setStyleSheet(QStringLiteral(
            "QToolButton { border: 1px solid palette(mid); padding: 4px 10px; background: palette(button); }"
            "QToolButton:checked { background: palette(highlight); color: palette(highlighted-text); }"
            "QToolButton:focus { border: 2px solid palette(text); }"
            "QToolButton:disabled { color: palette(placeholder-text); }"));
        button->setToolTip(tr("Which clock is shown (A)"));
        clocks->addButton(button);
    }
    auto* words = new QVBoxLayout;
    words->setSpacing(1);
    words->addWidget(title_);
    words->addWidget(subtitle_);
    auto* pair = new QHBoxLayout;
    pair->setSpacing(0);
    pair->addWidget(recorded_);
    pair->addWidget(aligned_);
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(20, 8, 20, 6);
    row->setSpacing(10);
    row->addLayout(words, 1);
    row->addWidget(tests_);
    row->addWidget(swap_);
    row->addLayout(pair);

    connect(tests_, &QComboBox::activated, this,
            [this](int index) { document_.setFocusTest(static_cast<std::size_t>(index)); });
    connect(recorded_, &QToolButton::clicked, this, [this] { document_.setWantsAligned(false); });
    connect(aligned_, &QToolButton::clicked, this, [this] { document_.setWantsAligned(true); });
    connect(&document_, &Document::analysisChanged, this, &SessionHeader::refreshTests);
    connect(&document_, &Document::clockViewChanged, this, &SessionHeader::refresh);
    connect(&document_, &Document::focusTestChanged, this, &SessionHeader::refresh);
}

void SessionHeader::setSwapAction(QAction* swap) {
    connect(swap_, &QToolButton::clicked, swap, &QAction::trigger);
    swap_->setText(tr("Swap roles"));
    swap_->setIcon(swap->icon());
    swap_->setToolButtonStyle(Qt::ToolButtonTextBesideIcon);
    swap_->setToolTip(tr("Reference and test change places"));
}

void SessionHeader::setStoredSession(StoredSession& session) {
    stored_ = &session;
    connect(stored_, &StoredSession::changed, this, &SessionHeader::refresh);
}

void SessionHeader::refreshTests() {
    const QSignalBlocker quiet(tests_);
    tests_->clear();
    if (!document_.hasSession()) return;
    const auto count = static_cast<int>(document_.analysis()->tests.size());
    for (int i = 0; i < count; ++i)
        tests_->addItem(testName(*document_.analysis(), i));
    tests_->setVisible(count > 1);
    refresh();
}

void SessionHeader::refresh() {
    if (!document_.hasSession()) return;
    const auto front = static_cast<int>(document_.focusTest());
    title_->setText(titleOf(*document_.analysis(), front));
    subtitle_->setText(subtitleOf(*document_.analysis(), front, document_.showsAligned()));
    if (stored_ && stored_->row() && document_.isStored() && !document_.isBlind()) {
        title_->setText(QString::fromStdString(stored_->row()->name));
        subtitle_->setText(storedSubtitle(*stored_->row(), *document_.analysis(), front));
    }
    tests_->setCurrentIndex(front);
    aligned_->setEnabled(document_.canShowAligned());
    (document_.showsAligned() ? aligned_ : recorded_)->setChecked(true);
}

}  // namespace beatwitness::app
