#pragma once

#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "core/analysis/context_traces.h"
#include "widgets/plots/line_image.h"
#include "widgets/plots/plot_canvas.h"
#include "widgets/plots/session_time_ticker.h"
#include "widgets/plots/timeline_marks.h"

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

    /// How high the value axes reach.
    enum class Scale {
        Session,  ///< all of this session, so that panning never moves them
        InSight,  ///< what is in sight
        Common    ///< the same for every session: 40 to 210 bpm, errors of 60 bpm
    };
    void setScale(Scale scale);
    [[nodiscard]] Scale scale() const { return scale_; }

    void setMarks(TimelineMarks marks);
    [[nodiscard]] const TimelineMarks& marks() const { return marks_; }
    /// The stretch that is selected, and the one that is being dragged out; both over the plot.
    void setSelectedRange(std::optional<Stretch> range);
    void setDraft(std::optional<Stretch> draft);
    [[nodiscard]] std::optional<Stretch> draft() const { return draft_; }

    /// Which tests are drawn, in which order, the first on top; all of them at first.
    void setShownTests(std::vector<int> tests);
    [[nodiscard]] const std::vector<int>& shownTests() const { return shown_; }
    /// The error strip shows every test shown, not only the one in focus.
    void setAllErrors(bool all);
    [[nodiscard]] bool allErrors() const { return allErrors_; }
    /// The test in focus as another correction would lay it, while that is being tried; nullopt: as analysed.
    void setPreview(std::optional<alignment::ClockCorrection> correction);

    enum class Part { Begin, Body, End };
    struct PhaseHit {
        int index = 0;
        Part part = Part::Body;
        bool proposal = false;
    };
    [[nodiscard]] std::optional<PhaseHit> phaseAt(QPointF position) const;
    /// The flag of a lane under `position`, or nullptr; and of which test's lane (-1: reference).
    [[nodiscard]] const flags::Flag* flagAt(QPointF position) const;
    struct FlagHit {
        const flags::Flag* flag = nullptr;
        Part part = Part::Body;
    };
    /// Near an edge within a few pixels, where the bar is wide enough to tell.
    [[nodiscard]] std::optional<FlagHit> flagEdgeAt(QPointF position) const;
    /// Whose lane lies under `position` (-1: the reference's); nothing outside of the lanes.
    [[nodiscard]] std::optional<int> laneAt(QPointF position) const;

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
    [[nodiscard]] QRectF phasesRect() const { return rectOf(phases_); }
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
        std::vector<const flags::Flag*> flags;  ///< dismissed ones first, so that the others lie on top
        int test = -1;                          ///< -1: the reference
    };

    void rebuildLines();
    void rebuildErrors();
    void findExtent();
    [[nodiscard]] DrawnLine testLine(int test) const;
    [[nodiscard]] DrawnLine errorLine(int test) const;
    void rebuildLanes();
    void place();
    void placeTicks();
    [[nodiscard]] QRegion cursorRegion() const;  ///< what drawCursor() touches
    void fitValues();                            ///< both value axes, by the scale
    [[nodiscard]] int rightMargin(const QFontMetrics& metrics) const;
    [[nodiscard]] int leftMargin(const QFontMetrics& metrics) const;

    // timeline_context.cpp
    void rebuildContext();
    void placeContext(int left, int right, int line, bool low);
    void drawContext(QCPPainter& painter);
    void drawContextTitle(QCPPainter& painter) const;

    // timeline_phases.cpp
    void placePhases(int left, int right, int line);
    [[nodiscard]] int phaseRows() const;
    [[nodiscard]] QRectF phaseRow(int row) const;
    [[nodiscard]] QRectF phaseBar(const PhaseBar& bar, int row) const;
    void drawPhases(QCPPainter& painter) const;
    void drawPhaseBar(QCPPainter& painter, const PhaseBar& bar, const QRectF& rect, bool selected) const;
    void drawProposal(QCPPainter& painter, const PhaseBar& bar, const QRectF& rect) const;
    void drawLit(QCPPainter& painter) const;
    void drawPins(QCPPainter& painter) const;
    void drawBands(QCPPainter& painter) const;
    void drawBand(QCPPainter& painter, const Stretch& band, bool draft) const;

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
    std::vector<DrawnLine> lines_;   ///< reference last, so that it lies on top
    std::vector<int> lineTests_;     ///< whose each line is; -1: reference
    std::vector<DrawnLine> errors_;  ///< that of the test in focus last
    std::vector<int> shown_;
    bool allErrors_ = false;
    Scale scale_ = Scale::Session;
    std::optional<alignment::ClockCorrection> preview_;
    std::shared_ptr<const trace::SessionTrace> previewTrace_;
    TimelineMarks marks_;
    std::optional<Stretch> selectedRange_, draft_;
    std::vector<Lane> laneRows_;
    std::shared_ptr<const analysis::ContextTrace> context_;
    QString contextName_;
    DrawnLine contextLine_;

    QCPAxisRect* overview_;
    QCPAxisRect* overlay_;
    QCPAxisRect* contextRect_;
    QCPAxisRect* error_;
    QCPAxisRect* lanes_;
    QCPAxisRect* phases_;  ///< the time axis is at its bottom
    QSharedPointer<SessionTimeTicker> timeTicker_;
    QSharedPointer<BpmTicker> rateTicker_;
    QSharedPointer<BpmTicker> errorTicker_;
    LineImage image_;
    CachedLineImage overviewImage_;
};

}  // namespace beatwitness::widgets
