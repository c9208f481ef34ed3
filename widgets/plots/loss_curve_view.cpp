#include "widgets/plots/loss_curve_view.h"

#include <QPainter>
#include <algorithm>
#include <cmath>

#include "widgets/format/number_text.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

QString offsetSeconds(double offset_s) {
    return signedText(offset_s, 0) + QChar::Nbsp + QLatin1Char('s');
}

/// A curve of a good pair is flat but for a dip: drawn from zero, so that its depth is honest.
struct Plane {
    QRectF rect;
    double first_s, last_s, most_bpm;

    [[nodiscard]] double x(double offset_s) const {
        return rect.left() + (offset_s - first_s) / (last_s - first_s) * rect.width();
    }
    [[nodiscard]] double y(double loss_bpm) const {
        return rect.bottom() - loss_bpm / most_bpm * rect.height();
    }
};

Plane planeOf(const std::vector<alignment::LossPoint>& curve, const QRectF& rect) {
    const auto most = std::ranges::max(curve, {}, &alignment::LossPoint::loss_bpm).loss_bpm;
    const double first = curve.front().offset.value, last = curve.back().offset.value;
    return {rect, first, last > first ? last : first + 1, most > 0 ? most * 1.05 : 1.0};
}

void drawEstimate(QPainter& painter, const Plane& plane, const alignment::Alignment& alignment) {
    const Palette& palette = currentPalette();
    if (alignment.offsetInterval_s) {
        const double left =
            std::clamp(plane.x(alignment.offsetInterval_s->lower), plane.rect.left(), plane.rect.right());
        const double right =
            std::clamp(plane.x(alignment.offsetInterval_s->upper), plane.rect.left(), plane.rect.right());
        QColor tint = palette.accent;
        tint.setAlphaF(0.28F);
        painter.fillRect(QRectF(left, plane.rect.top(), std::max(2.0, right - left), plane.rect.height()),
                         tint);
    }
    if (!alignment.applied()) return;
    const double x = plane.x(alignment.correction->offset.value);
    if (x < plane.rect.left() - 1 || x > plane.rect.right() + 1) return;
    painter.setPen(QPen(palette.accent, 2.0, Qt::SolidLine, Qt::FlatCap));
    painter.drawLine(QPointF(x, plane.rect.top()), QPointF(x, plane.rect.bottom()));
}

void drawCurve(QPainter& painter, const Plane& plane, const std::vector<alignment::LossPoint>& curve) {
    QPolygonF line;
    for (const auto& point : curve)
        line << QPointF(plane.x(point.offset.value), plane.y(point.loss_bpm));
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(currentPalette().ink, 1.5));
    painter.drawPolyline(line);
}

void drawAxes(QPainter& painter, const Plane& plane) {
    const Palette& palette = currentPalette();
    const QFontMetricsF metrics(smallFont());
    painter.setPen(QPen(palette.hairline, 1.0));
    painter.drawLine(plane.rect.bottomLeft(), plane.rect.bottomRight());
    painter.setPen(palette.quietInk);
    const double y = plane.rect.bottom() + 3 + metrics.ascent();
    const QString first = offsetSeconds(plane.first_s), last = offsetSeconds(plane.last_s);
    painter.drawText(QPointF(plane.rect.left(), y), first);
    const double lastLeft = plane.rect.right() - metrics.horizontalAdvance(last);
    painter.drawText(QPointF(lastLeft, y), last);
    const QString title = LossCurveView::tr("clock offset, s");
    const double room = lastLeft - plane.rect.left() - metrics.horizontalAdvance(first) - 12;
    if (room > metrics.horizontalAdvance(title))
        painter.drawText(
            QRectF(plane.rect.left(), plane.rect.bottom() + 3, plane.rect.width(), metrics.height()),
            Qt::AlignHCenter | Qt::AlignTop, title);
}

}  // namespace

LossCurveView::LossCurveView(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Loss curve"));
    clear();
}

void LossCurveView::setAlignment(const alignment::Alignment& alignment) {
    alignment_ = alignment;
    setAccessibleDescription(
        hasCurve() ? tr("Disagreement by clock offset, from %1 to %2; offset in force: %3")
                         .arg(offsetSeconds(alignment_.lossCurve.front().offset.value),
                              offsetSeconds(alignment_.lossCurve.back().offset.value), offsetText(alignment_))
                   : tr("No loss curve: the offset was not estimated"));
    update();
}

void LossCurveView::clear() {
    setAlignment({});
}

QSize LossCurveView::sizeHint() const {
    const int line = fontMetrics().height();
    return {16 * line, 7 * line};
}

QSize LossCurveView::minimumSizeHint() const {
    const int line = fontMetrics().height();
    return {9 * line, 5 * line};
}

void LossCurveView::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) update();
}

void LossCurveView::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setFont(smallFont());
    painter.setPen(currentPalette().quietInk);
    const QFontMetricsF metrics(smallFont());
    if (!hasCurve()) {
        painter.drawText(rect(), Qt::AlignCenter | Qt::TextWordWrap,
                         tr("No loss curve: the offset was not estimated."));
        return;
    }
    const QRectF area = QRectF(rect()).adjusted(2, metrics.height() + 4, -2, -metrics.height() - 4);
    const Plane plane = planeOf(alignment_.lossCurve, area);
    painter.drawText(QPointF(area.left(), metrics.ascent()),
                     metrics.elidedText(tr("disagreement, bpm (0 to %1)").arg(numberText(plane.most_bpm, 0)),
                                        Qt::ElideRight, area.width()));
    drawEstimate(painter, plane, alignment_);
    drawCurve(painter, plane, alignment_.lossCurve);
    drawAxes(painter, plane);
}

}  // namespace beatwitness::widgets
