#include "widgets/figures/scene_painter.h"

#include <algorithm>

#include "widgets/figures/card_layout.h"
#include "widgets/figures/figure_text.h"

namespace beatwitness::widgets {
namespace {

using report::Axis;

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

void drawLines(QPainter& painter, const QStringList& lines, const QRectF& box, const QFont& font,
               const QColor& colour) {
    painter.setFont(font);
    painter.setPen(colour);
    double y = box.top() + QFontMetricsF(font).ascent();
    for (const auto& line : lines) {
        painter.drawText(QPointF(box.left(), y), line);
        y += lineHeight(font);
    }
}

void drawSample(QPainter& painter, const report::LegendEntry& entry, const QRectF& box,
                const MarkStyle& style) {
    const QColor colour = colourOf(entry.paint, style);
    using Sample = report::LegendEntry::Sample;
    switch (entry.sample) {
        case Sample::None:
            break;
        case Sample::Stroke:
            painter.setPen(penOf(colour, 1.4, dashOf(entry.paint, entry.dash, style)));
            painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()));
            break;
        case Sample::Swatch: {
            const QRectF swatch(box.left() + 3.0, box.center().y() - 3.0, box.width() - 6.0, 6.0);
            const bool isFlag = entry.paint.role == report::Paint::Role::Flag;
            const Hatch hatch = isFlag ? style.palette.flag(entry.paint.flag).hatch : Hatch::HollowDashed;
            if (isFlag && hatch == Hatch::HollowDashed) {
                painter.setBrush(Qt::NoBrush);
                painter.setPen(penOf(colour, 0.7, report::Dash::Dashed));
                painter.drawRect(swatch);
                break;
            }
            painter.fillRect(swatch, mixed(style.palette.paper, colour, 0.38));
            if (isFlag) drawHatch(painter, swatch, hatch, colour, 3.0);
            painter.setBrush(Qt::NoBrush);
            painter.setPen(penOf(colour, 0.6, report::Dash::Solid));
            painter.drawRect(swatch);
            break;
        }
        case Sample::Ramp: {
            QLinearGradient gradient(box.topLeft(), box.topRight());
            for (int i = 0; i <= 8; ++i) {
                const QColor step = style.palette.rampAt(i / 8.0);
                gradient.setColorAt(i / 8.0, style.grey ? QColor::fromHsl(0, 0, qGray(step.rgb())) : step);
            }
            painter.fillRect(QRectF(box.left(), box.center().y() - 3.0, box.width(), 6.0), gradient);
            break;
        }
        case Sample::Shape:
        case Sample::HollowShape:
            drawShape(painter, box.center(), entry.shape, 2.6, colour, entry.sample == Sample::HollowShape,
                      style.palette.paper);
            break;
    }
}

void drawLegend(QPainter& painter, const report::Scene& scene, const SceneLayout& layout,
                const MarkStyle& style) {
    const QFont font = figureFont(TextSize::Small);
    const QFontMetricsF metrics(font);
    double y = layout.legendBox.top();
    for (const auto& line : layout.legendLines) {
        double x = layout.legendBox.left();
        for (const auto i : line) {
            const auto& entry = scene.legend[i];
            drawSample(painter, entry, QRectF(x, y, legendSample_pt, metrics.height()), style);
            painter.setFont(font);
            painter.setPen(style.palette.ink);
            painter.drawText(QPointF(x + legendIndent(entry), y + metrics.ascent()), qt(entry.label));
            x += legendWidth(entry);
        }
        y += metrics.height() * 1.2;
    }
}

void drawGrid(QPainter& painter, const PlacedPanel& place, const MarkStyle& style) {
    painter.setPen(penOf(colourOf({report::Paint::Role::Hairline}, style), 0.5, report::Dash::Solid));
    const QRectF& axes = place.axes;
    if (place.panel->y.grid && place.panel->y.kind != Axis::Kind::Categories)
        for (const auto& tick : place.yTicks)
            painter.drawLine(QPointF(axes.left(), place.y(tick.at)), QPointF(axes.right(), place.y(tick.at)));
    if (place.panel->x.grid &&
        (place.panel->x.kind == Axis::Kind::Number || place.panel->x.kind == Axis::Kind::Date))
        for (const auto& tick : place.xTicks)
            painter.drawLine(QPointF(place.x(tick.at), axes.top()), QPointF(place.x(tick.at), axes.bottom()));
}

void drawTickLabels(QPainter& painter, const PlacedPanel& place, const MarkStyle& style) {
    const QFont font = figureFont(TextSize::Small);
    const QFontMetricsF metrics(font);
    painter.setFont(font);
    const double middle = (metrics.ascent() - metrics.descent()) / 2;
    painter.setPen(place.panel->y.kind == Axis::Kind::Categories ? style.palette.ink
                                                                 : style.palette.quietInk);
    // Half a point: what was measured to fit must not fall to the last digit of a double.
    const double room = place.axes.left() - place.whole.left() - 2.5;
    for (const auto& tick : place.yTicks) {
        const QString text = metrics.elidedText(tick.text, Qt::ElideRight, std::max(room, 8.0));
        painter.drawText(
            QPointF(place.axes.left() - 3.0 - metrics.horizontalAdvance(text), place.y(tick.at) + middle),
            text);
    }
    painter.setPen(style.palette.quietInk);
    double freeFrom = place.whole.left() - 20.0;
    for (const auto& tick : place.xTicks) {
        const double width = metrics.horizontalAdvance(tick.text);
        const double left = place.x(tick.at) - width / 2;
        if (left < freeFrom) continue;
        painter.drawText(QPointF(left, place.axes.bottom() + 3.0 + metrics.ascent()), tick.text);
        freeFrom = left + width + 4.0;
    }
}

void drawAxisLabels(QPainter& painter, const PlacedPanel& place, const MarkStyle& style) {
    const QFont font = figureFont(TextSize::Small), strong = figureFont(TextSize::Plain, true);
    const QFontMetricsF metrics(font);
    const auto& panel = *place.panel;
    double y = place.whole.top();
    if (!panel.title.empty()) {
        const QFontMetricsF bold(strong);
        painter.setFont(strong);
        painter.setPen(style.palette.ink);
        painter.drawText(
            QPointF(place.axes.left(), y + bold.ascent()),
            bold.elidedText(qt(panel.title), Qt::ElideRight, place.whole.right() - place.axes.left()));
        y += bold.height();
    }
    painter.setFont(font);
    painter.setPen(style.palette.quietInk);
    if (!panel.subtitle.empty()) {
        painter.drawText(
            QPointF(place.axes.left(), y + metrics.ascent()),
            metrics.elidedText(qt(panel.subtitle), Qt::ElideRight, place.whole.right() - place.axes.left()));
        y += metrics.height();
    }
    // The unit stands above the axis, upright: turned words are slow to read.
    const double left = panel.y.kind == Axis::Kind::Hidden ? place.axes.left() : place.whole.left();
    for (const auto& line : axisLabelLines(panel.y, place.whole.width())) {
        painter.drawText(QPointF(left, y + metrics.ascent()), line);
        y += metrics.height();
    }
    const double tickRow = panel.x.kind == Axis::Kind::Hidden ? 0.0 : metrics.height() + 3.0;
    y = place.axes.bottom() + tickRow + 2.0;
    for (const auto& line : axisLabelLines(panel.x, place.whole.width())) {
        const double width = metrics.horizontalAdvance(line);
        const double at = std::clamp(place.axes.center().x() - width / 2, place.whole.left(),
                                     std::max(place.whole.left(), place.whole.right() - width));
        painter.drawText(QPointF(at, y + metrics.ascent()), line);
        y += metrics.height();
    }
}

void drawPanel(QPainter& painter, const PlacedPanel& place, const MarkStyle& style) {
    if (place.axes.width() <= 4 || place.axes.height() <= 2) return;
    drawGrid(painter, place, style);
    for (const auto& mark : place.panel->marks)
        drawMark(painter, mark, place, style);
    if (place.panel->square) {
        painter.setPen(penOf(colourOf({report::Paint::Role::Quiet}, style), 0.5, report::Dash::Solid));
        painter.setBrush(Qt::NoBrush);
        painter.drawRect(place.axes);
    }
    drawTopLabels(painter, place, style);
    drawEndLabels(painter, place, style);
    drawTickLabels(painter, place, style);
    drawAxisLabels(painter, place, style);
}

void drawCard(QPainter& painter, const report::Scene& scene, const SceneLayout& layout,
              const MarkStyle& style) {
    const auto card = layOutCard(scene, layout.body);
    for (std::size_t i = 0; i < card.statements.size(); ++i) {
        const auto& statement = card.statements[i];
        drawLines(painter, statement.label, statement.labelBox, figureFont(TextSize::Plain),
                  style.palette.quietInk);
        painter.setFont(card.value);
        painter.setPen(style.palette.ink);
        painter.drawText(statement.value, qt(scene.statements[i].value));
        painter.fillRect(statement.mark, colourOf(scene.statements[i].paint, style));
        drawLines(painter, statement.note, statement.noteBox, figureFont(TextSize::Small),
                  style.palette.quietInk);
    }
    drawLines(painter, card.verdict, card.verdictBox, figureFont(TextSize::Verdict, true), style.palette.ink);
}

/// Paper of print is the printer's own.
Palette forPrint(Palette palette) {
    if (palette.paper.lightness() > 200) palette.paper = Qt::white;
    return palette;
}

/// What had no room is told, not passed over.
void drawLeftOut(QPainter& painter, const SceneLayout& layout, const MarkStyle& style) {
    if (layout.leftOut == 0) return;
    const QFont font = figureFont(TextSize::Small);
    painter.setFont(font);
    painter.setPen(style.palette.quietInk);
    const QString text = QStringLiteral("%1 more have no room at this size").arg(layout.leftOut);
    const QFontMetricsF metrics(font);
    painter.drawText(QPointF(layout.body.right() - metrics.horizontalAdvance(text),
                             layout.body.bottom() - metrics.descent()),
                     text);
}

}  // namespace

void paintScene(QPainter& painter, const report::Scene& scene, const FigureSize& size, const Palette& palette,
                const PaintOptions& options) {
    const Palette used = size.use == FigureSize::Use::Print ? forPrint(palette) : palette;
    const MarkStyle style{used, options.vector, options.grey};
    painter.setRenderHint(QPainter::Antialiasing, true);
    painter.setRenderHint(QPainter::TextAntialiasing, true);
    painter.setRenderHint(QPainter::LosslessImageRendering, true);
    if (!options.transparent) painter.fillRect(QRectF(QPointF(0, 0), size.paper), used.paper);
    const QRectF area = QRectF(QPointF(0, 0), size.paper)
                            .adjusted(size.margin.width(), size.margin.height() + size.extraTop,
                                      -size.margin.width(), -size.margin.height() - size.extraBottom);
    const SceneLayout layout = layOut(scene, area);
    drawLines(painter, layout.title, layout.titleBox, figureFont(TextSize::Title, true), used.ink);
    drawLines(painter, layout.subtitle, layout.subtitleBox, figureFont(TextSize::Small), used.quietInk);
    drawLegend(painter, scene, layout, style);
    for (const auto& place : layout.panels)
        drawPanel(painter, place, style);
    if (!scene.statements.empty()) drawCard(painter, scene, layout, style);
    drawLines(painter, layout.footnote, layout.footnoteBox, figureFont(TextSize::Small), used.quietInk);
    drawLeftOut(painter, layout, style);
}

}  // namespace beatwitness::widgets
