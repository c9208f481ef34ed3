#pragma once

#include <QImage>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "core/agreement/density_map.h"
#include "core/agreement/pair_filter.h"
#include "core/agreement/paired_seconds.h"
#include "core/analysis/session_analysis.h"
#include "widgets/plots/colour_scale.h"
#include "widgets/plots/plot_canvas.h"
#include "widgets/plots/session_time_ticker.h"

namespace beatwitness::widgets {

/// One session's part of a pooled map.
using MapPart = std::shared_ptr<const agreement::PairedSeconds>;

/// The drawing of AgreementMapView, without its gestures.
class AgreementMapCanvas : public PlotCanvas {
    Q_OBJECT

public:
    using Cell = std::pair<int, int>;  ///< along the reference, along the test

    explicit AgreementMapCanvas(QWidget* parent);

    /// nullptr shows an empty plot.
    void setPairs(std::shared_ptr<const analysis::SessionAnalysis> session, int test, bool aligned);
    /// Sessions pooled, in place of one session; `colour`: place among the traces.
    void setPooled(std::vector<MapPart> parts, const QString& device, int colour);
    void setCellWidth(int bpm);
    [[nodiscard]] int cellWidth() const { return cellWidth_; }
    void setScale(ColourScale scale);
    [[nodiscard]] ColourScale scale() const { return scale_; }
    /// A cell counts the sessions that were ever in it, in place of seconds.
    void setCountsSessions(bool sessions);
    void setCursorPair(std::optional<std::pair<double, double>> pair);

    /// The pairs that pass a filter stand out, the others are dimmed; nullptr: there is no filter.
    void setLit(std::shared_ptr<const trace::Pairs> pairs);
    /// The selected area, drawn over the map.
    void setArea(std::optional<agreement::RateBox> box, std::optional<agreement::GuideBand> band);
    /// The box from one cell to another, both included.
    [[nodiscard]] agreement::RateBox boxOf(Cell a, Cell b) const;

    void setCell(std::optional<Cell> cell);
    [[nodiscard]] std::optional<Cell> cell() const { return cell_; }
    [[nodiscard]] std::optional<Cell> cellAt(QPointF position) const;
    /// The cell of most seconds; none without pairs.
    [[nodiscard]] std::optional<Cell> fullestCell() const;
    /// The cell of `cell`'s neighbourhood nearest to it that is in sight.
    [[nodiscard]] Cell inSight(Cell cell) const;
    /// "reference 151, band 76 bpm: 12 s, 0.4 %".
    [[nodiscard]] QString textOf(Cell cell) const;
    [[nodiscard]] QString testLabel() const { return testName_; }
    [[nodiscard]] const agreement::DensityMap& map() const { return map_; }
    [[nodiscard]] std::uint64_t seconds() const { return seconds_; }

    [[nodiscard]] QRectF mapRect() const { return QRectF(axes_->rect()); }
    [[nodiscard]] QRectF cellRect(Cell cell) const;

    void restyle();

protected:
    void resizeEvent(QResizeEvent* event) override;
    void drawCursor(QCPPainter& painter) const override;

private:
    static constexpr int barGap = 28;  ///< between the histogram at the right and the colour bar

    void count();
    void countParts();
    [[nodiscard]] bool isEmpty() const { return !pairs_ && parts_.empty(); }
    [[nodiscard]] QString countedText(std::uint32_t count) const;
    void recolour();
    void place();
    [[nodiscard]] double shareOf(std::uint32_t seconds) const;
    [[nodiscard]] QPointF pixel(double reference_bpm, double test_bpm) const;

    void drawCells(QCPPainter& painter) const;
    void drawGuides(QCPPainter& painter) const;
    void drawGuide(QCPPainter& painter, double ratio, const QPen& pen) const;
    void drawTolerance(QCPPainter& painter) const;
    void drawGuideLabels(QCPPainter& painter) const;
    void drawMargins(QCPPainter& painter) const;
    void drawColourBar(QCPPainter& painter) const;
    void drawBarLabelsBeside(QCPPainter& painter) const;
    void drawBarLabelsBelow(QCPPainter& painter) const;
    [[nodiscard]] QRectF barRect() const;
    [[nodiscard]] QString barTitle() const;
    [[nodiscard]] static int histogramDepth();
    [[nodiscard]] static int guideLabelWidth();
    void drawTitles(QCPPainter& painter) const;
    void drawReadout(QCPPainter& painter, const QRectF& cell) const;
    void drawArea(QCPPainter& painter) const;

    std::shared_ptr<const analysis::SessionAnalysis> session_;
    const trace::Pairs* pairs_ = nullptr;  ///< of session_
    int test_ = 0;
    QString testName_;
    int cellWidth_ = 1;
    ColourScale scale_ = ColourScale::Logarithmic;
    std::vector<MapPart> parts_;  ///< in place of pairs_
    bool countsSessions_ = false;
    std::uint64_t seconds_ = 0;  ///< behind the map, whatever it counts
    agreement::DensityMap map_;
    std::shared_ptr<const trace::Pairs> litPairs_;
    agreement::DensityMap lit_;  ///< of litPairs_, in the same cells
    std::optional<agreement::RateBox> box_;
    std::optional<agreement::GuideBand> band_;
    std::vector<std::uint64_t> referenceTotals_, testTotals_;
    QImage image_;                            ///< a pixel a cell, highest test rate on top
    double lowest_ = 50.0, highest_ = 190.0;  ///< of both axes, bpm
    bool barBeside_ = false;                  ///< the colour bar stands at the right, not below
    std::optional<Cell> cell_;
    std::optional<std::pair<double, double>> ring_;

    QCPAxisRect* axes_;
    QSharedPointer<BpmTicker> ticker_;
};

}  // namespace beatwitness::widgets
