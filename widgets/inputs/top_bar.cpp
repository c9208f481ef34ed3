#include "widgets/inputs/top_bar.h"

#include <QGridLayout>
#include <QLabel>
#include <QMenuBar>
#include <QPainter>

#include "widgets/inputs/labels.h"

namespace beatwitness::widgets {

TopBar::TopBar(QMenuBar* menu, QWidget* tabs, QWidget* parent)
    : QWidget(parent), place_(makeCaption({}, this)) {
    menu->setSizePolicy(QSizePolicy::Fixed, QSizePolicy::Preferred);
    menu->setStyleSheet(QStringLiteral("QMenuBar { background: transparent; border: none; }"));
    auto* row = new QGridLayout(this);
    row->setContentsMargins(8, 0, 8, 1);
    row->setSpacing(0);
    // Equal sides keep the switch in the middle of the window.
    row->setColumnStretch(0, 1);
    row->setColumnStretch(2, 1);
    row->addWidget(menu, 0, 0, Qt::AlignLeft | Qt::AlignVCenter);
    row->addWidget(tabs, 0, 1, Qt::AlignBottom);
    row->addItem(new QSpacerItem(menu->sizeHint().width(), 1), 0, 2);
    place_->setWordWrap(false);
    place_->setObjectName(QStringLiteral("place"));
    place_->setContentsMargins(0, 0, 10, 0);
    row->addWidget(place_, 0, 2, Qt::AlignRight | Qt::AlignVCenter);
}

void TopBar::setPlace(const QString& place) {
    place_->setText(place);
}

void TopBar::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.fillRect(rect(), palette().color(QPalette::Window));
    painter.fillRect(QRect(0, height() - 1, width(), 1), palette().color(QPalette::Mid));
}

}  // namespace beatwitness::widgets
