#pragma once

#include <QPolygonF>
#include <QRectF>
#include <vector>

#include "core/report/scene.h"
#include "widgets/figures/scene_layout.h"
#include "widgets/theme/cut_line.h"

namespace beatwitness::widgets {

/// The line's strokes on the page, cut off at the axes, with at most first, lowest, highest and last point of
/// each column `column_pt` wide: what the eye can tell at print size, a tenth of the file.
[[nodiscard]] std::vector<QPolygonF> strokesOf(const report::Line& line, const PlacedPanel& place,
                                               double column_pt);

}  // namespace beatwitness::widgets
