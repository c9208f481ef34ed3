#include "app/pages/side_column.h"

#include <QFocusEvent>
#include <QPainter>
#include <QVBoxLayout>

#include "widgets/theme/theme.h"

namespace beatwitness::app {
namespace {

/// A frame over everything that takes no mouse.
class FocusRing : public QWidget {
public:
    explicit FocusRing(QWidget* parent) : QWidget(parent) {
        setAttribute(Qt::WA_TransparentForMouseEvents);
        hide();
    }

protected:
    void paintEvent(QPaintEvent*) override {
        QPainter painter(this);
        painter.setPen(QPen(widgets::currentPalette().accent, 2));
        painter.drawRect(rect().adjusted(1, 1, -1, -1));
    }
};

}  // namespace

SideColumn::SideColumn(const QString& name, const QList<QWidget*>& sections, QWidget* parent)
    : QScrollArea(parent), ring_(new FocusRing(this)) {
    setAccessibleName(name);
    setFrameShape(QFrame::NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setFocusPolicy(Qt::StrongFocus);
    setMinimumWidth(fontMetrics().averageCharWidth() * 42);
    auto* contents = new QWidget(this);
    auto* column = new QVBoxLayout(contents);
    column->setContentsMargins(18, 12, 18, 12);
    column->setSpacing(12);
    for (auto* section : sections)
        column->addWidget(section);
    column->addStretch(1);
    setWidget(contents);
}

QSize SideColumn::sizeHint() const {
    return {fontMetrics().averageCharWidth() * 50, 400};
}

void SideColumn::focusInEvent(QFocusEvent* event) {
    QScrollArea::focusInEvent(event);
    ring_->setGeometry(rect());
    ring_->raise();
    ring_->setVisible(event->reason() != Qt::MouseFocusReason);
}

void SideColumn::focusOutEvent(QFocusEvent* event) {
    QScrollArea::focusOutEvent(event);
    ring_->hide();
}

void SideColumn::resizeEvent(QResizeEvent* event) {
    QScrollArea::resizeEvent(event);
    ring_->setGeometry(rect());
}

}  // namespace beatwitness::app
