#include "core/report/figures/comparison_scenes.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
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
                     const std::optional<SetLimit>& limit, const std::optional<SetLimit>& floor,
                     const FigureWords& words) {
    Scene scene = started(words);
    const auto names = rowNames(estimates);
    Panel panel = categoryPanel(names);
    if (floor) panel.marks.emplace_back(Zone{0.0, floor->value, true, Paint::quiet(), {}, false});
    std::vector<std::pair<int, std::string>> devices;
    for (const auto& estimate : estimates)
        if (std::ranges::find(devices, estimate.deviceIndex, &std::pair<int, std::string>::first) ==
            devices.end())
            devices.emplace_back(estimate.deviceIndex, estimate.device);
    double lowest = 0.0, highest = std::max(limit ? limit->value : 0.0, floor ? floor->value : 0.0);
    double largestValue = 0.0;
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
    // Too narrow for a word of its own.
    if (floor) scene.legend.push_back({floor->label, Paint::quiet(), LegendEntry::Sample::Swatch});
    finish(scene, std::move(panel), static_cast<double>(names.size()));
    return scene;
}

namespace {

/// Every value, and as much of the intervals as leaves the values room.
void spanOf(std::span<const Standing> rows, double& lowest, double& highest) {
    double largest = 0.0;
    for (const auto& row : rows)
        largest = std::max(largest, std::abs(row.value));
    for (const auto& row : rows) {
        lowest = std::min(lowest, row.value);
        highest = std::max(highest, row.value);
        if (!row.interval) continue;
        lowest = std::min(lowest, std::max((*row.interval)[0], -2.5 * largest));
        highest = std::max(highest, std::min((*row.interval)[1], 2.5 * largest));
    }
}

Panel standingPanel(std::span<const Standing> rows, const std::optional<SetLimit>& limit, int deviceIndex) {
    const auto names = rowNames(rows);
    Panel panel = categoryPanel(names);
    panel.title = rows.front().panel;
    if (limit)
        panel.marks.emplace_back(Rule{0.0, limit->value, true, Paint::guide(), Dash::Dashed, 1.0, false, {}});
    for (const auto& row : rows) {
        IntervalMark mark;
        mark.row = placeOf(names, row.row);
        mark.value = row.value;
        mark.interval = row.interval;
        mark.paint = row.chosen ? Paint::device(deviceIndex) : Paint::quiet();
        mark.shape = deviceIndex;
        mark.label = row.note;
        panel.marks.emplace_back(mark);
    }
    return panel;
}

/// Rows in a panel each, in the order of first mention.
std::vector<std::vector<Standing>> byPanel(std::span<const Standing> rows) {
    std::vector<std::vector<Standing>> panels;
    for (const auto& row : rows) {
        const auto found = std::ranges::find(
            panels, row.panel, [](const auto& panel) -> const std::string& { return panel.front().panel; });
        (found == panels.end() ? panels.emplace_back() : *found).push_back(row);
    }
    return panels;
}

}  // namespace

Scene standingScene(std::span<const Standing> choices, std::span<const Standing> without,
                    const std::string& axis, const std::optional<SetLimit>& limit, int deviceIndex,
                    const FigureWords& words) {
    Scene scene = started(words);
    double lowest = 0.0, highest = limit ? limit->value : 0.0, lines = 4.0;
    spanOf(choices, lowest, highest);
    spanOf(without, lowest, highest);
    const auto addRow = [&](std::vector<Panel> panels, std::size_t rows) {
        for (auto& panel : panels) {
            panel.x.lowest = lowest < 0 ? lowest * 1.08 : 0.0;
            panel.x.highest = highest > 0 ? highest * 1.08 : 1.0;
        }
        PanelRow row;
        row.weight = static_cast<double>(rows) + 2.4;
        lines += row.weight;
        row.panels = std::move(panels);
        scene.rows.push_back(std::move(row));
    };
    const auto panels = byPanel(choices);
    for (std::size_t i = 0; i < panels.size(); i += 2) {
        std::vector<Panel> pair;
        for (std::size_t j = i; j < std::min(i + 2, panels.size()); ++j)
            pair.push_back(standingPanel(panels[j], limit, deviceIndex));
        addRow(std::move(pair), panels[i].size());
    }
    if (!without.empty()) addRow({standingPanel(without, limit, deviceIndex)}, without.size());
    if (!scene.rows.empty()) scene.rows.back().panels.front().x.label = axis;
    scene.legend.push_back({"as asked", Paint::device(deviceIndex), LegendEntry::Sample::Shape, deviceIndex});
    scene.legend.push_back({"other choices", Paint::quiet(), LegendEntry::Sample::Shape, deviceIndex});
    if (limit)
        scene.legend.push_back({limit->label, Paint::guide(), LegendEntry::Sample::Stroke, 0, Dash::Dashed});
    scene.aspect = std::clamp(34.0 / lines, 0.5, 1.6);
    return scene;
}

namespace {

/// "2031", "2031 to 2033".
std::string yearsWords(double firstDay, double lastDay) {
    const auto yearOfDay = [](double day) {
        const std::chrono::sys_days at{std::chrono::days{static_cast<int>(std::floor(day))}};
        return static_cast<int>(std::chrono::year_month_day{at}.year());
    };
    const int first = yearOfDay(firstDay), last = yearOfDay(lastDay);
    return first == last ? std::to_string(first) : fmt::format("{} to {}", first, last);
}

}  // namespace

Scene overTimeScene(std::span<const DatedDevice> devices, const std::string& axis,
                    const std::optional<SetLimit>& limit, const FigureWords& words) {
    Scene scene = started(words);
    double first = 1e18, last = -1e18, highest = limit ? limit->value : 0.0, lowest = 0.0;
    for (const auto& device : devices)
        for (const auto& session : device.sessions) {
            first = std::min(first, session.day);
            last = std::max(last, session.day);
            highest = std::max(highest, session.value);
            lowest = std::min(lowest, session.value);
        }
    const double margin = std::max(1.0, (last - first) * 0.03);
    for (const auto& device : devices) {
        Panel panel;
        panel.title = device.device;
        panel.x.kind = Axis::Kind::Date;
        panel.x.lowest = first - margin;
        panel.x.highest = last + margin;
        panel.y.lowest = lowest < 0 ? lowest * 1.1 : 0.0;
        panel.y.highest = highest > 0 ? highest * 1.18 : 1.0;
        panel.y.label = axis;
        const auto paint = Paint::device(device.deviceIndex);
        for (const auto& span : device.spans) {
            const double from = span.firstDay - margin / 4, to = span.lastDay + margin / 4;
            const auto ends = span.interval.value_or(std::array{span.value, span.value});
            panel.marks.emplace_back(
                Ribbon{{from, to},
                       {span.value, span.value},
                       {std::max(ends[0], panel.y.lowest), std::max(ends[0], panel.y.lowest)},
                       {std::min(ends[1], panel.y.highest), std::min(ends[1], panel.y.highest)},
                       paint});
            panel.marks.emplace_back(Word{(from + to) / 2, panel.y.highest * 0.96, span.label, Paint::ink(),
                                          Word::Anchor::Centre, false});
        }
        for (std::size_t i = 1; i < device.spans.size(); ++i)
            panel.marks.emplace_back(Rule{0.0,
                                          (device.spans[i - 1].lastDay + device.spans[i].firstDay) / 2,
                                          true,
                                          Paint::quiet(),
                                          Dash::Dotted,
                                          0.8,
                                          false,
                                          {}});
        if (limit)
            panel.marks.emplace_back(
                Rule{0.0, limit->value, false, Paint::guide(), Dash::Dashed, 1.0, false, limit->label});
        Points points;
        points.paint = paint;
        points.shape = device.deviceIndex;
        for (const auto& session : device.sessions) {
            points.x.push_back(session.day);
            points.y.push_back(session.value);
        }
        panel.marks.emplace_back(std::move(points));
        panel.x.label = &device == &devices.back() ? yearsWords(first, last) : "";
        PanelRow row;
        row.panels.push_back(std::move(panel));
        scene.rows.push_back(std::move(row));
    }
    scene.legend.push_back({"one session", Paint::ink(), LegendEntry::Sample::Shape, 0});
    scene.legend.push_back(
        {"pooled, with 95 % interval over sessions", Paint::ink(), LegendEntry::Sample::Stroke});
    scene.aspect = std::clamp(2.2 / static_cast<double>(std::max<std::size_t>(devices.size(), 1)), 0.8, 2.0);
    return scene;
}

Scene plannedScene(const PlannedCurve& curve, const std::string& axis, const FigureWords& words) {
    Scene scene = started(words);
    Panel panel;
    panel.x.label = "sessions";
    panel.x.lowest = curve.units.empty() ? 0.0 : curve.units.front();
    panel.x.highest = curve.units.empty() ? 1.0 : curve.units.back();
    panel.y.label = axis;
    // Two or three sessions give intervals that would squeeze all the rest.
    const double reach = std::max(std::abs(curve.expected), std::abs(curve.limit)) * 2.5;
    double lowest = std::min(0.0, curve.expected), highest = std::max(curve.expected, curve.limit);
    for (std::size_t i = 0; i < curve.units.size(); ++i) {
        lowest = std::min(lowest, std::max(curve.lower[i], -reach));
        highest = std::max(highest, std::min(curve.upper[i], reach));
    }
    panel.y.lowest = lowest < 0 ? lowest * 1.05 : 0.0;
    panel.y.highest = highest > 0 ? highest * 1.05 : 1.0;
    Ribbon ribbon;
    ribbon.x = curve.units;
    ribbon.paint = Paint::device(0);
    for (std::size_t i = 0; i < curve.units.size(); ++i) {
        ribbon.y.push_back(curve.expected);
        ribbon.lower.push_back(std::max(curve.lower[i], panel.y.lowest));
        ribbon.upper.push_back(std::min(curve.upper[i], panel.y.highest));
    }
    panel.marks.emplace_back(std::move(ribbon));
    panel.marks.emplace_back(
        Rule{0.0, curve.limit, false, Paint::guide(), Dash::Dashed, 1.0, false, "limit"});
    if (curve.needed)
        panel.marks.emplace_back(Rule{0.0, *curve.needed, true, Paint::ink(), Dash::Dotted, 1.0, false,
                                      fmt::format("{:.0f} sessions", *curve.needed)});
    finish(scene, std::move(panel), 6);
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
