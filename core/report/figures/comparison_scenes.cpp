#include "core/report/figures/comparison_scenes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "core/report/figures/figure_words.h"

namespace beatwitness::report {
namespace {

Scene started(const FigureWords& words) {
    Scene scene;
    scene.title = words.title;
    scene.subtitle = words.subtitle;
    scene.caption = words.caption;
    scene.footnote = words.footnote;
    return scene;
}

Panel categoryPanel(std::vector<std::string> categories) {
    Panel panel;
    panel.y.kind = Axis::Kind::Categories;
    panel.y.lowest = -0.55;
    panel.y.highest = static_cast<double>(categories.size()) - 0.45;
    panel.y.categories = std::move(categories);
    return panel;
}

template <class Rows>
std::vector<std::string> rowNames(const Rows& rows) {
    std::vector<std::string> names;
    for (const auto& row : rows)
        if (std::ranges::find(names, row.row) == names.end()) names.push_back(row.row);
    return names;
}

double placeOf(const std::vector<std::string>& names, const std::string& name) {
    return static_cast<double>(std::ranges::find(names, name) - names.begin());
}

void finish(Scene& scene, Panel panel, double rows) {
    scene.aspect = std::clamp(2.6 - 0.14 * rows, 0.9, 2.4);
    PanelRow row;
    row.panels.push_back(std::move(panel));
    scene.rows.push_back(std::move(row));
}

}  // namespace

Scene intervalsScene(std::span<const Estimate> estimates, const std::string& axis,
                     const std::optional<SetLimit>& limit, const FigureWords& words) {
    Scene scene = started(words);
    const auto names = rowNames(estimates);
    Panel panel = categoryPanel(names);
    std::vector<std::pair<int, std::string>> devices;
    for (const auto& estimate : estimates)
        if (std::ranges::find(devices, estimate.deviceIndex, &std::pair<int, std::string>::first) ==
            devices.end())
            devices.emplace_back(estimate.deviceIndex, estimate.device);
    double lowest = 0.0, highest = limit ? limit->value : 0.0, largestValue = 0.0;
    for (const auto& estimate : estimates)
        largestValue = std::max(largestValue, std::abs(estimate.value));
    if (limit)
        panel.marks.emplace_back(
            Rule{0.0, limit->value, true, Paint::guide(), Dash::Dashed, 1.0, false, limit->label});
    for (const auto& estimate : estimates) {
        const auto device =
            std::ranges::find(devices, estimate.deviceIndex, &std::pair<int, std::string>::first);
        const auto count = static_cast<double>(devices.size());
        IntervalMark mark;
        mark.row = placeOf(names, estimate.row) +
                   (static_cast<double>(device - devices.begin()) - (count - 1) / 2) * 0.62 / count;
        mark.value = estimate.value;
        mark.interval = estimate.interval;
        mark.paint = Paint::device(estimate.deviceIndex);
        mark.shape = estimate.deviceIndex;
        mark.label = estimate.note;
        panel.marks.emplace_back(mark);
        lowest = std::min(lowest, estimate.value);
        highest = std::max(highest, estimate.value);
        if (estimate.interval) {
            // An interval from two sessions may run off for miles; it is cut at the edge rather than squeeze
            // the rest.
            lowest = std::min(lowest, std::max((*estimate.interval)[0], -2.5 * largestValue));
            highest = std::max(highest, std::min((*estimate.interval)[1], 2.5 * largestValue));
        }
    }
    panel.x.lowest = lowest < 0 ? lowest * 1.08 : 0.0;
    panel.x.highest = highest > 0 ? highest * 1.08 : 1.0;
    panel.x.label = axis;
    if (devices.size() > 1)
        for (const auto& [index, name] : devices)
            scene.legend.push_back({name, Paint::device(index), LegendEntry::Sample::Shape, index});
    finish(scene, std::move(panel), static_cast<double>(names.size()));
    return scene;
}

Scene pairedScene(std::span<const PairedRow> rows, const std::string& a, const std::string& b,
                  const FigureWords& words) {
    Scene scene = started(words);
    Panel panel = categoryPanel(rowNames(rows));
    double reach = 1.0;
    panel.marks.emplace_back(Rule{0.0, 0.0, true, Paint::quiet(), Dash::Solid, 0.8, false, {}});
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto at = static_cast<double>(i);
        Points points;
        points.paint = Paint::quiet();
        points.hollow = true;
        for (const double session : rows[i].sessions) {
            points.x.push_back(session);
            points.y.push_back(at - 0.16);
            reach = std::max(reach, std::abs(session));
        }
        panel.marks.emplace_back(std::move(points));
        if (!rows[i].mean) continue;
        IntervalMark mark;
        mark.row = at + 0.16;
        mark.value = *rows[i].mean;
        mark.interval = rows[i].interval;
        mark.paint = Paint::ink();
        mark.shape = 3;
        panel.marks.emplace_back(mark);
        if (rows[i].interval)
            for (const double end : *rows[i].interval)
                reach = std::max(reach, std::min(std::abs(end), 3 * std::abs(*rows[i].mean) + 5.0));
    }
    panel.x.kind = Axis::Kind::Signed;
    panel.x.lowest = -reach * 1.1;
    panel.x.highest = reach * 1.1;
    panel.x.label = fmt::format(
        "\u2190 {} errs less \u00b7 difference of mean absolute errors, bpm \u00b7 {} errs less \u2192", a,
        b);
    scene.legend.push_back({"one session", Paint::quiet(), LegendEntry::Sample::HollowShape});
    scene.legend.push_back({"mean with 95 % interval", Paint::ink(), LegendEntry::Sample::Shape, 3});
    finish(scene, std::move(panel), static_cast<double>(rows.size()));
    return scene;
}

Scene attributionScene(std::span<const AttributedDevice> devices, const FigureWords& words) {
    Scene scene = started(words);
    std::vector<std::string> names;
    for (const auto& device : devices)
        names.push_back(device.device);
    Panel panel = categoryPanel(std::move(names));
    double longest = 0.1;
    std::vector<std::string> listed;
    for (std::size_t d = 0; d < devices.size(); ++d) {
        double from = 0.0;
        for (const auto& row : devices[d].rows) {
            const double to = from + row.contribution.value;
            Block block;
            block.from = from;
            block.to = to;
            block.row = static_cast<double>(d);
            block.thickness = 0.62;
            const auto kind = flags::flagKindOf(row.kind);
            block.paint = kind                    ? Paint::of(*kind)
                          : row.kind == "no flag" ? Paint::quiet()
                                                  : Paint{Paint::Role::Hairline};
            block.label = figureNumber(row.contribution.value);
            panel.marks.emplace_back(block);
            const std::string name = kindWords(row.kind);
            if (row.contribution.value > 0 && std::ranges::find(listed, name) == listed.end()) {
                listed.push_back(name);
                scene.legend.push_back({name, block.paint, LegendEntry::Sample::Swatch});
            }
            from = to;
        }
        longest = std::max(longest, from);
        panel.marks.emplace_back(Word{from, static_cast<double>(d), "  " + figureNumber(from), Paint::ink(),
                                      Word::Anchor::Left, true});
    }
    panel.x.highest = longest * 1.12;
    panel.x.label = "contribution to the mean absolute error, bpm";
    finish(scene, std::move(panel), static_cast<double>(devices.size()) * 2);
    return scene;
}

Scene cardScene(std::vector<Statement> statements, const std::string& verdict, const FigureWords& words) {
    Scene scene = started(words);
    scene.statements = std::move(statements);
    scene.verdict = verdict;
    scene.aspect = 1.78;
    return scene;
}

}  // namespace beatwitness::report
