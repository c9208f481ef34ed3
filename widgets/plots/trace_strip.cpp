#include "widgets/plots/trace_strip.h"

#include <QPainter>
#include <algorithm>

#include "widgets/format/number_text.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {

TraceStrip::TraceStrip(QWidget* parent) : QWidget(parent) {
    setObjectName(QStringLiteral("traceStrip"));
    setAccessibleName(tr("Traces"));
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
}

void TraceStrip::setLines(std::vector<DrawnLine> lines, const QString& words, const QString& empty) {
    lines_ = std::move(lines);
    std::erase_if(lines_, [](const DrawnLine& line) { return line.values.empty(); });
    empty_ = empty;
    setAccessibleDescription(lines_.empty() ? empty : words);
    update();
}

QSize TraceStrip::sizeHint() const {
    return {fontMetrics().averageCharWidth() * 60, fontMetrics().height() * 8};
}

QSize TraceStrip::minimumSizeHint() const {
    return {fontMetrics().averageCharWidth() * 24, fontMetrics().height() * 5};
}

void TraceStrip::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const auto& palette = currentPalette();
    painter.fillRect(rect(), palette.paper);
    painter.setFont(smallFont());
    painter.setPen(palette.quietInk);
    if (lines_.empty()) {
        painter.drawText(rect(), Qt::AlignCenter | Qt::TextWordWrap, empty_);
        return;
    }
    Viewport view;
    view.begin_s = lines_.front().seconds.front();
    view.end_s = lines_.front().seconds.back();
    view.lowest = 1e9;
    view.highest = -1e9;
    for (const auto& line : lines_) {
        view.begin_s = std::min(view.begin_s, line.seconds.front());
        view.end_s = std::max(view.end_s, line.seconds.back());
        const auto [lowest, highest] = line.valueRange();
        view.lowest = std::min(view.lowest, lowest);
        view.highest = std::max(view.highest, highest);
    }
    const QString top = tr("%1 bpm").arg(numberText(view.highest, 0)), bottom = numberText(view.lowest, 0);
    const QString first = sessionTimeText(view.begin_s), last = sessionTimeText(view.end_s);
    if (view.end_s <= view.begin_s) view.end_s = view.begin_s + 1;
    if (view.highest <= view.lowest) view.highest = view.lowest + 1;
    const QFontMetrics metrics(smallFont());
    const int left = metrics.horizontalAdvance(top) + metrics.averageCharWidth() * 2;
    const int below = metrics.height() + 4;
    view.rect = QRectF(left, 6, std::max(width() - left - 10, 10), std::max(height() - below - 10, 10));
    painter.drawText(QRect(0, 4, left - metrics.averageCharWidth(), metrics.height()), Qt::AlignRight, top);
    painter.drawText(QRect(0, static_cast<int>(view.rect.bottom()) - metrics.height() + 2,
                           left - metrics.averageCharWidth(), metrics.height()),
                     Qt::AlignRight, bottom);
    const QRect times(left, height() - below, static_cast<int>(view.rect.width()), below);
    painter.drawText(times, Qt::AlignLeft | Qt::AlignVCenter, first);
    painter.drawText(times, Qt::AlignRight | Qt::AlignVCenter, last);
    image_.draw(painter, view, lines_);
}

}  // namespace beatwitness::widgets
