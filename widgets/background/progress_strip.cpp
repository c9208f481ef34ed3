#include "widgets/background/progress_strip.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QProgressBar>
#include <QPushButton>
#include <cmath>

#include "widgets/background/task_runner.h"

namespace beatwitness::widgets {

ProgressStrip::ProgressStrip(TaskRunner& runner, QWidget* parent)
    : QWidget(parent),
      what_(new QLabel(this)),
      bar_(new QProgressBar(this)),
      cancel_(new QPushButton(tr("Cancel"), this)) {
    setObjectName(QStringLiteral("progressStrip"));
    bar_->setAccessibleName(tr("Progress"));
    bar_->setFixedWidth(fontMetrics().averageCharWidth() * 30);
    cancel_->setAccessibleName(tr("Cancel the work at hand"));
    cancel_->setShortcut(QKeySequence(Qt::Key_Escape));
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(16, 6, 16, 6);
    row->addWidget(what_);
    row->addWidget(bar_);
    row->addWidget(cancel_);
    row->addStretch(1);

    delay_.setSingleShot(true);
    delay_.setTimerType(Qt::PreciseTimer);  // a coarse one may fire a twentieth early
    delay_.setInterval(showAfter_ms);
    connect(&delay_, &QTimer::timeout, this, &QWidget::show);
    connect(&runner, &TaskRunner::started, this, &ProgressStrip::begin);
    connect(&runner, &TaskRunner::progressed, bar_, [this](double fraction) {
        bar_->setRange(0, 100);
        bar_->setValue(static_cast<int>(std::lround(fraction * 100.0)));
    });
    connect(&runner, &TaskRunner::finished, this, &ProgressStrip::end);
    connect(&runner, &TaskRunner::cancelled, this, &ProgressStrip::end);
    connect(cancel_, &QPushButton::clicked, &runner, &TaskRunner::cancel);
    hide();
}

void ProgressStrip::begin(const QString& what) {
    what_->setText(what);
    bar_->setRange(0, 0);  // how far it is, is not known before the first report
    // A chain of runs (read, then analyse) is one piece of work to the user.
    if (isHidden() && !delay_.isActive()) delay_.start();
}

void ProgressStrip::end() {
    delay_.stop();
    hide();
}

}  // namespace beatwitness::widgets
