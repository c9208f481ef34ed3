#pragma once

#include <QPainter>
#include <functional>

#include "core/report/scene.h"
#include "widgets/figures/scene_layout.h"
#include "widgets/theme/palette.h"

namespace beatwitness::widgets {

/// Where marks are drawn and how.
struct MarkStyle {
    const Palette& palette;
    /// SVG and PDF: lines become paths with no more detail than the page shows, and everything is cut off at
    /// the axes by geometry, because Qt's SVG ignores clipping.
    bool vector = false;
    bool grey = false;  ///< as a black-and-white printer would show it
};

/// A solid line of a device in grey is dashed by its place: greys of two devices look alike.
[[nodiscard]] report::Dash dashOf(const report::Paint& paint, report::Dash dash, const MarkStyle& style);

[[nodiscard]] QColor colourOf(const report::Paint& paint, const MarkStyle& style);

/// Draws one mark into its panel. The painter's unit is the point.
void drawMark(QPainter& painter, const report::Mark& mark, const PlacedPanel& place, const MarkStyle& style);

/// Labels that stand beside the axes (ends of lines, rules and intervals), moved apart where they would
/// touch.
void drawEndLabels(QPainter& painter, const PlacedPanel& place, const MarkStyle& style);

/// Codes of flagged stretches and labels of upright rules above the axes; one that would cover another is
/// left out.
void drawTopLabels(QPainter& painter, const PlacedPanel& place, const MarkStyle& style);

/// The mark of a device: 0 disc, 1 square, 2 triangle, 3 diamond; `radius` in points.
void drawShape(QPainter& painter, QPointF centre, int shape, double radius, const QColor& colour, bool hollow,
               const QColor& paper);

[[nodiscard]] QPen penOf(const QColor& colour, double width, report::Dash dash);

}  // namespace beatwitness::widgets
