#include "core/report/figures/agreement_scenes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/report/figures/figure_words.h"

namespace beatwitness::report {
namespace {

using agreement::DensityMap;

constexpr double tolerance_bpm = 5.0;
constexpr double mapAspect = 1.02;

Scene started(const FigureWords& words) {
    Scene scene;
    scene.title = words.title;
    scene.subtitle = words.subtitle;
    scene.caption = words.caption;
    scene.footnote = words.footnote;
    return scene;
}

PanelRow rowOf(std::vector<Panel> panels, double weight = 1.0) {
    PanelRow row;
    row.panels = std::move(panels);
    row.weight = weight;
    return row;
}

/// Cell edges lie on half-integers, so the axes do too.
Axis rateAxis(const RateRange& range, const std::string& label) {
    Axis axis;
    axis.label = label;
    axis.lowest = range.lowest_bpm - 0.5;
    axis.highest = range.highest_bpm - 0.5;
    axis.grid = false;
    return axis;
}

Panel mapPanel(DensityMap map, const RateRange& range, Cells::Scale scale, double largest, bool labelled) {
    Panel panel;
    panel.square = true;
    panel.x = rateAxis(range, "reference, bpm");
    panel.y = rateAxis(range, "");
    panel.marks.emplace_back(Cells{std::move(map), scale, largest});
    for (const double shift : {tolerance_bpm, -tolerance_bpm})
        panel.marks.emplace_back(Rule{1.0, shift, false, Paint::quiet(), Dash::Dotted, 0.6, false, {}});
    panel.marks.emplace_back(
        Rule{0.5, 0.0, false, Paint::guide(), Dash::Dashed, 1.25, true, labelled ? "1:2" : std::string()});
    panel.marks.emplace_back(Rule{2.0, 0.0, false, Paint::guide(), Dash::Dotted, 1.25, true, {}});
    panel.marks.emplace_back(
        Rule{1.0, 0.0, false, Paint::ink(), Dash::Solid, 0.9, false, labelled ? "1:1" : std::string()});
    if (labelled && range.highest_bpm / 2.0 > range.lowest_bpm + 8) {
        const double x = (range.highest_bpm - 6) / 2.0;
        panel.marks.emplace_back(
            Word{x - 4.0, range.highest_bpm - 6.0, "2:1", Paint::guide(), Word::Anchor::Right, false});
    }
    return panel;
}

/// Lowest and highest cell with a count, along both axes.
std::pair<int, int> usedCells(const DensityMap& map) {
    int first = map.cells, last = -1;
    for (int y = 0; y < map.cells; ++y)
        for (int x = 0; x < map.cells; ++x)
            if (map.at(x, y) > 0) {
                first = std::min({first, x, y});
                last = std::max({last, x, y});
            }
    return {first, last};
}

/// The reference's own paint for `referenceIndex`.
Paint paintOf(int index) {
    return index == referenceIndex ? Paint::reference() : Paint::device(index);
}

LegendEntry deviceEntry(const std::string& name, int index) {
    if (index == referenceIndex) return {name, Paint::reference(), LegendEntry::Sample::Stroke};
    return {name, Paint::device(index), LegendEntry::Sample::Shape, index, Dash::Solid};
}

void addInterval(Panel& panel, const Level& level) {
    if (!level.interval) return;
    panel.marks.emplace_back(
        Zone{(*level.interval)[0], (*level.interval)[1], false, Paint::ink(), {}, false});
}

void addLevel(Panel& panel, const Level& level, Dash dash) {
    panel.marks.emplace_back(Rule{0.0, level.value, false, Paint::ink(), dash, 1.0, true,
                                  level.label + " " + signedNumber(level.value)});
}

/// Errors that all but `tailShare` of every device's seconds at either end lie within, in whole bpm and at
/// least ten to both sides: a few wild seconds must not squeeze the rest.
std::pair<double, double> commonErrors(std::span<const ErrorCounts> devices) {
    constexpr double tailShare = 0.0025;
    double lowest = -10.5, highest = 10.5;
    for (const auto& device : devices) {
        const double tail = tailShare * device.pairs;
        double below = 0.0, above = 0.0;
        std::size_t first = 0, last = device.counts.size();
        while (first < last && below + device.counts[first] <= tail)
            below += device.counts[first++];
        while (last > first && above + device.counts[last - 1] <= tail)
            above += device.counts[--last];
        lowest = std::min(lowest, device.first_bpm + static_cast<double>(first) - 1.5);
        highest = std::max(highest, device.first_bpm + static_cast<double>(last) + 0.5);
    }
    return {lowest, highest};
}

/// In per cent of the device's seconds.
double shareBeyond(const ErrorCounts& device, double lowest, double highest) {
    double beyond = 0.0;
    for (std::size_t i = 0; i < device.counts.size(); ++i) {
        const double error = device.first_bpm + static_cast<double>(i);
        if (error < lowest || error > highest) beyond += device.counts[i];
    }
    return 100.0 * beyond / device.pairs;
}

std::string scaleWords(Cells::Scale scale) {
    switch (scale) {
        case Cells::Scale::Linear:
            return "";
        case Cells::Scale::CubeRoot:
            return ", cube-root scale";
        case Cells::Scale::Log:
            break;
    }
    return ", logarithmic scale";
}

/// What the colours of a map mean.
LegendEntry rampEntry(double largest, int cellWidth_bpm, Cells::Scale scale) {
    return {fmt::format("1 to {} s in a cell of {} \u00d7 {} bpm{}", countWords(largest), cellWidth_bpm,
                        cellWidth_bpm, scaleWords(scale)),
            Paint::ink(), LegendEntry::Sample::Ramp};
}

}  // namespace

RateRange rangeOf(std::span<const DensityMap> maps) {
    int first = 1 << 20, last = -1;
    for (const auto& map : maps) {
        const auto [from, to] = usedCells(map);
        if (to < 0) continue;
        first = std::min(first, static_cast<int>(std::floor(map.edge(from))));
        last = std::max(last, static_cast<int>(std::ceil(map.edge(to + 1))));
    }
    if (last < 0) return {60, 180};
    return {first / 10 * 10, (last + 9) / 10 * 10};
}

Scene mapScene(DensityMap map, const std::string& device, Cells::Scale scale, const FigureWords& words) {
    Scene scene = started(words);
    scene.aspect = mapAspect * 0.92;
    const RateRange range = rangeOf(std::span(&map, 1));
    scene.legend.push_back(rampEntry(map.largest, map.cellWidth_bpm, scale));
    auto panel = mapPanel(std::move(map), range, scale, 0.0, true);
    panel.y.label = device + ", bpm";
    scene.rows.push_back(rowOf({std::move(panel)}));
    return scene;
}

MapBeside mapBeside(DensityMap map, const std::string& device, Cells::Scale scale) {
    const RateRange range = rangeOf(std::span(&map, 1));
    auto ramp = rampEntry(map.largest, map.cellWidth_bpm, scale);
    auto panel = mapPanel(std::move(map), range, scale, 0.0, false);
    panel.y.label = device + ", bpm";
    return {std::move(panel), std::move(ramp)};
}

Scene smallMapsScene(std::vector<std::vector<SmallMap>> rows, Cells::Scale scale, const FigureWords& words) {
    Scene scene = started(words);
    std::vector<DensityMap> all;
    double largest = 0.0;
    std::size_t columns = 1;
    for (const auto& row : rows) {
        columns = std::max(columns, row.size());
        for (const auto& map : row) {
            all.push_back(map.map);
            largest = std::max(largest, static_cast<double>(map.map.largest));
        }
    }
    scene.flows = true;
    const RateRange range = rangeOf(all);
    if (!all.empty()) scene.legend.push_back(rampEntry(largest, all.front().cellWidth_bpm, scale));
    scene.legend.push_back(
        {"reference across, device upwards, bpm", Paint::ink(), LegendEntry::Sample::None});
    for (auto& row : rows) {
        std::vector<Panel> panels;
        for (auto& map : row) {
            auto panel = mapPanel(std::move(map.map), range, scale, largest, false);
            panel.title = map.title;
            panel.subtitle = map.subtitle;
            panel.x.label.clear();
            panels.push_back(std::move(panel));
        }
        while (panels.size() < columns)
            panels.emplace_back().x.kind = Axis::Kind::Hidden, panels.back().y.kind = Axis::Kind::Hidden;
        scene.rows.push_back(rowOf(std::move(panels)));
    }
    scene.aspect =
        0.86 * static_cast<double>(columns) / static_cast<double>(std::max<std::size_t>(rows.size(), 1));
    return scene;
}

Scene differenceScene(const DifferenceData& data, const FigureWords& words) {
    Scene scene = started(words);
    Panel panel;
    int firstX = data.map.cells, lastX = -1, firstY = data.map.cells, lastY = -1;
    for (int y = 0; y < data.map.cells; ++y)
        for (int x = 0; x < data.map.cells; ++x)
            if (data.map.at(x, y) > 0) {
                firstX = std::min(firstX, x), lastX = std::max(lastX, x);
                firstY = std::min(firstY, y), lastY = std::max(lastY, y);
            }
    if (lastX < 0) firstX = 35, lastX = 155, firstY = 75, lastY = 115;
    auto map = data.map;
    const double shift = data.errorOrigin_bpm;
    panel.x.label = data.againstMean ? "mean of device and reference, bpm" : "reference, bpm";
    panel.x.lowest = map.edge(firstX) - 3.0;
    panel.x.highest = map.edge(lastX + 1) + 3.0;
    panel.x.grid = false;
    panel.y.kind = Axis::Kind::Signed;
    panel.y.label = "error, bpm (test minus reference)";
    panel.y.lowest = std::min(map.edge(firstY) - shift, data.lower.value) - 4.0;
    panel.y.highest = std::max(map.edge(lastY + 1) - shift, data.upper.value) + 4.0;
    Cells cells{std::move(map), data.scale, 0.0};
    cells.yShift = -shift;
    scene.legend.push_back(rampEntry(data.map.largest, data.map.cellWidth_bpm, cells.scale));
    for (const auto* level : {&data.lower, &data.upper, &data.bias})
        addInterval(panel, *level);
    panel.marks.emplace_back(std::move(cells));
    panel.marks.emplace_back(Rule{0.0, 0.0, false, Paint::quiet(), Dash::Solid, 0.6, false, {}});
    addLevel(panel, data.lower, Dash::Dashed);
    addLevel(panel, data.upper, Dash::Dashed);
    addLevel(panel, data.bias, Dash::Solid);
    scene.rows.push_back(rowOf({std::move(panel)}));
    return scene;
}

Scene distributionScene(std::span<const ErrorCounts> devices, const FigureWords& words) {
    Scene scene = started(words);
    Panel panel;
    panel.x.kind = Axis::Kind::Signed;
    panel.x.label = "error, bpm (test minus reference)";
    panel.y.label = "% of paired seconds, a whole bpm each";
    double tallest = 1;
    const auto [lowest, highest] = commonErrors(devices);
    double beyond_pct = 0.0;
    for (const auto& device : devices) {
        if (device.pairs <= 0) continue;
        Histogram histogram;
        histogram.first = device.first_bpm - 0.5;
        histogram.paint = paintOf(device.deviceIndex);
        histogram.filled = devices.size() == 1;
        for (const double count : device.counts) {
            histogram.heights.push_back(100.0 * count / device.pairs);
            tallest = std::max(tallest, histogram.heights.back());
        }
        beyond_pct = std::max(beyond_pct, shareBeyond(device, lowest, highest));
        panel.marks.emplace_back(std::move(histogram));
        scene.legend.push_back({device.device, paintOf(device.deviceIndex), LegendEntry::Sample::Stroke});
    }
    panel.x.lowest = lowest;
    panel.x.highest = highest;
    panel.y.highest = tallest * 1.05;
    if (beyond_pct > 0)
        scene.legend.push_back({fmt::format("up to {} % of a device's seconds lie beyond this axis",
                                            figureNumber(beyond_pct, beyond_pct < 0.1 ? 2 : 1)),
                                Paint::ink(), LegendEntry::Sample::None});
    panel.marks.insert(panel.marks.begin(),
                       Zone{-tolerance_bpm, tolerance_bpm, true, Paint::quiet(), "\u00b15 bpm", false});
    panel.marks.emplace_back(Rule{0.0, 0.0, true, Paint::ink(), Dash::Solid, 0.6, false, {}});
    scene.rows.push_back(rowOf({std::move(panel)}));
    return scene;
}

Scene errorByRangeScene(std::span<const DeviceRanges> devices, const FigureWords& words) {
    Scene scene = started(words);
    Panel panel;
    int lowest = 1000, highest = 0;
    double worst = 1.0;
    for (const auto& device : devices)
        for (const auto& range : device.ranges) {
            lowest = std::min(lowest, range.lower_bpm);
            highest = std::max(highest, range.lower_bpm);
            worst = std::max(worst, range.mae_bpm);
        }
    if (highest == 0) lowest = highest = 100;
    for (int lower = highest; lower >= lowest; lower -= 20)
        panel.y.categories.push_back(fmt::format("{}\u2013{} bpm", lower, lower + 19));
    panel.y.kind = Axis::Kind::Categories;
    panel.y.lowest = -0.6;
    panel.y.highest = static_cast<double>(panel.y.categories.size()) - 0.4;
    panel.x.label = "mean absolute error, bpm, with 95 % intervals over sessions";
    const auto count = static_cast<double>(devices.size());
    for (std::size_t d = 0; d < devices.size(); ++d) {
        const auto& device = devices[d];
        for (const auto& range : device.ranges) {
            IntervalMark mark;
            mark.row =
                (highest - range.lower_bpm) / 20.0 + (static_cast<double>(d) - (count - 1) / 2) * 0.6 / count;
            mark.value = range.mae_bpm;
            mark.interval = range.interval;
            mark.paint = paintOf(device.deviceIndex);
            mark.shape = std::max(device.deviceIndex, 0);
            panel.marks.emplace_back(mark);
            if (range.interval) worst = std::max(worst, std::min((*range.interval)[1], worst * 3));
        }
        scene.legend.push_back(deviceEntry(device.device, device.deviceIndex));
    }
    panel.x.highest = worst * 1.1;
    scene.rows.push_back(rowOf({std::move(panel)}));
    scene.aspect = 1.3;
    return scene;
}

}  // namespace beatwitness::report
