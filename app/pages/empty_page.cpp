#include "app/pages/empty_page.h"

#include <QAction>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QVBoxLayout>

#include "widgets/inputs/labels.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QPushButton* buttonFor(QAction* action, const QString& text, QWidget* parent) {
    auto* button = new QPushButton(action->icon(), text, parent);
    button->setMinimumSize(220, 38);
    QObject::connect(button, &QPushButton::clicked, action, &QAction::trigger);
    return button;
}

/// What a library is for, and how to come to one.
QWidget* libraryRow(const QList<QAction*>& actions, QWidget* parent) {
    auto* whole = new QWidget(parent);
    auto* words = makeCaption(
        EmptyPage::tr(
            "A library keeps sessions, their recordings and the plan in one file, and shows at a glance how "
            "each device did in each of them."),
        whole);
    words->setAlignment(Qt::AlignCenter);
    auto* row = new QHBoxLayout;
    row->addStretch(1);
    for (auto* action : actions) {
        if (!action->isVisible()) continue;
        QString text = action->text();
        auto* button = new QPushButton(text.remove(QLatin1Char('&')), whole);
        button->setMinimumSize(button->sizeHint().width() + 16, 32);
        QObject::connect(button, &QPushButton::clicked, action, &QAction::trigger);
        row->addWidget(button);
    }
    row->addStretch(1);
    auto* column = new QVBoxLayout(whole);
    column->setContentsMargins(0, 12, 0, 0);
    column->addWidget(words);
    column->addLayout(row);
    return whole;
}

}  // namespace

EmptyPage::EmptyPage(QAction* open, QAction* sample, const QList<QAction*>& library, QWidget* parent)
    : QWidget(parent), open_(buttonFor(open, tr("Open recordings …"), this)), waiting_(makeStrong({}, this)) {
    auto* middle = new QWidget(this);
    // A fixed width lets the sentences wrap and know their height.
    middle->setFixedWidth(fontMetrics().averageCharWidth() * 90);
    sentence_ = makeHeading({}, middle);
    auto* hint =
        makeCaption(tr("Or drop the files, or a folder of them, anywhere on this window: FIT, TCX, GPX or "
                       "separated text (CSV), one reference and one or more devices."),
                    middle);
    for (auto* label : {sentence_, hint, waiting_})
        label->setAlignment(Qt::AlignCenter);
    open_->setDefault(true);
    open_->setAutoDefault(true);
    auto* words = new QVBoxLayout(middle);
    words->setSpacing(16);
    words->addWidget(sentence_);
    words->addWidget(waiting_);
    words->addWidget(open_, 0, Qt::AlignHCenter);
    if (sample->isEnabled())
        words->addWidget(buttonFor(sample, tr("Open the sample pair"), middle), 0, Qt::AlignHCenter);
    words->addWidget(hint);
    library_ = libraryRow(library, middle);
    words->addWidget(library_);
    setLibrary({});
    auto* column = new QVBoxLayout(this);
    column->addStretch(2);
    auto* row = new QHBoxLayout;  // stretches, not an alignment: that would lose the height of wrapped lines
    row->addStretch(1);
    row->addWidget(middle);
    row->addStretch(1);
    column->addLayout(row);
    column->addStretch(3);
    waiting_->hide();
}

void EmptyPage::setLibrary(const QString& name) {
    library_->setVisible(name.isEmpty());
    sentence_->setText(
        name.isEmpty()
            ? tr("See how well a wearable’s heart rate agrees with a strap: open the two "
                 "recordings of one workout.")
            : tr("Choose a session at the left, or drop recordings to keep them in %1.").arg(name));
}

void EmptyPage::setWaiting(const QString& text) {
    waiting_->setText(text);
    waiting_->setVisible(!text.isEmpty());
}

void EmptyPage::paintEvent(QPaintEvent*) {
    QPainter(this).fillRect(rect(), palette().color(QPalette::Base));
}

}  // namespace beatwitness::app
