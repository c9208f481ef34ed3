#include "widgets/plots/loss_curve_view.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <algorithm>
#include <cmath>

#include "widgets/format/number_text.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr double keyStep_s = 0.1, longKeyStep_s = 1.0;
constexpr int settled_ms = 500;  ///< after the last key an offset is taken

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
}

/// A line with a knob that says: take hold here.
void drawMarker(QPainter& painter, const Plane& plane, double offset_s) {
    const Palette& palette = currentPalette();
    const double x = std::clamp(plane.x(offset_s), plane.rect.left(), plane.rect.right());
    painter.setPen(QPen(palette.accent, 2.0, Qt::SolidLine, Qt::FlatCap));
    painter.drawLine(QPointF(x, plane.rect.top()), QPointF(x, plane.rect.bottom()));
    painter.setPen(QPen(palette.paper, 1.5));
    painter.setBrush(palette.accent);
    painter.drawEllipse(QPointF(x, plane.rect.top() + 2), 5.0, 5.0);
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
    setFocusPolicy(Qt::StrongFocus);
    settled_.setSingleShot(true);
    settled_.setInterval(settled_ms);
    connect(&settled_, &QTimer::timeout, this, &LossCurveView::choose);
    clear();
}

void LossCurveView::setAlignment(const alignment::Alignment& alignment) {
    alignment_ = alignment;
    settled_.stop();
    tried_.reset();
    dragging_ = false;
    setCursor(hasCurve() ? Qt::SizeHorCursor : Qt::ArrowCursor);
    setFocusPolicy(hasCurve() ? Qt::StrongFocus : Qt::NoFocus);
    describe();
    update();
}

void LossCurveView::describe() {
    if (!hasCurve()) return setAccessibleDescription(tr("No loss curve: the offset was not estimated"));
    QString text = tr("Disagreement by clock offset, from %1 to %2; offset in force: %3")
                       .arg(offsetSeconds(alignment_.lossCurve.front().offset.value),
                            offsetSeconds(alignment_.lossCurve.back().offset.value), offsetText(alignment_));
    if (tried_) text += tr("; being tried: %1 s").arg(signedText(tried_->value, 1));
    setAccessibleDescription(text);
}

double LossCurveView::xOf(Seconds offset) const {
    return planeOf(alignment_.lossCurve, area()).x(offset.value);
}

void LossCurveView::attempt(double offset_s) {
    const Plane plane = planeOf(alignment_.lossCurve, area());
    // To a hundredth: what is shown is what is taken.
    tried_ = Seconds{std::clamp(std::round(offset_s * 100) / 100, plane.first_s, plane.last_s)};
    describe();
    update();
    emit offsetTried(tried_);
}

void LossCurveView::choose() {
    settled_.stop();
    if (!tried_) return;
    const Seconds chosen = *tried_;
    dragging_ = false;
    emit offsetChosen(chosen);
}

void LossCurveView::giveUp() {
    settled_.stop();
    dragging_ = false;
    tried_.reset();
    describe();
    update();
    emit offsetTried(std::nullopt);
}

void LossCurveView::mousePressEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton || !hasCurve()) return;
    dragging_ = true;
}

void LossCurveView::mouseMoveEvent(QMouseEvent* event) {
    if (!dragging_) return;
    const Plane plane = planeOf(alignment_.lossCurve, area());
    const double share = (event->position().x() - plane.rect.left()) / plane.rect.width();
    attempt(plane.first_s + share * (plane.last_s - plane.first_s));
}

void LossCurveView::mouseReleaseEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton || !dragging_) return;
    dragging_ = false;
    choose();
}

void LossCurveView::keyPressEvent(QKeyEvent* event) {
    if (event->key() == Qt::Key_Escape && tried_) return giveUp();
    const bool arrow = event->key() == Qt::Key_Left || event->key() == Qt::Key_Right;
    if (!arrow || !hasCurve()) {
        if (tried_ && (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter)) return choose();
        return QWidget::keyPressEvent(event);
    }
    const double step = event->modifiers().testFlag(Qt::ControlModifier) ? longKeyStep_s : keyStep_s;
    const double from = tried_                 ? tried_->value
                        : alignment_.applied() ? alignment_.correction->offset.value
                                               : 0;
    attempt(from + (event->key() == Qt::Key_Left ? -step : step));
    settled_.start();
}

void LossCurveView::focusInEvent(QFocusEvent* event) {
    QWidget::focusInEvent(event);
    update();
}

void LossCurveView::focusOutEvent(QFocusEvent* event) {
    QWidget::focusOutEvent(event);
    if (!dragging_) choose();
    update();
}

QRectF LossCurveView::area() const {
    const QFontMetricsF metrics(smallFont());
    return QRectF(rect()).adjusted(6, metrics.height() + 6, -6, -metrics.height() - 4);
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
    const Plane plane = planeOf(alignment_.lossCurve, area());
    const QString title = tried_ ? tr("trying %1 s").arg(signedText(tried_->value, 2))
                                 : tr("disagreement, bpm (0 to %1)").arg(numberText(plane.most_bpm, 0));
    painter.drawText(QPointF(plane.rect.left(), metrics.ascent()),
                     metrics.elidedText(title, Qt::ElideRight, plane.rect.width()));
    drawEstimate(painter, plane, alignment_);
    drawCurve(painter, plane, alignment_.lossCurve);
    if (tried_ || alignment_.applied())
        drawMarker(painter, plane, tried_ ? tried_->value : alignment_.correction->offset.value);
    drawAxes(painter, plane);
    if (!hasFocus()) return;
    painter.setPen(QPen(currentPalette().accent, 2.0));
    painter.setBrush(Qt::NoBrush);
    painter.drawRoundedRect(QRectF(rect()).adjusted(1, 1, -1, -1), 4, 4);
}

}  // namespace beatwitness::widgets
