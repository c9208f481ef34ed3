#pragma once

#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "core/analysis/context_traces.h"
#include "widgets/plots/line_image.h"
#include "widgets/plots/plot_canvas.h"
#include "widgets/plots/session_time_ticker.h"

namespace beatwitness::widgets {

/// The drawing of TimelineView, without its gestures. Seconds are session time, pixels logical.
class TimelineCanvas : public PlotCanvas {
    Q_OBJECT

public:
    explicit TimelineCanvas(QWidget* parent);

    /// nullptr shows an empty plot. Fits the range.
    void setSession(std::shared_ptr<const analysis::SessionAnalysis> session);
    void setFocusTest(int test);
    [[nodiscard]] int focusTest() const { return focus_; }
    void setAligned(bool aligned);
    [[nodiscard]] bool aligned() const { return aligned_; }
    void setCursor(std::optional<double> seconds);
    /// The channel in the strip under the overlay, and what it is called; nullptr takes the strip away.
    void setContext(std::shared_ptr<const analysis::ContextTrace> trace, const QString& name);

    /// Moved and widened until it lies in the extent and is no shorter than 5 s. True where that changed the
    /// range.
    bool setRange(double begin_s, double end_s);
    [[nodiscard]] std::pair<double, double> range() const { return range_; }
    [[nodiscard]] std::pair<double, double> extent() const { return extent_; }

    [[nodiscard]] QRectF overviewRect() const { return rectOf(overview_); }
    [[nodiscard]] QRectF overlayRect() const { return rectOf(overlay_); }
    /// Empty where there is no strip.
    [[nodiscard]] QRectF contextRect() const { return context_ ? rectOf(contextRect_) : QRectF(); }
    [[nodiscard]] std::pair<double, double> contextRange() const;  ///< of its value axis
    [[nodiscard]] std::vector<double> contextTicks() const;
    [[nodiscard]] QRectF errorRect() const { return rectOf(error_); }
    [[nodiscard]] QRectF lanesRect() const { return rectOf(lanes_); }
    /// The overview's window in pixels.
    [[nodiscard]] QRectF windowRect() const;
    [[nodiscard]] double secondsAt(double x) const;          ///< in the stack under the overview
    [[nodiscard]] double overviewSecondsAt(double x) const;  ///< in the overview

    /// Fonts and colours anew, after a theme or font change.
    void restyle();

protected:
    void resizeEvent(QResizeEvent* event) override;
    void drawCursor(QCPPainter& painter) const override;

private:
    /// A row of the flag lane: one trace.
    struct Lane {
        QString name;
        std::vector<const flags::Flag*> flags;
    };

    void rebuildLines();
    void rebuildLanes();
    void place();
    void placeTicks();
    [[nodiscard]] QRegion cursorRegion() const;  ///< what drawCursor() touches
    void fitValues();  ///< both value axes to the whole session, so that panning never moves them
    [[nodiscard]] int rightMargin(const QFontMetrics& metrics) const;
    [[nodiscard]] int leftMargin(const QFontMetrics& metrics) const;

    // timeline_context.cpp
    void rebuildContext();
    void placeContext(int left, int right, int line, bool low);
    void drawContext(QCPPainter& painter);
    void drawContextTitle(QCPPainter& painter) const;

    // timeline_drawing.cpp
    void drawOverview(QCPPainter& painter);
    void drawTolerance(QCPPainter& painter) const;
    void drawTints(QCPPainter& painter) const;
    void drawOverlay(QCPPainter& painter);
    void drawError(QCPPainter& painter);
    void drawLanes(QCPPainter& painter) const;
    void drawEndLabels(QCPPainter& painter) const;
    void drawTitles(QCPPainter& painter) const;
    void drawCursorDiscs(QCPPainter& painter, double x) const;
    void drawTimeBadge(QCPPainter& painter, double x) const;
    [[nodiscard]] LineImage::Quality quality() const {
        return moving() ? LineImage::Quality::Coarse : LineImage::Quality::Fine;
    }
    [[nodiscard]] QRectF laneBar(const Lane& lane, const flags::Flag& flag) const;
    [[nodiscard]] Viewport viewOf(const QCPAxisRect* rect) const;
    [[nodiscard]] Viewport overviewViewport() const;
    [[nodiscard]] static QRectF rectOf(const QCPAxisRect* rect) { return QRectF(rect->rect()); }

    std::shared_ptr<const analysis::SessionAnalysis> session_;
    int focus_ = 0;
    bool aligned_ = true;
    std::optional<double> cursor_;
    std::pair<double, double> range_{0.0, 1.0};
    std::pair<double, double> extent_{0.0, 1.0};
    std::vector<DrawnLine> lines_;  ///< reference last, so that it lies on top
    DrawnLine errorLine_;
    std::vector<Lane> laneRows_;
    std::shared_ptr<const analysis::ContextTrace> context_;
    QString contextName_;
    DrawnLine contextLine_;

    QCPAxisRect* overview_;
    QCPAxisRect* overlay_;
    QCPAxisRect* contextRect_;
    QCPAxisRect* error_;
    QCPAxisRect* lanes_;
    QSharedPointer<SessionTimeTicker> timeTicker_;
    QSharedPointer<BpmTicker> rateTicker_;
    QSharedPointer<BpmTicker> errorTicker_;
    LineImage image_;
    CachedLineImage overviewImage_;
};

}  // namespace beatwitness::widgets
