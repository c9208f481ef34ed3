#include "app/pages/side_column.h"

#include <QScrollBar>
#include <QVBoxLayout>

namespace beatwitness::app {

SideColumn::SideColumn(const QString& name, const QList<QWidget*>& sections, QWidget* parent)
    : QScrollArea(parent) {
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

}  // namespace beatwitness::app
