#include "widgets/theme/hatch.h"

#include <QList>
#include <algorithm>
#include <cmath>

#include "widgets/theme/cut_line.h"

namespace beatwitness::widgets {
namespace {

constexpr double mostLines = 2000.0;

/// First multiple of `step` that is not below `from`.
double firstMultiple(double from, double step) {
    return std::ceil(from / step) * step;
}

void addVertical(QList<QLineF>& lines, const QRectF& rect, double step) {
    for (double x = firstMultiple(rect.left(), step); x <= rect.right(); x += step)
        lines.append(QLineF(x, rect.top(), x, rect.bottom()));
}

void addHorizontal(QList<QLineF>& lines, const QRectF& rect, double step) {
    for (double y = firstMultiple(rect.top(), step); y <= rect.bottom(); y += step)
        lines.append(QLineF(rect.left(), y, rect.right(), y));
}

/// Lines y = slope * x + c with slope -1 (rising on screen) or 1 (falling), cut to the rect.
void addDiagonals(QList<QLineF>& lines, const QRectF& rect, double step, int slope) {
    const double width = rect.width(), height = rect.height();
    // Where a line meets the left edge, measured along it from the rect's top.
    const double first = slope > 0 ? rect.top() - rect.left() - width : rect.top() + rect.left();
    for (double c = firstMultiple(first, step); c <= first + width + height; c += step) {
        const auto xAt = [&](double y) { return slope > 0 ? y - c : c - y; };
        const double yLeft = slope * rect.left() + c, yRight = slope * rect.right() + c;
        const double y1 = std::clamp(yLeft, rect.top(), rect.bottom());
        const double y2 = std::clamp(yRight, rect.top(), rect.bottom());
        lines.append(QLineF(xAt(y1), y1, xAt(y2), y2));
    }
}

void addCut(QList<QLineF>& lines, const QRectF& rect, const QLineF& line) {
    if (const auto cut = cutTo(rect, line)) lines.append(*cut);
}

/// Zigzags of `height` around every multiple of `step`, cut off at the rect's edges.
void addZigzags(QList<QLineF>& lines, const QRectF& rect, double step, double height, double length) {
    for (double y = firstMultiple(rect.top() - height, step); y <= rect.bottom(); y += step)
        for (double x = firstMultiple(rect.left() - length, length); x <= rect.right(); x += length) {
            addCut(lines, rect, QLineF(x, y + height, x + length / 2, y));
            addCut(lines, rect, QLineF(x + length / 2, y, x + length, y + height));
        }
}

/// Steps like a battlement: told from the zigzag at any size.
void addSteps(QList<QLineF>& lines, const QRectF& rect, double step) {
    const double length = step * 1.5, height = step * 0.4;
    for (double y = firstMultiple(rect.top() - height, step); y <= rect.bottom(); y += step)
        for (double x = firstMultiple(rect.left() - length, length); x <= rect.right(); x += length) {
            addCut(lines, rect, QLineF(x, y, x + length / 2, y));
            addCut(lines, rect, QLineF(x + length / 2, y, x + length / 2, y + height));
            addCut(lines, rect, QLineF(x + length / 2, y + height, x + length, y + height));
        }
}

void drawDots(QPainter& painter, const QRectF& rect, double step, const QColor& colour) {
    const double size = std::max(1.4, step / 4);
    for (double y = firstMultiple(rect.top(), step); y + size <= rect.bottom(); y += step)
        for (double x = firstMultiple(rect.left(), step); x + size <= rect.right(); x += step)
            painter.fillRect(QRectF(x, y, size, size), colour);
}

QList<QLineF> linesOf(const QRectF& rect, Hatch hatch, double step) {
    QList<QLineF> lines;
    switch (hatch) {
        case Hatch::HollowDashed:
        case Hatch::Dots:
            break;
        case Hatch::Grid:
            addHorizontal(lines, rect, step);
            [[fallthrough]];
        case Hatch::Vertical:
            addVertical(lines, rect, step);
            break;
        case Hatch::Horizontal:
            addHorizontal(lines, rect, step);
            break;
        case Hatch::DiagonalGrid:
            addDiagonals(lines, rect, step * 1.5, 1);
            [[fallthrough]];
        case Hatch::RisingDiagonals:
            addDiagonals(lines, rect, step * 1.5, -1);
            break;
        case Hatch::FallingDiagonals:
            addDiagonals(lines, rect, step * 1.5, 1);
            break;
        case Hatch::Chevrons:
            addZigzags(lines, rect, step, step * 0.6, step * 1.2);
            break;
        case Hatch::Steps:
            addSteps(lines, rect, step);
            break;
    }
    return lines;
}

}  // namespace

void drawHatch(QPainter& painter, const QRectF& rect, Hatch hatch, const QColor& colour, double spacing) {
    if (rect.width() <= 0 || rect.height() <= 0 || hatch == Hatch::HollowDashed) return;
    const double cells = rect.width() * rect.height() / mostLines;
    const double step = std::max(spacing, std::sqrt(std::max(cells, 0.0)));
    if (hatch == Hatch::Dots) return drawDots(painter, rect, step, colour);
    painter.setPen(QPen(colour, 1.0));
    painter.drawLines(
        linesOf(rect, hatch, hatch == Hatch::Chevrons || hatch == Hatch::Steps ? step : spacing));
}

}  // namespace beatwitness::widgets
