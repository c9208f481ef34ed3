#include "widgets/plots/plot_canvas.h"

#include <QPaintEvent>
#include <utility>

#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {
/// Frames of a drag or a wheel follow each other faster than this.
constexpr int calm_ms = 120;
}  // namespace

PlotCanvas::PlotCanvas(QWidget* parent) : QCustomPlot(parent) {
    setAttribute(Qt::WA_TransparentForMouseEvents);
    setAttribute(Qt::WA_OpaquePaintEvent);
    setFocusPolicy(Qt::NoFocus);
    setInteractions(QCP::iNone);
    setNoAntialiasingOnDrag(false);
    plotLayout()->clear();
    setAutoAddPlottableToLegend(false);
    calm_.setSingleShot(true);
    calm_.setInterval(calm_ms);
    connect(&calm_, &QTimer::timeout, this, &PlotCanvas::refine);
}

void PlotCanvas::redraw() {
    stale_ = true;
    update();
}

void PlotCanvas::redrawMoving() {
    moving_ = calm_.isActive();
    calm_.start();
    redraw();
}

void PlotCanvas::refine() {
    if (!std::exchange(moving_, false)) return;
    redraw();
}

void PlotCanvas::redrawCursor(const QRegion& region) {
    update(region);
}

void PlotCanvas::setFocusRing(bool shown) {
    if (focusRing_ == shown) return;
    focusRing_ = shown;
    update();
}

void PlotCanvas::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);  // QCustomPlot's own would fill its buffers
    setViewport(rect());
    redraw();
}

void PlotCanvas::drawPlot(QCPPainter& painter) {
    // Not a layer's business: QCustomPlot clips layers a pixel short of the lower edge.
    painter.fillRect(rect(), currentPalette().paper);
    draw(&painter);
}

void PlotCanvas::drawStill() {
    const double ratio = devicePixelRatioF();
    const QSize size = (QSizeF(this->size()) * ratio).toSize();
    if (still_.size() != size) still_ = QImage(size, QImage::Format_RGB32);
    still_.setDevicePixelRatio(ratio);
    QCPPainter painter(&still_);
    drawPlot(painter);
    stale_ = false;
}

void PlotCanvas::paintEvent(QPaintEvent* event) {
    QCPPainter painter(this);
    const bool whole = event->region().boundingRect().contains(rect());
    if (moving_ && stale_ && whole) {
        drawPlot(painter);
    } else {
        // The window may have moved to a screen of another pixel ratio; Qt 6.4 tells nobody.
        if (stale_ || !qFuzzyCompare(still_.devicePixelRatio(), devicePixelRatioF())) drawStill();
        painter.drawImage(QPointF(0, 0), still_);
    }
    painter.setAntialiasing(true);
    drawCursor(painter);
    drawFocusRing(painter);
}

void PlotCanvas::styleAxisRect(QCPAxisRect& rect) const {
    const Palette& palette = currentPalette();
    for (auto* axis : rect.axes()) {
        axis->setBasePen(Qt::NoPen);
        axis->setTickPen(Qt::NoPen);
        axis->setSubTickPen(Qt::NoPen);
        axis->setTickLength(0, 0);
        axis->setTickLabelPadding(6);
        axis->setTickLabelFont(smallFont());
        axis->setTickLabelColor(palette.quietInk);
        axis->grid()->setPen(QPen(palette.hairline, 1.0));
        axis->grid()->setZeroLinePen(Qt::NoPen);
        axis->grid()->setSubGridVisible(false);
        axis->grid()->setAntialiased(false);
    }
}

void PlotCanvas::drawFocusRing(QCPPainter& painter) const {
    if (!focusRing_) return;
    painter.setAntialiasing(true);
    painter.setPen(QPen(currentPalette().accent, 2.0));
    painter.setBrush(Qt::NoBrush);
    // On whole pixels: an antialiased QCPPainter stands half a pixel further.
    painter.drawRoundedRect(QRectF(rect()).adjusted(0.5, 0.5, -1.5, -1.5), 4, 4);
}

bool showsFocus(Qt::FocusReason reason, bool before) {
    switch (reason) {
        case Qt::TabFocusReason:
        case Qt::BacktabFocusReason:
        case Qt::ShortcutFocusReason:
            return true;
        case Qt::ActiveWindowFocusReason:
        case Qt::PopupFocusReason:
        case Qt::MenuBarFocusReason:
            return before;
        default:
            return false;
    }
}

QColor textOn(const QColor& colour) {
    const QColor light{Qt::white}, dark{"#15191C"};
    return contrastRatio(colour, light) >= contrastRatio(colour, dark) ? light : dark;
}

void drawHaloText(QPainter& painter, QPointF position, const QString& text, const QColor& colour,
                  const QColor& halo) {
    QPainterPath outline;
    outline.addText(position, painter.font(), text);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.strokePath(outline, QPen(halo, 6.0, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    painter.setPen(colour);
    painter.drawText(position, text);
}

}  // namespace beatwitness::widgets
