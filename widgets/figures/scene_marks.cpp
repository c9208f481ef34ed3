#include "widgets/figures/scene_marks.h"

#include <QImage>
#include <QPainterPath>
#include <algorithm>
#include <array>
#include <cmath>

#include "widgets/figures/figure_text.h"
#include "widgets/figures/vector_line.h"
#include "widgets/plots/line_image.h"
#include "widgets/theme/hatch.h"

namespace beatwitness::widgets {
namespace {

constexpr double column_pt = 0.25;  ///< detail of vector lines: a quarter of a point is what print resolves
constexpr double tintShare = 0.16;  ///< of a zone's colour on paper
constexpr double hatchSpacing_pt = 4.0;
constexpr double halo_pt = 2.2;
constexpr double shape_pt = 2.6;

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

/// Qt's own clipping where it works; marks cut themselves where it does not.
void clip(QPainter& painter, const PlacedPanel& place, const MarkStyle& style) {
    if (!style.vector) painter.setClipRect(place.axes);
}

QRectF span(const PlacedPanel& place, double from, double to, bool alongX) {
    const QRectF& axes = place.axes;
    const QRectF all = alongX
                           ? QRectF(QPointF(place.x(from), axes.top()), QPointF(place.x(to), axes.bottom()))
                           : QRectF(QPointF(axes.left(), place.y(from)), QPointF(axes.right(), place.y(to)));
    return all.normalized().intersected(axes);
}

void fillFlag(QPainter& painter, const QRectF& rect, const report::Paint& paint, const MarkStyle& style,
              double tint) {
    const QColor colour = colourOf(paint, style);
    const Hatch hatch = style.palette.flag(paint.flag).hatch;
    if (hatch == Hatch::HollowDashed) {
        painter.setPen(penOf(colour, 0.7, report::Dash::Dashed));
        painter.drawLine(rect.topLeft(), rect.bottomLeft());
        painter.drawLine(rect.topRight(), rect.bottomRight());
        painter.fillRect(rect, mixed(style.palette.paper, colour, tint / 2));
        return;
    }
    painter.fillRect(rect, mixed(style.palette.paper, colour, tint));
    painter.save();
    if (!style.vector) painter.setClipRect(rect, Qt::IntersectClip);
    drawHatch(painter, rect, hatch, mixed(style.palette.paper, colour, std::min(1.0, tint * 2.6)),
              hatchSpacing_pt);
    painter.restore();
}

QString labelOf(const report::Paint& paint, bool coded, const std::string& label, const MarkStyle& style) {
    return coded ? QString::fromUtf8(style.palette.flag(paint.flag).code) : qt(label);
}

void draw(QPainter& painter, const report::Zone& zone, const PlacedPanel& place, const MarkStyle& style) {
    const QRectF rect = span(place, zone.from, zone.to, zone.alongX);
    if (rect.width() <= 0 || rect.height() <= 0) return;
    const QColor colour = colourOf(zone.paint, style);
    if (zone.paint.role == report::Paint::Role::Flag)
        fillFlag(painter, rect, zone.paint, style, tintShare);
    else
        painter.fillRect(rect, mixed(style.palette.paper, colour, tintShare));
}

double shareOf(double count, double largest, report::Cells::Scale scale) {
    switch (scale) {
        case report::Cells::Scale::Linear:
            return count / largest;
        case report::Cells::Scale::CubeRoot:
            return std::cbrt(count / largest);
        case report::Cells::Scale::Log:
            break;
    }
    return largest > 1.0 ? std::log(count) / std::log(largest) : 1.0;
}

void draw(QPainter& painter, const report::Cells& cells, const PlacedPanel& place, const MarkStyle& style) {
    const auto& map = cells.map;
    if (map.pairs == 0) return;
    const double largest = cells.largest > 0 ? cells.largest : map.largest;
    QImage image(map.cells, map.cells, QImage::Format_ARGB32);
    image.fill(Qt::transparent);
    for (int y = 0; y < map.cells; ++y)
        for (int x = 0; x < map.cells; ++x)
            if (const auto count = map.at(x, y); count > 0) {
                const QColor colour = style.palette.rampAt(shareOf(count, largest, cells.scale));
                image.setPixelColor(x, map.cells - 1 - y,
                                    style.grey ? QColor::fromHsl(0, 0, qGray(colour.rgb())) : colour);
            }
    // Only whole cells inside the axes, so that nothing needs clipping.
    const auto inside = [&](double at, double lowest, double highest) {
        return at >= lowest - 1e-9 && at <= highest + 1e-9;
    };
    int first = map.cells, last = -1, low = map.cells, high = -1;
    for (int i = 0; i < map.cells; ++i) {
        if (inside(map.edge(i), place.panel->x.lowest, place.panel->x.highest) &&
            inside(map.edge(i + 1), place.panel->x.lowest, place.panel->x.highest))
            first = std::min(first, i), last = std::max(last, i);
        if (inside(map.edge(i) + cells.yShift, place.panel->y.lowest, place.panel->y.highest) &&
            inside(map.edge(i + 1) + cells.yShift, place.panel->y.lowest, place.panel->y.highest))
            low = std::min(low, i), high = std::max(high, i);
    }
    if (first > last || low > high) return;
    const QRectF source(first, map.cells - 1 - high, last - first + 1, high - low + 1);
    const QRectF target(QPointF(place.x(map.edge(first)), place.y(map.edge(high + 1) + cells.yShift)),
                        QPointF(place.x(map.edge(last + 1)), place.y(map.edge(low) + cells.yShift)));
    painter.setRenderHint(QPainter::SmoothPixmapTransform, false);
    painter.drawImage(target, image.copy(source.toRect()));
}

void draw(QPainter& painter, const report::Ribbon& ribbon, const PlacedPanel& place, const MarkStyle& style) {
    const QColor colour = colourOf(ribbon.paint, style);
    const auto inY = [&](double value) {
        return std::clamp(place.y(value), place.axes.top(), place.axes.bottom());
    };
    QPolygonF band, line;
    for (std::size_t i = 0; i < ribbon.x.size(); ++i)
        band << QPointF(place.x(ribbon.x[i]), inY(ribbon.upper[i]));
    for (std::size_t i = ribbon.x.size(); i-- > 0;)
        band << QPointF(place.x(ribbon.x[i]), inY(ribbon.lower[i]));
    for (std::size_t i = 0; i < ribbon.x.size(); ++i)
        line << QPointF(place.x(ribbon.x[i]), inY(ribbon.y[i]));
    painter.setPen(Qt::NoPen);
    painter.setBrush(mixed(style.palette.paper, colour, 0.2));
    painter.drawPolygon(band);
    painter.setBrush(Qt::NoBrush);
    painter.setPen(penOf(colour, 1.2, report::Dash::Solid));
    painter.drawPolyline(line);
}

void draw(QPainter& painter, const report::Histogram& histogram, const PlacedPanel& place,
          const MarkStyle& style) {
    const QColor colour = colourOf(histogram.paint, style);
    const double base = place.y(std::max(0.0, place.panel->y.lowest));
    QPolygonF outline;
    for (std::size_t i = 0; i < histogram.heights.size(); ++i) {
        const double from = histogram.first + static_cast<double>(i) * histogram.width;
        const double left = std::max(place.x(from), place.axes.left());
        const double right = std::min(place.x(from + histogram.width), place.axes.right());
        if (left >= right) continue;
        const double top = std::max(place.y(histogram.heights[i]), place.axes.top());
        if (histogram.filled)
            painter.fillRect(QRectF(QPointF(left, top), QPointF(right, base)),
                             mixed(style.palette.paper, colour, 0.3));
        outline << QPointF(left, top) << QPointF(right, top);
    }
    painter.setPen(penOf(colour, 1.0, dashOf(histogram.paint, report::Dash::Solid, style)));
    painter.drawPolyline(outline);
}

void draw(QPainter& painter, const report::Block& block, const PlacedPanel& place, const MarkStyle& style) {
    const double half = block.thickness / 2;
    const QRectF rect = QRectF(QPointF(place.x(block.from), place.y(block.row - half)),
                               QPointF(place.x(block.to), place.y(block.row + half)))
                            .normalized()
                            .intersected(place.axes);
    if (rect.height() <= 0) return;
    const QRectF seen(rect.left(), rect.top(), std::max(rect.width(), 0.8), rect.height());
    const QColor colour = colourOf(block.paint, style);
    if (block.hollow) {
        painter.setPen(penOf(colour, 0.7, report::Dash::Dashed));
        painter.setBrush(Qt::NoBrush);
        painter.drawRect(seen);
    } else if (block.paint.role == report::Paint::Role::Flag) {
        fillFlag(painter, seen, block.paint, style, 0.38);
        painter.setPen(penOf(colour, 0.6, report::Dash::Solid));
        painter.setBrush(Qt::NoBrush);
        painter.drawRect(seen);
    } else {
        painter.fillRect(seen, mixed(style.palette.paper, colour, 0.35));
    }
    const QString label = labelOf(block.paint, block.coded, block.label, style);
    painter.setFont(figureFont(TextSize::Small));
    const QFontMetricsF metrics(painter.font());
    if (label.isEmpty() || metrics.horizontalAdvance(label) + 4.0 > seen.width()) return;
    if (block.paint.role == report::Paint::Role::Flag && !block.hollow) {
        // A rim of paper: letters on a hatch do not read.
        const double reach = metrics.horizontalAdvance(label) / 2 + 1.5;
        painter.fillRect(QRectF(seen.center().x() - reach, seen.center().y() - metrics.ascent() / 2 - 0.5,
                                2 * reach, metrics.ascent() + 1.0)
                             .intersected(seen),
                         style.palette.paper);
    }
    painter.setPen(style.palette.ink);
    painter.drawText(seen, Qt::AlignCenter, label);
}

/// Raster: columns of device pixels, which costs a hundredth of stroking.
void drawColumns(QPainter& painter, const report::Line& line, const PlacedPanel& place,
                 const QColor& colour) {
    DrawnLine drawn;
    drawn.seconds = line.x;
    drawn.joined = line.joined;
    drawn.values.assign(line.y.begin(), line.y.end());
    drawn.colour = colour;
    const QTransform scale = painter.worldTransform();
    drawn.width = line.width_pt * scale.m11();
    const Viewport view{scale.mapRect(place.axes), place.panel->x.lowest, place.panel->x.highest,
                        place.panel->y.lowest, place.panel->y.highest};
    painter.save();
    painter.resetTransform();
    painter.setClipping(false);  // the image keeps to its viewport
    LineImage().draw(painter, view, std::span(&drawn, 1));
    painter.restore();
}

void draw(QPainter& painter, const report::Line& line, const PlacedPanel& place, const MarkStyle& style) {
    const QColor colour = colourOf(line.paint, style);
    const bool upright = place.panel->y.kind == report::Axis::Kind::Categories;
    const auto dash = dashOf(line.paint, line.dash, style);
    if (!style.vector && dash == report::Dash::Solid && !upright && line.x.size() > 200)
        return drawColumns(painter, line, place, colour);
    painter.setPen(penOf(colour, line.width_pt, dash));
    painter.setBrush(Qt::NoBrush);
    for (const auto& stroke : strokesOf(line, place, column_pt))
        stroke.size() == 1 ? painter.drawPoint(stroke.front()) : painter.drawPolyline(stroke);
}

void draw(QPainter& painter, const report::Rule& rule, const PlacedPanel& place, const MarkStyle& style) {
    const auto& x = place.panel->x;
    const QLineF whole =
        rule.upright ? QLineF(place.x(rule.shift), place.axes.top(), place.x(rule.shift), place.axes.bottom())
                     : QLineF(place.x(x.lowest), place.y(rule.slope * x.lowest + rule.shift),
                              place.x(x.highest), place.y(rule.slope * x.highest + rule.shift));
    const auto cut = cutTo(place.axes, whole);
    if (!cut) return;
    if (rule.halo) {
        painter.setPen(penOf(style.palette.paper, rule.width_pt + halo_pt, report::Dash::Solid));
        painter.drawLine(*cut);
    }
    painter.setPen(penOf(colourOf(rule.paint, style), rule.width_pt, rule.dash));
    painter.drawLine(*cut);
}

void draw(QPainter& painter, const report::Points& points, const PlacedPanel& place, const MarkStyle& style) {
    const QColor colour = colourOf(points.paint, style);
    const QRectF reach = place.axes.adjusted(-0.5, -0.5, 0.5, 0.5);
    for (std::size_t i = 0; i < points.x.size(); ++i) {
        const QPointF centre(place.x(points.x[i]), place.y(points.y[i]));
        if (reach.contains(centre))
            drawShape(painter, centre, points.shape, shape_pt, colour, points.hollow, style.palette.paper);
    }
}

void draw(QPainter& painter, const report::IntervalMark& mark, const PlacedPanel& place,
          const MarkStyle& style) {
    const QColor colour = colourOf(mark.paint, style);
    const double y = place.y(mark.row);
    if (mark.interval) {
        const double from = std::max(place.x((*mark.interval)[0]), place.axes.left());
        const double to = std::min(place.x((*mark.interval)[1]), place.axes.right());
        if (from <= to) {
            painter.fillRect(QRectF(from, y - 1.8, to - from, 3.6), mixed(style.palette.paper, colour, 0.25));
            painter.setPen(penOf(colour, 1.1, report::Dash::Solid));
            painter.drawLine(QPointF(from, y), QPointF(to, y));
        }
    }
    const double x = place.x(mark.value);
    if (x >= place.axes.left() - 0.5 && x <= place.axes.right() + 0.5)
        drawShape(painter, QPointF(x, y), mark.shape, shape_pt, colour, false, style.palette.paper);
}

void draw(QPainter& painter, const report::Word& word, const PlacedPanel& place, const MarkStyle& style) {
    painter.setFont(figureFont(TextSize::Small, word.strong));
    const QFontMetricsF metrics(painter.font());
    const double width = metrics.horizontalAdvance(qt(word.text));
    const double shift = word.anchor == report::Word::Anchor::Left     ? 0.0
                         : word.anchor == report::Word::Anchor::Centre ? -width / 2
                                                                       : -width;
    painter.setPen(colourOf(word.paint, style));
    painter.drawText(
        QPointF(place.x(word.x) + shift, place.y(word.y) + (metrics.ascent() - metrics.descent()) / 2),
        qt(word.text));
}

}  // namespace

QColor colourOf(const report::Paint& paint, const MarkStyle& style) {
    const auto pick = [&]() -> QColor {
        switch (paint.role) {
            case report::Paint::Role::Ink:
                return style.palette.ink;
            case report::Paint::Role::Quiet:
                return style.palette.quietInk;
            case report::Paint::Role::Hairline:
                return style.palette.hairline;
            case report::Paint::Role::Reference:
                return style.palette.reference;
            case report::Paint::Role::Device:
                return style.palette.trace(paint.index);
            case report::Paint::Role::Guide:
                return style.palette.warning;
            case report::Paint::Role::Flag:
                return style.palette.flag(paint.flag).colour;
            case report::Paint::Role::Accent:
                return style.palette.accent;
        }
        return style.palette.ink;
    };
    const QColor colour = pick();
    return style.grey ? QColor::fromHsl(0, 0, qGray(colour.rgb())) : colour;
}

report::Dash dashOf(const report::Paint& paint, report::Dash dash, const MarkStyle& style) {
    if (!style.grey || paint.role != report::Paint::Role::Device || dash != report::Dash::Solid) return dash;
    constexpr std::array dashes{report::Dash::Solid, report::Dash::Dashed, report::Dash::Dotted,
                                report::Dash::DashDotted};
    return dashes[static_cast<std::size_t>(paint.index) % dashes.size()];
}

QPen penOf(const QColor& colour, double width, report::Dash dash) {
    QPen pen(colour, width, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin);
    if (dash == report::Dash::Dashed) pen.setDashPattern({4.0, 2.5});
    if (dash == report::Dash::Dotted) pen.setDashPattern({1.2, 2.0});
    if (dash == report::Dash::DashDotted) pen.setDashPattern({4.0, 2.0, 1.2, 2.0});
    return pen;
}

void drawShape(QPainter& painter, QPointF centre, int shape, double radius, const QColor& colour, bool hollow,
               const QColor& paper) {
    painter.setPen(QPen(colour, hollow ? 0.9 : 0.5));
    painter.setBrush(hollow ? paper : colour);
    const double r = radius;
    switch (shape % 4) {
        case 0:
            painter.drawEllipse(centre, r, r);
            break;
        case 1:
            painter.drawRect(QRectF(centre - QPointF(r, r) * 0.9, QSizeF(r, r) * 1.8));
            break;
        case 2:
            painter.drawPolygon(QPolygonF{centre + QPointF(0, -r * 1.15), centre + QPointF(r * 1.1, r * 0.85),
                                          centre + QPointF(-r * 1.1, r * 0.85)});
            break;
        default:
            painter.drawPolygon(QPolygonF{centre + QPointF(0, -r * 1.25), centre + QPointF(r * 1.25, 0),
                                          centre + QPointF(0, r * 1.25), centre + QPointF(-r * 1.25, 0)});
    }
}

void drawMark(QPainter& painter, const report::Mark& mark, const PlacedPanel& place, const MarkStyle& style) {
    painter.save();
    const bool labelled =
        std::holds_alternative<report::Zone>(mark) || std::holds_alternative<report::Rule>(mark) ||
        std::holds_alternative<report::Points>(mark) || std::holds_alternative<report::IntervalMark>(mark);
    if (!labelled) clip(painter, place, style);
    std::visit([&](const auto& held) { draw(painter, held, place, style); }, mark);
    painter.restore();
}

}  // namespace beatwitness::widgets
