#pragma once

#include <QStringList>
#include <QTimer>
#include <QWidget>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/analysis/context_traces.h"
#include "widgets/plots/timeline_marks.h"

class QHelpEvent;

namespace beatwitness::widgets {

class TimelineCanvas;

/// One time axis through overview, overlay of reference and tests, error strip and flag lanes.
///
/// Seconds are session time. The cursor always stands on a whole second: hovering moves it for a while, a
/// click or a key pins it, Escape lets it go. The wheel zooms at the pointer; Shift and wheel, or a
/// horizontal wheel, pan; a drag pans, with Shift it selects a stretch, with Control it zooms to one; in the
/// overview a drag moves the window or one of its edges. In the lane of phases a drag makes a phase or moves
/// one or an edge of one; in a lane of flags a drag draws a flag, or moves an edge of one; edges snap within
/// 6 px to marks, flags and the cursor unless Alt is held; Escape takes a drag back. Keys: arrows 1 s, Page
/// keys 10 s, + and - zoom, 0 all, Home and End, Ctrl and arrows pan. The range never leaves the session and
/// never gets shorter than 5 s (or than the session).
///
/// Phases, pins and the selected stretch are shown as they are given; gestures only say what is wanted.
class TimelineView : public QWidget {
    Q_OBJECT

public:
    explicit TimelineView(QWidget* parent = nullptr);
    ~TimelineView() override;

    /// Shows a session from its first to its last second, cursor off, focus on its first test.
    void setSession(std::shared_ptr<const analysis::SessionAnalysis> session);
    void clear();

    /// The test whose errors, flags and readout are shown.
    void setFocusTest(int test);
    [[nodiscard]] int focusTest() const;

    /// Aligned or as recorded. A test whose clock was not corrected shows as recorded either way.
    void setAligned(bool aligned);
    [[nodiscard]] bool aligned() const;

    /// Pins the cursor at the nearest whole second, or takes it away.
    void setCursor(std::optional<double> seconds);
    /// Where the cursor stands, hovering included.
    [[nodiscard]] std::optional<double> cursor() const;

    /// The channel in a strip of its own under the overlay, an index into contextNames(); none takes the
    /// strip away. Remembered by kind and file: shown again wherever a session or clock has it.
    void setContext(std::optional<int> index);
    [[nodiscard]] std::optional<int> contextIndex() const;
    [[nodiscard]] std::shared_ptr<const analysis::ContextTrace> context()
        const;  ///< the one shown, or nullptr
    /// What the session offers under the clock in force, in the order of analysis::contextTraces(): "cadence,
    /// band"; numbered where two are called alike.
    [[nodiscard]] QStringList contextNames() const;

    void setMarks(TimelineMarks marks);
    [[nodiscard]] const TimelineMarks& marks() const;
    /// The stretch that is selected; nothing is emitted.
    void setSelectedRange(std::optional<Stretch> range);
    [[nodiscard]] std::optional<Stretch> selectedRange() const { return selected_; }

    enum class Scale { Session, InSight, Common };
    /// How high the value axes reach: all of this session, what is in sight, or the same for every session.
    void setScale(Scale scale);
    [[nodiscard]] Scale scale() const;
    /// Which tests are drawn and in which order, the first on top.
    void setShownTests(std::vector<int> tests);
    [[nodiscard]] std::vector<int> shownTests() const;
    /// Errors of all tests shown in the strip, not only of the one in focus.
    void setAllErrors(bool all);
    [[nodiscard]] bool allErrors() const;
    /// Lays the test in focus by another correction while it is being tried; nullopt: as analysed.
    void setPreview(std::optional<alignment::ClockCorrection> correction);

    /// Takes a drag back that is under way; false where there is none.
    bool cancelGesture();

    void setRange(double begin_s, double end_s);
    [[nodiscard]] std::pair<double, double> range() const;
    [[nodiscard]] bool canGoBack() const { return at_ > 0 || isUnsettled(); }
    [[nodiscard]] bool canGoForward() const { return at_ + 1 < visited_.size(); }
    /// First and last second that can be shown.
    [[nodiscard]] std::pair<double, double> extent() const;

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

public slots:
    void zoomIn();  ///< about the cursor where it is in sight, else about the middle
    void zoomOut();
    void fitAll();
    /// The stretch in the middle of three times its length, yet of a minute at least; the cursor on `at`
    /// where given.
    void centreOn(Stretch stretch, std::optional<double> at = {});
    void goBack();  ///< to the range that was in sight before; a range counts once it stood for a moment
    void goForward();
    void panLeft();  ///< by a quarter of the range
    void panRight();
    void stepCursor(
        double seconds);  ///< from the middle of the range where there is no cursor; pans to keep it in sight

signals:
    void cursorMoved(std::optional<double> seconds);
    void rangeChanged(double begin_s, double end_s);
    void contextChanged();  ///< what contextNames() or context() give
    /// While it is being dragged out, too; nothing: the selection is let go.
    void rangeSelected(std::optional<std::pair<double, double>> range);
    void phaseDrawn(double begin_s, double end_s);
    void phaseMoved(int index, double begin_s, double end_s);
    void phaseSelected(std::optional<int> index);
    void proposalTaken(int index);
    /// The flag under a click in a lane.
    void flagPicked(const beatwitness::flags::Flag* flag);
    /// An edge of it was dragged; it is one of the analysis shown.
    void flagMoved(const beatwitness::flags::Flag* flag, double begin_s, double end_s);
    /// Dragged out in the empty part of a lane: of test `test`, -1 the reference.
    void flagDrawn(int test, double begin_s, double end_s);

protected:
    bool event(QEvent* event) override;
    void changeEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;
    void leaveEvent(QEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;

private:
    enum class Drag {
        None,
        Undecided,
        Pan,
        Window,
        WindowBegin,
        WindowEnd,
        Range,
        Zoom,
        NewPhase,
        NewFlag,
        FlagBegin,
        FlagEnd,
        PhaseBegin,
        PhaseEnd,
        PhaseBody
    };

    void showCursor(std::optional<double> seconds);
    void zoomAbout(double seconds, double factor);
    void panBy(double seconds);
    bool keyForCursor(QKeyEvent* event);
    bool keyForRange(QKeyEvent* event);
    bool letGo();  ///< of a drag or the cursor: whether there was any
    void settle();
    [[nodiscard]] bool isUnsettled() const;

    // timeline_gestures.cpp
    void dragTo(QPointF position);
    void dragOut(QPointF position, bool free);
    void beginDrag(QPointF position, Qt::KeyboardModifiers modifiers);
    bool beginInOverview(QPointF position);
    bool beginInPhases(QPointF position);
    bool beginInLanes(QPointF position);
    void finishDrag(QPointF position);
    void finishFlag(Drag drag, std::optional<Stretch> draft, QPointF position);
    void cancelDrag();
    void hover(QPointF position);
    void showTip(QHelpEvent* event);
    /// The second under `x`, or the mark within reach of it; `free` suspends marks.
    [[nodiscard]] double snappedAt(double x, bool free) const;
    [[nodiscard]] std::vector<double> snapTargets() const;

    void describe();
    void readContexts();
    void showContext();
    [[nodiscard]] std::optional<double> snapped(std::optional<double> seconds) const;

    TimelineCanvas* canvas_;
    std::shared_ptr<const analysis::SessionAnalysis> session_;
    std::vector<std::shared_ptr<const analysis::ContextTrace>> contexts_;
    std::optional<std::pair<recording::ChannelKind, std::string>> wantedContext_;
    std::optional<double> pinned_;
    std::optional<double> shown_;
    std::optional<Stretch> selected_;
    Drag drag_ = Drag::None;
    QPointF pressedAt_;
    std::pair<double, double> rangeAtPress_;
    std::optional<Stretch> selectedAtPress_;
    const flags::Flag* dragFlag_ = nullptr;
    int dragLane_ = -1;
    int dragPhase_ = -1;
    Stretch phaseAtPress_;
    std::vector<std::pair<double, double>> visited_;  ///< ranges that stood for a moment
    std::size_t at_ = 0;                              ///< which of them is the latest
    QTimer settle_;
    bool focusShown_ = false;  ///< the keyboard brought the focus here
};

}  // namespace beatwitness::widgets
