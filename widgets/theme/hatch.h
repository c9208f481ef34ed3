#pragma once

#include <QPainter>

namespace beatwitness::widgets {

/// What tells kinds of flags apart where colour cannot.
enum class Hatch {
    HollowDashed,      ///< no filling, dashed edge
    Vertical,          ///< |||
    Horizontal,        ///< ===
    Grid,              ///< ###
    DiagonalGrid,      ///< xxx
    Dots,              ///< ...
    FallingDiagonals,  ///< \\\ .
    RisingDiagonals,   ///< ///
    Chevrons,          ///< ^^^
    Steps,             ///< battlements
};

/// Fills `rect` with the hatch in lines of `colour`, `spacing` logical pixels apart, so that it keeps its
/// size at every resolution (Qt's hatch brushes do not). The pattern stays where it is when `rect` is cut off
/// at an edge: it starts at the painter's origin. HollowDashed draws nothing: its edge is the mark. At most
/// some 4000 pieces are drawn, however large the rect.
void drawHatch(QPainter& painter, const QRectF& rect, Hatch hatch, const QColor& colour, double spacing);

}  // namespace beatwitness::widgets
