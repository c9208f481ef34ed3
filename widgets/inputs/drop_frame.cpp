#include "widgets/inputs/drop_frame.h"

#include <QPainter>

#include "widgets/theme/theme.h"

namespace beatwitness::widgets {

DropFrame::DropFrame(QWidget* parent) : QWidget(parent) {
    setAttribute(Qt::WA_TransparentForMouseEvents);
    hide();
}

void DropFrame::appear(const QString& text) {
    text_ = text;
    setGeometry(parentWidget()->rect());
    raise();
    show();
}

void DropFrame::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    QColor veil = currentPalette().paper;
    veil.setAlphaF(0.94F);
    painter.fillRect(rect(), veil);
    painter.setPen(QPen(currentPalette().accent, 3, Qt::DashLine));
    painter.setBrush(Qt::NoBrush);
    painter.drawRoundedRect(QRectF(rect()).adjusted(16, 16, -16, -16), 10, 10);
    painter.setPen(currentPalette().ink);
    painter.setFont(headingFont());
    painter.drawText(rect(), Qt::AlignCenter, text_);
}

}  // namespace beatwitness::widgets
