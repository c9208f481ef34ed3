#include "widgets/inputs/swatch.h"

#include <QPainter>

#include "widgets/theme/theme.h"

namespace beatwitness::widgets {

Swatch::Swatch(int trace, QWidget* parent) : QWidget(parent), trace_(trace) {
    setFixedSize(4, fontMetrics().height());
}

void Swatch::paintEvent(QPaintEvent*) {
    const auto& palette = currentPalette();
    QPainter(this).fillRect(rect(), trace_ == reference ? palette.reference : palette.trace(trace_));
}

}  // namespace beatwitness::widgets
