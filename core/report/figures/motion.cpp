#include "core/report/figures/motion.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

namespace beatwitness::report {
namespace {

/// "12:04", "1:05:09".
std::string clockText(double seconds) {
    const auto whole = static_cast<long>(std::floor(seconds));
    const long h = whole / 3600, m = whole / 60 % 60, s = whole % 60;
    return h > 0 ? fmt::format("{}:{:02}:{:02}", h, m, s) : fmt::format("{}:{:02}", m, s);
}

/// The line up to `at_s`, with a last point there where the line runs on.
void cutLine(Line& line, double at_s) {
    const auto kept = static_cast<std::size_t>(std::ranges::upper_bound(line.x, at_s) - line.x.begin());
    if (kept == line.x.size()) return;
    const double nextX = line.x[kept], nextY = line.y[kept];
    const bool runsOn = kept > 0 && line.joined[kept];
    line.x.resize(kept);
    line.y.resize(kept);
    line.joined.resize(kept);
    if (!runsOn || line.x.back() >= at_s) return;
    const double share = (at_s - line.x.back()) / (nextX - line.x.back());
    line.y.push_back(line.y.back() + share * (nextY - line.y.back()));
    line.x.push_back(at_s);
    line.joined.push_back(1);
}

/// Where the line has come to, if it has just been drawn: after a gap nothing stands at the instant.
std::optional<Points> headOf(const Line& line, double at_s) {
    if (line.x.empty() || line.x.back() < at_s - 1.0) return std::nullopt;
    Points head;
    head.x = {line.x.back()};
    head.y = {line.y.back()};
    head.paint = line.paint;
    return head;
}

bool isFlag(const Paint& paint) {
    return paint.role == Paint::Role::Flag;
}

/// False where the mark has not begun at `at_s`.
bool cutMark(Mark& mark, double at_s) {
    if (auto* line = std::get_if<Line>(&mark)) cutLine(*line, at_s);
    if (auto* zone = std::get_if<Zone>(&mark); zone && zone->alongX && isFlag(zone->paint)) {
        if (zone->from > at_s) return false;
        zone->to = std::min(zone->to, at_s);
    }
    if (auto* block = std::get_if<Block>(&mark); block && isFlag(block->paint)) {
        if (block->from > at_s) return false;
        block->to = std::min(block->to, at_s);
    }
    if (const auto* rule = std::get_if<Rule>(&mark); rule && rule->upright) return rule->shift <= at_s;
    return true;
}

void grow(Panel& panel, double at_s) {
    std::erase_if(panel.marks, [&](Mark& mark) { return !cutMark(mark, at_s); });
    std::vector<Mark> heads;
    for (const auto& mark : panel.marks)
        if (const auto* line = std::get_if<Line>(&mark))
            if (auto head = headOf(*line, at_s)) heads.emplace_back(std::move(*head));
    panel.marks.insert(panel.marks.end(), heads.begin(), heads.end());
}

/// The cells with what had been counted at the instant; the scale of the whole map stays.
void fill(Cells& cells, const trace::Pairs& pairs, double at_s) {
    const auto counted = static_cast<std::size_t>(
        std::ranges::upper_bound(pairs.seconds, static_cast<std::int64_t>(std::floor(at_s))) -
        pairs.seconds.begin());
    if (cells.largest <= 0) cells.largest = cells.map.largest;
    cells.map = agreement::densityMap(std::span(pairs.reference).first(counted),
                                      std::span(pairs.test).first(counted), cells.map.cellWidth_bpm);
}

void fillMaps(Panel& panel, const trace::Pairs& pairs, double at_s) {
    for (auto& mark : panel.marks)
        if (auto* cells = std::get_if<Cells>(&mark)) fill(*cells, pairs, at_s);
}

void addCursor(std::vector<PanelRow>& rows, MotionStyle style, double at_s) {
    bool isFirst = true;
    for (auto& row : rows)
        for (auto& panel : row.panels) {
            Rule rule{0.0, at_s, true, Paint{Paint::Role::Accent}, Dash::Solid, 0.9, false, {}};
            if (isFirst) rule.label = clockText(at_s);
            if (isFirst || style == MotionStyle::Cursor) panel.marks.emplace_back(std::move(rule));
            isFirst = false;
        }
}

}  // namespace

Scene sceneAt(const Scene& whole, const MotionSource& source, MotionStyle style, double at_s) {
    Scene scene = whole;
    if (source.hasTimeAxis) {
        if (style == MotionStyle::Grow)
            for (auto& row : scene.rows)
                for (auto& panel : row.panels)
                    grow(panel, at_s);
        addCursor(scene.rows, style, at_s);
    }
    for (auto& row : scene.rows)
        for (auto& panel : row.panels)
            fillMaps(panel, source.mapped, at_s);
    if (scene.beside) fillMaps(*scene.beside, source.mapped, at_s);
    return scene;
}

}  // namespace beatwitness::report
