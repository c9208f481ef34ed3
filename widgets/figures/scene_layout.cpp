#include "widgets/figures/scene_layout.h"

#include <algorithm>
#include <map>

#include "widgets/figures/figure_text.h"

namespace beatwitness::widgets {
namespace {

using report::Axis;
using report::Panel;
using report::PanelRow;

constexpr double tickGap = 3.0;  ///< between axis and tick label
constexpr double rowGap = 8.0;
constexpr double panelGap = 10.0;
constexpr double labelGap = 2.0;
constexpr double besideShare = 0.36;        ///< of the body's width, for a panel beside the rows
constexpr double tallShare = 0.75;          ///< a body at least so tall for its width stacks its panels
constexpr double belowShare = 0.42;         ///< of its height, where the panel stands below them
constexpr double mostCategoryShare = 0.34;  ///< of a panel's width, for category labels

struct Edges {
    double left = 0.0, right = 0.0, top = 0.0, bottom = 0.0;
};

double advance(const QFont& font, const QString& text) {
    return QFontMetricsF(font).horizontalAdvance(text);
}

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

double widestTick(const Axis& axis, double width) {
    // The labels at the ends are the widest of their axis; three ticks tell.
    double widest = 0.0;
    for (const auto& tick : ticksOf(axis, 3.0, 1.0))
        widest = std::max(widest, advance(figureFont(TextSize::Small), tick.text));
    for (const auto& tick : ticksOf(axis, 8.0, 1.0))
        widest = std::max(widest, advance(figureFont(TextSize::Small), tick.text));
    return axis.kind == Axis::Kind::Categories ? std::min(widest, mostCategoryShare * width) : widest;
}

/// Room for labels beyond the right end of the axes.
double beyondRight(const Panel& panel) {
    double widest = 0.0;
    const auto take = [&](const std::string& label, bool strong) {
        if (!label.empty())
            widest = std::max(widest, 12.0 + advance(figureFont(TextSize::Small, strong), qt(label)));
    };
    for (const auto& mark : panel.marks) {
        if (const auto* line = std::get_if<report::Line>(&mark)) take(line->endLabel, true);
        if (const auto* rule = std::get_if<report::Rule>(&mark); rule && !rule->upright)
            take(rule->label, true);
        if (const auto* interval = std::get_if<report::IntervalMark>(&mark)) take(interval->label, false);
    }
    return widest;
}

bool hasTopLabels(const Panel& panel) {
    return std::ranges::any_of(panel.marks, [](const report::Mark& mark) {
        const auto* zone = std::get_if<report::Zone>(&mark);
        const auto* rule = std::get_if<report::Rule>(&mark);
        return (zone && zone->alongX && (zone->coded || !zone->label.empty())) ||
               (rule && rule->upright && !rule->label.empty());
    });
}

Edges edgesOf(const Panel& panel, double width) {
    const double small = lineHeight(figureFont(TextSize::Small));
    Edges edges;
    if (panel.y.kind != Axis::Kind::Hidden) edges.left = widestTick(panel.y, width) + tickGap + 0.5;
    if (!panel.title.empty()) edges.top += lineHeight(figureFont(TextSize::Plain, true));
    if (!panel.subtitle.empty()) edges.top += small;
    if (!panel.y.label.empty()) edges.top += small + labelGap;
    if (hasTopLabels(panel)) edges.top += small;
    if (panel.x.kind != Axis::Kind::Hidden) edges.bottom += small + tickGap;
    if (!panel.x.label.empty()) edges.bottom += small + labelGap;
    edges.right = beyondRight(panel);
    if (panel.x.kind != Axis::Kind::Hidden && edges.right < 6.0) edges.right = 6.0;
    return edges;
}

std::vector<double> rowHeights(const std::vector<PanelRow>& rows, double height) {
    const double line = lineHeight(figureFont(TextSize::Plain)) * 1.25;
    double fixed = rows.empty() ? 0.0 : rowGap * static_cast<double>(rows.size() - 1), weights = 0.0;
    for (const auto& row : rows)
        row.lines > 0 ? fixed += row.lines* line : weights += row.weight;
    std::vector<double> heights;
    for (const auto& row : rows)
        heights.push_back(row.lines > 0 ? row.lines * line
                                        : std::max(0.0, height - fixed) * row.weight / weights);
    return heights;
}

void placeRow(const PanelRow& row, const QRectF& box, const std::map<std::size_t, Edges>& shared,
              std::vector<PlacedPanel>& placed) {
    double weights = 0.0;
    for (const auto& panel : row.panels)
        weights += panel.weight;
    const double room = box.width() - panelGap * static_cast<double>(row.panels.size() - 1);
    double left = box.left();
    for (const auto& panel : row.panels) {
        const double width = room * panel.weight / weights;
        const Edges own = edgesOf(panel, width), common = shared.at(row.panels.size());
        PlacedPanel place;
        place.panel = &panel;
        place.whole = QRectF(left, box.top(), width, box.height());
        place.axes = place.whole.adjusted(common.left, own.top, -common.right, -own.bottom);
        placed.push_back(std::move(place));
        left += width + panelGap;
    }
}

/// Maps are compared by eye: all squares of a figure come out equal.
void squareAlike(std::vector<PlacedPanel>& placed) {
    double side = 1e9;
    for (const auto& place : placed)
        if (place.panel->square) side = std::min({side, place.axes.width(), place.axes.height()});
    for (auto& place : placed)
        if (place.panel->square) place.axes.setSize({side, side});
}

void addTicks(PlacedPanel& place) {
    const auto& panel = *place.panel;
    const QFont font = figureFont(TextSize::Small);
    const bool times = panel.x.kind == Axis::Kind::SessionTime;
    const bool dates = panel.x.kind == Axis::Kind::Date;
    const double xRoom = advance(font, times   ? QStringLiteral("00:00:00")
                                       : dates ? QStringLiteral("Mmm 0000")
                                               : QStringLiteral("0000")) *
                         1.6;
    place.xTicks = ticksOf(panel.x, place.axes.width(), xRoom);
    place.yTicks = ticksOf(panel.y, place.axes.height(), lineHeight(font) * 1.4);
}

void placeRows(const report::Scene& scene, SceneLayout& layout) {
    std::map<std::size_t, Edges> shared;
    for (const auto& row : scene.rows)
        for (const auto& panel : row.panels) {
            const Edges own = edgesOf(panel, layout.body.width() / static_cast<double>(row.panels.size()));
            auto& common = shared[row.panels.size()];
            common.left = std::max(common.left, own.left);
            common.right = std::max(common.right, own.right);
        }
    const auto heights = rowHeights(scene.rows, layout.body.height());
    double top = layout.body.top();
    for (std::size_t i = 0; i < scene.rows.size(); ++i) {
        placeRow(scene.rows[i], QRectF(layout.body.left(), top, layout.body.width(), heights[i]), shared,
                 layout.panels);
        top += heights[i] + rowGap;
    }
    squareAlike(layout.panels);
    for (auto& place : layout.panels)
        addTicks(place);
}

/// Takes room for the panel beside the rows from the body, and places it.
PlacedPanel takeBeside(const Panel& panel, QRectF& body) {
    QRectF room = body;
    if (body.height() > tallShare * body.width()) {
        room.setTop(body.bottom() - std::min(belowShare * body.height(), body.width()));
        body.setBottom(room.top() - rowGap);
    } else {
        room.setLeft(body.right() - std::min(besideShare * body.width(), body.height()));
        body.setRight(room.left() - panelGap);
    }
    const Edges own = edgesOf(panel, room.width());
    PlacedPanel place;
    place.panel = &panel;
    place.whole = room;
    place.axes = room.adjusted(own.left, own.top, -own.right, -own.bottom);
    return place;
}

void placeLegend(const report::Scene& scene, double width, SceneLayout& layout) {
    double used = 0.0;
    for (std::size_t i = 0; i < scene.legend.size(); ++i) {
        const double need = legendWidth(scene.legend[i]);
        if (layout.legendLines.empty() || used + need > width) {
            layout.legendLines.emplace_back();
            used = 0.0;
        }
        layout.legendLines.back().push_back(i);
        used += need;
    }
}

}  // namespace

double legendIndent(const report::LegendEntry& entry) {
    return entry.sample == report::LegendEntry::Sample::None ? 0.0 : legendSample_pt + 4.0;
}

double legendWidth(const report::LegendEntry& entry) {
    return legendIndent(entry) + advance(figureFont(TextSize::Small), qt(entry.label)) + 12.0;
}

SceneLayout layOut(const report::Scene& scene, const QRectF& area) {
    SceneLayout layout;
    QRectF rest = area;
    const auto takeTop = [&rest](double height) {
        const QRectF box(rest.left(), rest.top(), rest.width(), height);
        rest.setTop(rest.top() + height);
        return box;
    };
    const QFont title = figureFont(TextSize::Title, true), small = figureFont(TextSize::Small);
    layout.title = wrapped(qt(scene.title), title, area.width(), 2);
    layout.titleBox = takeTop(lineHeight(title) * static_cast<double>(layout.title.size()));
    layout.subtitle = wrapped(qt(scene.subtitle), small, area.width(), 2);
    layout.subtitleBox = takeTop(lineHeight(small) * static_cast<double>(layout.subtitle.size()));
    placeLegend(scene, area.width(), layout);
    if (!layout.legendLines.empty()) takeTop(3.0);
    layout.legendBox = takeTop(lineHeight(small) * 1.2 * static_cast<double>(layout.legendLines.size()));
    if (rest.top() > area.top()) takeTop(5.0);
    layout.footnote = wrapped(qt(scene.footnote), small, area.width(), 3);
    const double foot = lineHeight(small) * static_cast<double>(layout.footnote.size());
    layout.footnoteBox = QRectF(rest.left(), rest.bottom() - foot, rest.width(), foot);
    if (foot > 0) rest.setBottom(rest.bottom() - foot - 4.0);
    layout.body = rest;
    if (scene.beside) layout.panels.push_back(takeBeside(*scene.beside, layout.body));
    placeRows(scene, layout);
    return layout;
}

}  // namespace beatwitness::widgets
