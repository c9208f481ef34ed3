#include "widgets/inputs/message_banner.h"

#include <QAccessible>
#include <QClipboard>
#include <QGuiApplication>
#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QToolButton>

#include "widgets/inputs/labels.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {

MessageBanner::MessageBanner(QWidget* parent)
    : QWidget(parent),
      headline_(makeStrong({}, this)),
      text_(makeBody({}, this)),
      copy_(new QToolButton(this)),
      close_(new QToolButton(this)) {
    setObjectName(QStringLiteral("messageBanner"));
    setAccessibleName(tr("Message"));
    copy_->setText(tr("Copy details"));
    close_->setText(tr("Close"));
    close_->setToolTip(tr("Close this message"));
    for (auto* button : {copy_, close_}) {
        button->setMinimumHeight(26);
        button->setFocusPolicy(Qt::StrongFocus);
    }
    auto* words = new QVBoxLayout;
    words->setSpacing(2);
    words->addWidget(headline_);
    words->addWidget(text_);
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(20, 8, 12, 8);
    row->addLayout(words, 1);
    row->addWidget(copy_, 0, Qt::AlignTop);
    row->addWidget(close_, 0, Qt::AlignTop);
    connect(close_, &QToolButton::clicked, this, &QWidget::hide);
    connect(copy_, &QToolButton::clicked, this, [this] { QGuiApplication::clipboard()->setText(details_); });
    hide();
}

void MessageBanner::showMessage(Tone tone, const QString& headline, const QString& text,
                                const QString& details) {
    tone_ = tone;
    details_ = details;
    headline_->setText(headline);
    text_->setText(text);
    text_->setVisible(!text.isEmpty());
    copy_->setVisible(!details.isEmpty());
    setAccessibleDescription(headline + QLatin1Char(' ') + text);
    show();
    update();
    QAccessibleEvent alert(this, QAccessible::Alert);
    QAccessible::updateAccessibility(&alert);
}

QString MessageBanner::text() const {
    return text_->text();
}

QString MessageBanner::headline() const {
    return headline_->text();
}

void MessageBanner::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const auto& palette = currentPalette();
    painter.fillRect(rect(), palette.raised);
    painter.fillRect(QRect(0, 0, 5, height()), tone_ == Tone::Error ? palette.warning : palette.accent);
    painter.fillRect(QRect(0, height() - 1, width(), 1), palette.hairline);
}

}  // namespace beatwitness::widgets
