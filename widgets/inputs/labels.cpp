#include "widgets/inputs/labels.h"

#include <QFrame>
#include <QPainter>

#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

QLabel* makeLabel(const QString& text, const QFont& font, QPalette::ColorRole role, QWidget* parent) {
    auto* label = new QLabel(text, parent);
    label->setFont(font);
    label->setForegroundRole(role);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    return label;
}

/// A line in the theme's hairline colour.
class Rule : public QWidget {
public:
    explicit Rule(QWidget* parent) : QWidget(parent) { setFixedHeight(1); }

protected:
    void paintEvent(QPaintEvent*) override {
        QPainter(this).fillRect(rect(), palette().color(QPalette::Mid));
    }
};

}  // namespace

QLabel* makeHeading(const QString& text, QWidget* parent) {
    return makeLabel(text, headingFont(), QPalette::WindowText, parent);
}

QLabel* makeStrong(const QString& text, QWidget* parent) {
    return makeLabel(text, strongFont(), QPalette::WindowText, parent);
}

QLabel* makeBody(const QString& text, QWidget* parent) {
    return makeLabel(text, parent->font(), QPalette::WindowText, parent);
}

QLabel* makeCaption(const QString& text, QWidget* parent) {
    return makeLabel(text, smallFont(), QPalette::PlaceholderText, parent);
}

QWidget* makeRule(QWidget* parent) {
    return new Rule(parent);
}

void QuietBox::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette().color(role_));
    painter.drawRoundedRect(rect(), 6, 6);
}

}  // namespace beatwitness::widgets
