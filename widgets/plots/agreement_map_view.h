#pragma once

#include <QWidget>
#include <memory>
#include <optional>
#include <utility>

#include "core/agreement/pair_filter.h"
#include "core/agreement/paired_seconds.h"
#include "core/analysis/session_analysis.h"
#include "widgets/plots/colour_scale.h"

namespace beatwitness::widgets {

class AgreementMapCanvas;

/// Density agreement map of one test: how many seconds the reference read x while the test read y.
///
/// Cells are 1, 2 or 5 bpm wide with edges on half-integers, square, both axes alike; empty cells stay paper.
/// Guides 1:1, 1:2 and 2:1 and the band of ±5 bpm are labelled at their ends; histograms of both traces stand
/// in the margins. A cell is read by hovering or by the arrow keys (Escape ends it). A drag, or Shift and
/// arrows, selects a box of cells; a click lets it go.
class AgreementMapView : public QWidget {
    Q_OBJECT

public:
    explicit AgreementMapView(QWidget* parent = nullptr);
    ~AgreementMapView() override;

    /// Pairs of `test` under the clock shown (as recorded where it has no aligned one).
    void setPairs(std::shared_ptr<const analysis::SessionAnalysis> session, int test, bool aligned);
    /// Sessions of one device pooled; `colour`: its place among the traces.
    void setPooled(std::vector<std::shared_ptr<const agreement::PairedSeconds>> sessions,
                   const QString& device, int colour);
    void clear();

    void setCellWidth(int bpm);  ///< 1, 2 or 5
    [[nodiscard]] int cellWidth() const;
    void setScale(ColourScale scale);
    [[nodiscard]] ColourScale scale() const;
    /// Of pooled sessions: a cell counts the sessions that were ever in it, in place of seconds.
    void setCountsSessions(bool sessions);

    /// Rings the pair (reference, test), both in bpm, at the timeline's cursor.
    void setCursorPair(std::optional<std::pair<double, double>> pair);

    /// The pairs that pass a filter stand out, the others are dimmed; nullptr: there is no filter.
    void setLit(std::shared_ptr<const trace::Pairs> pairs);
    /// The selected area, a box or a band along a guide; nothing is emitted.
    void setArea(std::optional<agreement::RateBox> box, std::optional<agreement::GuideBand> band);

    /// "reference 151, band 76 bpm: 12 s, 0.4 %", or empty while no cell is read.
    [[nodiscard]] QString readout() const;

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

signals:
    void readoutChanged(const QString& text);
    /// While it is being dragged out, too.
    void boxSelected(std::optional<beatwitness::agreement::RateBox> box);
    /// Enter: what is selected is to be looked at.
    void entered();

protected:
    void changeEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void leaveEvent(QEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;

private:
    void selectTo(std::pair<int, int> cell);
    void showCell(std::optional<std::pair<int, int>> cell);
    void describe();

    AgreementMapCanvas* canvas_;
    QString readout_;
    std::optional<std::pair<int, int>> corner_;  ///< where a box began
    bool hasBox_ = false;
    bool focusShown_ = false;  ///< the keyboard brought the focus here
};

}  // namespace beatwitness::widgets
