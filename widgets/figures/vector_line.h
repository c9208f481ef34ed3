#pragma once

#include <QLineF>
#include <QPolygonF>
#include <QRectF>
#include <optional>
#include <vector>

#include "core/report/scene.h"
#include "widgets/figures/scene_layout.h"

namespace beatwitness::widgets {

/// The line's strokes on the page, cut off at the axes, with at most first, lowest, highest and last point of
/// each column `column_pt` wide: what the eye can tell at print size, a tenth of the file.
[[nodiscard]] std::vector<QPolygonF> strokesOf(const report::Line& line, const PlacedPanel& place,
                                               double column_pt);

/// The part of a straight line inside `rect`; nothing where it misses. Source: Liang & Barsky, ACM Trans
/// Graph 1984;3:1-22.
[[nodiscard]] std::optional<QLineF> cutTo(const QRectF& rect, const QLineF& line);

}  // namespace beatwitness::widgets
