#include "widgets/plots/plot_canvas.h"

#include "widgets/theme/theme.h"

namespace beatwitness::widgets {

PlotCanvas::PlotCanvas(QWidget* parent) : QCustomPlot(parent) {
    setAttribute(Qt::WA_TransparentForMouseEvents);
    setFocusPolicy(Qt::NoFocus);
    setInteractions(QCP::iNone);
    setNoAntialiasingOnDrag(false);
    plotLayout()->clear();
    setAutoAddPlottableToLegend(false);
    addLayer(QLatin1String(cursorLayer), layer(QLatin1String("overlay")), limAbove);
    layer(QLatin1String(cursorLayer))->setMode(QCPLayer::lmBuffered);
    new Painted(this, QStringLiteral("background"),
                [this](QCPPainter& painter) { painter.fillRect(rect(), currentPalette().paper); });
    new Painted(this, QLatin1String(cursorLayer), [this](QCPPainter& painter) { drawFocusRing(painter); });
}

void PlotCanvas::redrawCursor() {
    layer(QLatin1String(cursorLayer))->replot();
}

void PlotCanvas::setFocusRing(bool shown) {
    if (focusRing_ == shown) return;
    focusRing_ = shown;
    redrawCursor();
}

void PlotCanvas::paintEvent(QPaintEvent*) {
    // The window may have moved to a screen of another pixel ratio; Qt 6.4 tells nobody.
    if (!qFuzzyCompare(bufferDevicePixelRatio(), devicePixelRatioF())) {
        setBufferDevicePixelRatio(devicePixelRatioF());
        replot(rpImmediateRefresh);
    }
    // The undermost buffer is opaque (see the constructor): copying it is a good part of a frame cheaper than
    // blending it over a background.
    QCPPainter painter(this);
    painter.setCompositionMode(QPainter::CompositionMode_Source);
    for (const auto& buffer : mPaintBuffers) {
        buffer->draw(&painter);
        painter.setCompositionMode(QPainter::CompositionMode_SourceOver);
    }
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
    painter.drawRoundedRect(QRectF(rect()).adjusted(1, 1, -1, -1), 4, 4);
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
