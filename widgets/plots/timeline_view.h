#pragma once

#include <QStringList>
#include <QWidget>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/analysis/context_traces.h"

namespace beatwitness::widgets {

class TimelineCanvas;

/// One time axis through overview, overlay of reference and tests, error strip and flag lanes.
///
/// Seconds are session time. The cursor always stands on a whole second: hovering moves it for a while, a
/// click or a key pins it, Escape lets it go. The wheel zooms at the pointer; Shift and wheel, or a
/// horizontal wheel, pan; a drag pans; in the overview a drag moves the window or one of its edges. Keys:
/// arrows 1 s, Page keys 10 s, + and - zoom, 0 all, Home and End, Ctrl and arrows pan. The range never leaves
/// the session and never gets shorter than 5 s (or than the session).
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

    void setRange(double begin_s, double end_s);
    [[nodiscard]] std::pair<double, double> range() const;
    /// First and last second that can be shown.
    [[nodiscard]] std::pair<double, double> extent() const;

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

public slots:
    void zoomIn();  ///< about the cursor where it is in sight, else about the middle
    void zoomOut();
    void fitAll();
    void panLeft();  ///< by a quarter of the range
    void panRight();
    void stepCursor(
        double seconds);  ///< from the middle of the range where there is no cursor; pans to keep it in sight

signals:
    void cursorMoved(std::optional<double> seconds);
    void rangeChanged(double begin_s, double end_s);
    void contextChanged();  ///< what contextNames() or context() give

protected:
    bool event(QEvent* event) override;
    void changeEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void leaveEvent(QEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;

private:
    enum class Drag { None, Undecided, Pan, Window, WindowBegin, WindowEnd };

    void showCursor(std::optional<double> seconds);
    void zoomAbout(double seconds, double factor);
    void panBy(double seconds);
    void dragTo(QPointF position);
    void beginDrag(QPointF position);
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
    Drag drag_ = Drag::None;
    QPointF pressedAt_;
    std::pair<double, double> rangeAtPress_;
    bool focusShown_ = false;  ///< the keyboard brought the focus here
};

}  // namespace beatwitness::widgets
