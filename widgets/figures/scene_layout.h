#pragma once

#include <QRectF>
#include <QStringList>
#include <vector>

#include "core/report/scene.h"
#include "widgets/figures/axis_ticks.h"

namespace beatwitness::widgets {

/// A panel's place: the rectangle its axes span, in points.
struct PlacedPanel {
    const report::Panel* panel = nullptr;
    QRectF axes;
    QRectF whole;  ///< with labels
    std::vector<Tick> xTicks, yTicks;

    [[nodiscard]] double x(double value) const {
        return axes.left() + (value - panel->x.lowest) / (panel->x.highest - panel->x.lowest) * axes.width();
    }
    /// Categories run from the top down, numbers from the bottom up.
    [[nodiscard]] double y(double value) const {
        const double share = (value - panel->y.lowest) / (panel->y.highest - panel->y.lowest);
        return panel->y.kind == report::Axis::Kind::Categories ? axes.top() + share * axes.height()
                                                               : axes.bottom() - share * axes.height();
    }
};

struct SceneLayout {
    QStringList title, subtitle, footnote;
    QRectF titleBox, subtitleBox, legendBox, footnoteBox, body;
    std::vector<PlacedPanel> panels;
    std::size_t leftOut = 0;  ///< panels that flow and have no room where they could be read
    std::vector<std::vector<std::size_t>> legendLines;  ///< entries of each line
};

/// The least height, in points, at which everything of the scene can be read on a page `width` points wide,
/// margins not counted.
[[nodiscard]] double leastHeight(const report::Scene& scene, double width);

/// The label of an axis in lines that fit the panel.
[[nodiscard]] QStringList axisLabelLines(const report::Axis& axis, double width);

/// Places everything inside `area` (points). Rows whose panels are as many share their left and right edges,
/// so that one time axis runs through all of them. Refers to `scene`, which must outlive it.
[[nodiscard]] SceneLayout layOut(const report::Scene& scene, const QRectF& area);

/// How wide a legend entry is, sample included.
[[nodiscard]] double legendWidth(const report::LegendEntry& entry);
/// Where its words begin.
[[nodiscard]] double legendIndent(const report::LegendEntry& entry);

inline constexpr double legendSample_pt = 16.0;

}  // namespace beatwitness::widgets
