#include "widgets/figures/scene_layout.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "widgets/figures/card_layout.h"
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

constexpr double titleGap = 3.0;  ///< between what stands above the axes and them
constexpr int mostLabelLines = 2;
constexpr double flowingAspect = 1.8;  ///< width over height of panels that flow, labels included
constexpr double leastFlowing_pt = 110.0, leastSquare_pt = 84.0;  ///< width of a panel that can be read
constexpr double leastFlowingAxes_pt = 34.0;                      ///< width of the axes of a panel that flows
constexpr double leastAxes_pt = 70.0;      ///< height of a panel's axes where it stands alone
constexpr double leastWeighted_pt = 30.0;  ///< likewise, for each unit of weight among other rows
constexpr double leastMark_pt = 8.0;       ///< height for one interval of a category

struct Edges {
    double left = 0.0, right = 0.0, top = 0.0, bottom = 0.0;
};

/// A row as it is laid out; nullptr leaves a place empty.
struct LaidRow {
    std::vector<const Panel*> panels;
    double weight = 1.0;
    double lines = 0.0;
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
    const auto lines = [&](const Axis& axis) {
        return static_cast<double>(axisLabelLines(axis, width).size());
    };
    if (!panel.y.label.empty()) edges.top += small * lines(panel.y) + labelGap;
    if (hasTopLabels(panel)) edges.top += small;
    if (edges.top > 0) edges.top += titleGap;
    if (panel.x.kind != Axis::Kind::Hidden) edges.bottom += small + tickGap;
    if (!panel.x.label.empty()) edges.bottom += small * lines(panel.x) + labelGap;
    edges.right = beyondRight(panel);
    if (panel.x.kind != Axis::Kind::Hidden && edges.right < 6.0) edges.right = 6.0;
    return edges;
}

bool isBlank(const Panel& panel) {
    return panel.marks.empty() && panel.x.kind == Axis::Kind::Hidden && panel.y.kind == Axis::Kind::Hidden;
}

std::vector<const Panel*> flowing(const report::Scene& scene) {
    std::vector<const Panel*> panels;
    for (const auto& row : scene.rows)
        for (const auto& panel : row.panels)
            if (!isBlank(panel)) panels.push_back(&panel);
    return panels;
}

std::vector<LaidRow> inColumns(const std::vector<const Panel*>& panels, std::size_t columns) {
    std::vector<LaidRow> rows;
    for (std::size_t i = 0; i < panels.size(); ++i) {
        if (i % columns == 0) rows.emplace_back().panels.resize(columns, nullptr);
        rows.back().panels[i % columns] = panels[i];
    }
    return rows;
}

/// As many columns as make the panels largest.
std::size_t bestColumns(const std::vector<const Panel*>& panels, const QRectF& body) {
    const double aspect = !panels.empty() && panels.front()->square ? 0.85 : flowingAspect;
    std::size_t best = 1;
    double largest = 0.0;
    for (std::size_t columns = 1; columns <= panels.size(); ++columns) {
        const auto across = static_cast<double>(columns);
        const double down = std::ceil(static_cast<double>(panels.size()) / across);
        const double width = (body.width() - panelGap * (across - 1)) / across;
        const double height = (body.height() - rowGap * (down - 1)) / down;
        const double size = std::min(width, height * aspect);
        if (size > largest) largest = size, best = columns;
    }
    return best;
}

/// Whether panels in so many columns have axes that can be read.
bool canBeRead(const std::vector<const Panel*>& panels, std::size_t columns, const QRectF& body) {
    const auto across = static_cast<double>(columns);
    const double down = std::ceil(static_cast<double>(panels.size()) / across);
    const double width = (body.width() - panelGap * (across - 1)) / across;
    const double height = (body.height() - rowGap * (down - 1)) / down;
    const Edges edges = edgesOf(*panels.front(), width);
    return width - edges.left - edges.right >= leastFlowingAxes_pt &&
           height - edges.top - edges.bottom >= leastFlowingAxes_pt * (panels.front()->square ? 1.0 : 0.6);
}

std::vector<LaidRow> laidRows(const report::Scene& scene, const QRectF& body,
                              std::size_t* leftOut = nullptr) {
    if (scene.flows) {
        auto panels = flowing(scene);
        const auto all = panels.size();
        while (panels.size() > 1 && !canBeRead(panels, bestColumns(panels, body), body))
            panels.pop_back();
        if (leftOut) *leftOut = all - panels.size();
        return inColumns(panels, bestColumns(panels, body));
    }
    std::vector<LaidRow> rows;
    for (const auto& row : scene.rows) {
        LaidRow laid{{}, row.weight, row.lines};
        for (const auto& panel : row.panels)
            laid.panels.push_back(&panel);
        rows.push_back(std::move(laid));
    }
    return rows;
}

double laneLine() {
    return lineHeight(figureFont(TextSize::Plain)) * 1.25;
}

std::vector<double> rowHeights(const std::vector<LaidRow>& rows, double height) {
    double fixed = rows.empty() ? 0.0 : rowGap * static_cast<double>(rows.size() - 1), weights = 0.0;
    for (const auto& row : rows)
        row.lines > 0 ? fixed += row.lines * laneLine() : weights += row.weight;
    std::vector<double> heights;
    for (const auto& row : rows)
        heights.push_back(row.lines > 0 ? row.lines * laneLine()
                                        : std::max(0.0, height - fixed) * row.weight / weights);
    return heights;
}

void placeRow(const LaidRow& row, const QRectF& box, const std::map<std::size_t, Edges>& shared,
              std::vector<PlacedPanel>& placed) {
    double weights = 0.0;
    for (const auto* panel : row.panels)
        weights += panel ? panel->weight : 1.0;
    const double room = box.width() - panelGap * static_cast<double>(row.panels.size() - 1);
    double left = box.left();
    for (const auto* panel : row.panels) {
        const double width = room * (panel ? panel->weight : 1.0) / weights;
        if (panel) {
            const Edges own = edgesOf(*panel, width), common = shared.at(row.panels.size());
            PlacedPanel place;
            place.panel = panel;
            place.whole = QRectF(left, box.top(), width, box.height());
            place.axes = place.whole.adjusted(common.left, own.top, -common.right, -own.bottom);
            placed.push_back(std::move(place));
        }
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

std::map<std::size_t, Edges> sharedEdges(const std::vector<LaidRow>& rows, double width) {
    std::map<std::size_t, Edges> shared;
    for (const auto& row : rows)
        for (const auto* panel : row.panels) {
            if (!panel) continue;
            const Edges own = edgesOf(*panel, width / static_cast<double>(row.panels.size()));
            auto& common = shared[row.panels.size()];
            common.left = std::max(common.left, own.left);
            common.right = std::max(common.right, own.right);
        }
    return shared;
}

void placeRows(const report::Scene& scene, SceneLayout& layout) {
    QRectF body = layout.body;
    auto rows = laidRows(scene, body, &layout.leftOut);
    if (layout.leftOut > 0) {  // a line tells how many
        body.setBottom(body.bottom() - lineHeight(figureFont(TextSize::Small)) - titleGap);
        rows = laidRows(scene, body, &layout.leftOut);
    }
    const auto shared = sharedEdges(rows, body.width());
    const auto heights = rowHeights(rows, body.height());
    double top = layout.body.top();
    for (std::size_t i = 0; i < rows.size(); ++i) {
        placeRow(rows[i], QRectF(layout.body.left(), top, layout.body.width(), heights[i]), shared,
                 layout.panels);
        top += heights[i] + rowGap;
    }
    squareAlike(layout.panels);
    for (auto& place : layout.panels)
        addTicks(place);
}

/// The least height of the axes of a panel whose axes are `width` wide.
double leastAxes(const Panel& panel, double width, double weight, bool alone) {
    if (panel.square) return width;
    if (panel.y.kind != Axis::Kind::Categories)
        return alone ? leastAxes_pt : leastWeighted_pt * std::max(1.0, weight);
    const auto categories = static_cast<double>(std::max<std::size_t>(1, panel.y.categories.size()));
    double intervals = 0.0;
    bool hasBlocks = false, hasPoints = false;
    for (const auto& mark : panel.marks) {
        intervals += std::holds_alternative<report::IntervalMark>(mark);
        hasBlocks = hasBlocks || std::holds_alternative<report::Block>(mark);
        hasPoints = hasPoints || std::holds_alternative<report::Points>(mark);
    }
    const double each =
        std::max({1.15 * lineHeight(figureFont(TextSize::Small)),
                  leastMark_pt * (std::ceil(intervals / categories) + (hasPoints ? 1.0 : 0.0)),
                  hasBlocks ? 1.8 * lineHeight(figureFont(TextSize::Small)) : 0.0});
    return categories * each;
}

double leastBody(const std::vector<LaidRow>& rows, double width) {
    const auto shared = sharedEdges(rows, width);
    std::size_t weighted = 0;
    for (const auto& row : rows)
        weighted += row.lines <= 0;
    double fixed = rows.empty() ? 0.0 : rowGap * static_cast<double>(rows.size() - 1);
    double weights = 0.0, unit = 0.0;
    for (const auto& row : rows) {
        if (row.lines > 0) {
            fixed += row.lines * laneLine();
            continue;
        }
        weights += row.weight;
        const auto count = static_cast<double>(row.panels.size());
        const double each = (width - panelGap * (count - 1)) / count;
        for (const auto* panel : row.panels) {
            if (!panel) continue;
            const Edges own = edgesOf(*panel, each), common = shared.at(row.panels.size());
            const double least =
                leastAxes(*panel, each - common.left - common.right, row.weight, weighted == 1 && count == 1);
            unit = std::max(unit, (own.top + own.bottom + least) / row.weight);
        }
    }
    return fixed + unit * weights;
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

QStringList axisLabelLines(const Axis& axis, double width) {
    return wrapped(qt(axis.label), figureFont(TextSize::Small), width, mostLabelLines);
}

namespace {

/// Title, subtitle and legend at the top, the footnote at the bottom; the body is what is left.
void placeWords(const report::Scene& scene, const QRectF& area, SceneLayout& layout) {
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
}

}  // namespace

double leastHeight(const report::Scene& scene, double width) {
    constexpr double plenty = 1e5;
    SceneLayout layout;
    placeWords(scene, QRectF(0, 0, width, plenty), layout);
    const double words = plenty - layout.body.height();
    if (!scene.statements.empty()) return words + leastCard(scene, width);
    if (!scene.flows) {
        const double across = scene.beside ? width * (1.0 - besideShare) - panelGap : width;
        const double beside = scene.beside ? width * besideShare : 0.0;
        return words + std::max(beside, leastBody(laidRows(scene, layout.body), across));
    }
    const auto panels = flowing(scene);
    if (panels.empty()) return words;
    const double least = panels.front()->square ? leastSquare_pt : leastFlowing_pt;
    const auto columns = std::clamp<std::size_t>(
        static_cast<std::size_t>((width + panelGap) / (least + panelGap)), 1, panels.size());
    const auto rows = inColumns(panels, columns);
    return words + std::max(leastBody(rows, width),
                            panels.front()->square ? 0.0 : static_cast<double>(rows.size()) * leastAxes_pt);
}

SceneLayout layOut(const report::Scene& scene, const QRectF& area) {
    SceneLayout layout;
    placeWords(scene, area, layout);
    if (scene.beside) layout.panels.push_back(takeBeside(*scene.beside, layout.body));
    placeRows(scene, layout);
    return layout;
}

}  // namespace beatwitness::widgets
