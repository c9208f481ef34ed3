#pragma once

#include <qcustomplot.h>

#include <QImage>
#include <QTimer>
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

/// What our plots share: no interactions of their own (the view around it acts), colours of the theme, and a
/// cursor that moves without the rest being drawn.
///
/// QCustomPlot's own buffers are left empty: at rest the plot lies in one opaque picture at the pixel ratio
/// of its screen, and what a cursor uncovers is copied from there; while the range is being moved the plot is
/// painted straight onto the window, coarsely, and drawn in full once it has stood still for a while.
class PlotCanvas : public QCustomPlot {
    Q_OBJECT

public:
    explicit PlotCanvas(QWidget* parent);

    /// Everything, once the event loop is reached.
    void redraw();
    /// As redraw(), as one frame of a movement: coarse where another frame came just before.
    void redrawMoving();
    /// What lies over the plot, within `region`.
    void redrawCursor(const QRegion& region);

    /// Whether a ring shows that the view around has the keyboard focus.
    void setFocusRing(bool shown);

protected:
    void paintEvent(QPaintEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    /// Paints what lies over the plot and moves without it.
    virtual void drawCursor(QCPPainter& painter) const = 0;
    /// True while frames follow each other so fast that they may be coarse.
    [[nodiscard]] bool moving() const { return moving_; }
    void styleAxisRect(QCPAxisRect& rect) const;

private:
    void refine();
    void drawPlot(QCPPainter& painter);
    void drawStill();
    void drawFocusRing(QCPPainter& painter) const;

    QImage still_;       ///< the plot without cursor and ring
    bool stale_ = true;  ///< still_ is not what the plot looks like now
    bool moving_ = false;
    QTimer calm_;  ///< runs out when the movement is over
    bool focusRing_ = false;
};

/// Whether the keyboard focus that comes for `reason` should be shown; as `before` where that does not tell.
[[nodiscard]] bool showsFocus(Qt::FocusReason reason, bool before);

/// White or near-black, whichever reads better on `colour`.
[[nodiscard]] QColor textOn(const QColor& colour);

/// Text with a halo of `halo` 3 px wide, so that it reads on any data. `position` is the left end of the base
/// line.
void drawHaloText(QPainter& painter, QPointF position, const QString& text, const QColor& colour,
                  const QColor& halo);

}  // namespace beatwitness::widgets
