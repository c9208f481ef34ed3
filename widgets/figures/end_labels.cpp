// Labels beside the axes of a panel.
#include <algorithm>
#include <vector>

#include "widgets/figures/figure_text.h"
#include "widgets/figures/scene_marks.h"

namespace beatwitness::widgets {
namespace {

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

struct EndLabel {
    double y = 0.0;
    QString text;
    QColor colour;
    bool strong = false;
};

std::vector<EndLabel> endLabelsOf(const PlacedPanel& place, const MarkStyle& style) {
    std::vector<EndLabel> labels;
    for (const auto& mark : place.panel->marks) {
        if (const auto* line = std::get_if<report::Line>(&mark);
            line && !line->endLabel.empty() && !line->y.empty())
            labels.push_back(
                {place.y(line->y.back()), qt(line->endLabel), colourOf(line->paint, style), true});
        if (const auto* rule = std::get_if<report::Rule>(&mark);
            rule && !rule->upright && !rule->label.empty()) {
            const double at = rule->slope * place.panel->x.highest + rule->shift;
            labels.push_back({place.y(at), qt(rule->label), colourOf(rule->paint, style), false});
        }
        if (const auto* interval = std::get_if<report::IntervalMark>(&mark);
            interval && !interval->label.empty())
            labels.push_back({place.y(interval->row), qt(interval->label), style.palette.paper, false});
    }
    return labels;
}

/// Pushes labels apart so that each keeps `height`; the order stays.
void spread(std::vector<EndLabel>& labels, double top, double bottom, double height) {
    std::ranges::stable_sort(labels, {}, &EndLabel::y);
    for (auto& label : labels)
        label.y = std::clamp(label.y, top, bottom);
    for (std::size_t i = 1; i < labels.size(); ++i)
        labels[i].y = std::max(labels[i].y, labels[i - 1].y + height);
    if (!labels.empty() && labels.back().y > bottom) {
        labels.back().y = bottom;
        for (std::size_t i = labels.size() - 1; i-- > 0;)
            labels[i].y = std::min(labels[i].y, labels[i + 1].y - height);
    }
}

struct TopLabel {
    double x = 0.0, room = 0.0;
    QString text;
    QColor colour;
    bool strong = false;
    bool goesFirst = false;  ///< others give way
};

std::vector<TopLabel> topLabelsOf(const PlacedPanel& place, const MarkStyle& style) {
    std::vector<TopLabel> labels;
    for (const auto& mark : place.panel->marks) {
        if (const auto* zone = std::get_if<report::Zone>(&mark); zone && zone->alongX) {
            const double from = std::clamp(place.x(zone->from), place.axes.left(), place.axes.right());
            const double to = std::clamp(place.x(zone->to), place.axes.left(), place.axes.right());
            const QString text =
                zone->coded ? QString::fromUtf8(style.palette.flag(zone->paint.flag).code) : qt(zone->label);
            labels.push_back({(from + to) / 2, to - from + 14.0, text,
                              zone->coded ? style.palette.ink : style.palette.quietInk, zone->coded});
        }
        if (const auto* rule = std::get_if<report::Rule>(&mark); rule && rule->upright)
            labels.push_back(
                {place.x(rule->shift), place.whole.width(), qt(rule->label),
                 rule->paint.role == report::Paint::Role::Guide ? style.palette.warning : style.palette.ink,
                 false, rule->paint.role == report::Paint::Role::Accent});
    }
    std::erase_if(labels, [&](const TopLabel& label) {
        return label.text.isEmpty() || label.x < place.axes.left() - 0.5 ||
               label.x > place.axes.right() + 0.5;
    });
    std::ranges::stable_sort(labels, {}, &TopLabel::x);
    return labels;
}

}  // namespace

void drawTopLabels(QPainter& painter, const PlacedPanel& place, const MarkStyle& style) {
    auto labels = topLabelsOf(place, style);
    std::ranges::stable_partition(labels, &TopLabel::goesFirst);
    std::vector<QRectF> taken;
    for (const auto& label : labels) {
        const QFont font = figureFont(TextSize::Small, label.strong);
        const QFontMetricsF metrics(font);
        const double width = metrics.horizontalAdvance(label.text);
        const double left = std::clamp(label.x - width / 2, place.whole.left(),
                                       std::max(place.whole.left(), place.whole.right() - width));
        const QRectF box(left, 0.0, width + 3.0, 1.0);
        // A label wider than its stretch, or on top of another, is left to the legend and the lanes.
        if (width > label.room ||
            std::ranges::any_of(taken, [&](const QRectF& other) { return other.intersects(box); }))
            continue;
        painter.setFont(font);
        painter.setPen(label.colour);
        painter.drawText(QPointF(left, place.axes.top() - metrics.descent() - 1.0), label.text);
        taken.push_back(box);
    }
}

void drawEndLabels(QPainter& painter, const PlacedPanel& place, const MarkStyle& style) {
    auto labels = endLabelsOf(place, style);
    const QFontMetricsF metrics(figureFont(TextSize::Small));
    const double middle = (metrics.ascent() - metrics.descent()) / 2;
    spread(labels, place.axes.top() + metrics.height() / 2 - 2.0, place.axes.bottom(), metrics.height());
    for (const auto& label : labels) {
        painter.setFont(figureFont(TextSize::Small, label.strong));
        // The colour stands in the swatch: not every trace's colour reads as text.
        painter.fillRect(QRectF(place.axes.right() + 3.0, label.y - 0.9, 6.0, 1.8), label.colour);
        painter.setPen(style.palette.ink);
        painter.drawText(QPointF(place.axes.right() + 11.0, label.y + middle), label.text);
    }
}

}  // namespace beatwitness::widgets
