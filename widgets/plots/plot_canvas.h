#pragma once

#include <qcustomplot.h>

#include <functional>

#include "widgets/theme/palette.h"

namespace beatwitness::widgets {

/// A layerable that is drawn by a function, clipped to the whole plot.
class Painted : public QCPLayerable {
    Q_OBJECT

public:
    /// Belongs to `plot` (as its QObject child).
    Painted(QCustomPlot* plot, const QString& layer, std::function<void(QCPPainter&)> paint)
        : QCPLayerable(plot, layer), paint_(std::move(paint)) {}

protected:
    void applyDefaultAntialiasingHint(QCPPainter* painter) const override { painter->setAntialiasing(true); }
    void draw(QCPPainter* painter) override { paint_(*painter); }

private:
    std::function<void(QCPPainter&)> paint_;
};

/// What our plots share: no interactions of their own (the view around it acts), colours of the theme,
/// buffers at the pixel ratio of the screen they are on, and a "cursor" layer that is drawn without the rest.
class PlotCanvas : public QCustomPlot {
    Q_OBJECT

public:
    static constexpr auto cursorLayer = "cursor";

    explicit PlotCanvas(QWidget* parent);

    /// All layers, once the event loop is reached.
    void redraw() { replot(rpQueuedReplot); }
    /// The cursor layer alone.
    void redrawCursor();

    /// Whether the view around has the keyboard focus; a ring on the cursor layer says so.
    void setFocusRing(bool shown);

protected:
    void paintEvent(QPaintEvent* event) override;
    void styleAxisRect(QCPAxisRect& rect) const;
    void drawFocusRing(QCPPainter& painter) const;

private:
    bool focusRing_ = false;
};

/// White or near-black, whichever reads better on `colour`.
[[nodiscard]] QColor textOn(const QColor& colour);

/// Text with a halo of `halo` 3 px wide, so that it reads on any data. `position` is the left end of the base
/// line.
void drawHaloText(QPainter& painter, QPointF position, const QString& text, const QColor& colour,
                  const QColor& halo);

}  // namespace beatwitness::widgets
